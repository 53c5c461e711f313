"""Speed: texts a second against a fixed piece of arithmetic, growth with length, and the longest of the bad cases."""

import gc
import json
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.notation.fuzz.slow_phrases import LONG, ordinary, repeated

from keelmark.notation import Context, read
from keelmark.notation.read import _kept_tree

CORPUS = Path(__file__).parents[1] / "corpus"


SLOW_ONCE = [
    *(
        "10 burpees ",
        "- ",
        "(",
        "a",
        "1-",
        "1,",
        "5x",
        "1 ",
        "EMOM ",
        "x\n",
        "min 1: ",
        "3 rounds ",
        "12 flurg ",
        "to ",
    ),
    *("build to a ", "()", "1+", "/", "@ 5 ", "(1) ", "set | reps | kg\n", "18:00 a\n", "three times, ", "A1 squat, "),
    *("1 - a ", "90/90 ", "3-3, ", "10 pus-ups, ", "A: ", "5 rounds of (", "[(", " "),
]
"""Phrases that were slow in some version of the reader when they were repeated."""


def seconds(work, times: int = 5) -> float:
    """The least processor time of several runs."""
    best = float("inf")
    gc.collect()
    gc.freeze()
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    gc.unfreeze()
    return best


@pytest.fixture
def quiet_memory() -> Iterator[None]:
    """What stands in memory is left alone by its collector while times are taken."""
    gc.collect()
    gc.freeze()
    yield
    gc.unfreeze()


def once(text: str) -> float:
    """The processor time of one reading, nothing of it remembered."""
    _kept_tree.cache_clear()
    start = time.process_time()
    read(text)
    return time.process_time() - start


def arithmetic() -> int:
    return sum(n * n % 7 for n in range(100_000))


def ratio(work, times: int = 3, enough: float = 0.0) -> float:
    """Processor time of the work against that of the arithmetic, both taken in turn; the best of up to four goes."""
    best = float("inf")
    for _ in range(4):
        best = min(best, seconds(work, times) / seconds(arithmetic, times))
        if best < enough:
            break
    return best


def test_texts_against_a_piece_of_arithmetic() -> None:
    """Ninety texts, none remembered, take less than 13 times as long as 100,000 squares (3 ms on a quiet machine)."""
    items = [
        json.loads(line) for line in (CORPUS / "whiteboard.jsonl").read_text(encoding="utf-8").splitlines() if line
    ]
    texts = [(item["text"], Context.of(item["context"])) for item in items]

    def all_of_them() -> None:
        _kept_tree.cache_clear()
        for text, context in texts:
            read(text, context)

    all_of_them()
    assert ratio(all_of_them, 5, 13) < 13


def test_what_is_remembered_is_no_part_of_the_speed() -> None:
    """The measure above reads each text anew."""
    _kept_tree.cache_clear()
    read("10 burpees")
    read("10 burpees")
    assert _kept_tree.cache_info().hits == 1


def test_time_grows_with_length() -> None:
    """Ten times the text takes at most twenty times as long."""
    line = "3 rounds: 12 kettlebell swings 24/16 kg, 400 m run, 10 burpees; odd words here\n"
    short, long = line * 60, line * 600
    assert seconds(lambda: read(long), 3) < 20 * seconds(lambda: read(short), 3)


@pytest.mark.parametrize("pieces", [SLOW_ONCE[::2], SLOW_ONCE[1::2]], ids=["even", "odd"])
@pytest.mark.usefixtures("quiet_memory")
def test_ten_kilobytes_of_one_thing(pieces: list[str]) -> None:
    """Ten kilobytes of a phrase take at most 1.7 times as long as ordinary whiteboards and 8 times a quarter of them.

    The time of a phrase grows with its length, not with its square. Ordinary whiteboards are read once for all
    phrases, and once more beside each phrase that seems slow.
    """
    plain = ordinary(LONG)
    usual = min(once(plain), once(plain))
    for piece in pieces:
        text, quarter = repeated(piece, LONG), repeated(piece, LONG // 4)
        taken = once(text)
        again = (once(text) < 1.7 * once(plain) for _ in range(4))
        assert taken < 1.7 * usual or any(again), piece
        again = (once(text) < 8 * once(quarter) for _ in range(4))
        assert taken < 8 * once(quarter) or any(again), piece
