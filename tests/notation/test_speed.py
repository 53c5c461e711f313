"""Speed: texts a second against a fixed piece of arithmetic, growth with length, and the longest of the bad cases."""

import gc
import json
import time
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
def test_ten_kilobytes_of_one_thing(pieces: list[str]) -> None:
    """Ten kilobytes of a phrase take at most 1.7 times as long as ten kilobytes of ordinary whiteboards."""
    plain = ordinary(LONG)
    for piece in pieces:
        text = repeated(piece, LONG)
        goes = (seconds(lambda text=text: read(text), 1) / seconds(lambda: read(plain), 1) for _ in range(5))
        assert any(times < 1.7 for times in goes), piece


@pytest.mark.parametrize("pieces", [SLOW_ONCE[::2], SLOW_ONCE[1::2]], ids=["even", "odd"])
def test_a_phrase_grows_with_its_length(pieces: list[str]) -> None:
    """Four times a phrase takes at most eight times as long: the time grows with the length, not with its square."""
    for piece in pieces:
        short, long = repeated(piece, LONG // 2), repeated(piece, 2 * LONG)
        goes = (seconds(lambda t=long: read(t), 1) / seconds(lambda t=short: read(t), 1) for _ in range(5))
        assert any(times < 8 for times in goes), piece
