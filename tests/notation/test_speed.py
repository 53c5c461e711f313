"""Speed: texts a second against a fixed piece of arithmetic, growth with length, and the longest of the bad cases."""

import gc
import json
import time
from pathlib import Path

import pytest

from keelmark.notation import Context, read

CORPUS = Path(__file__).parents[1] / "corpus"


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
    """Ninety texts take less than ten times as long as 100,000 squares: 3,000 a second on the machine of record."""
    items = [
        json.loads(line) for line in (CORPUS / "whiteboard.jsonl").read_text(encoding="utf-8").splitlines() if line
    ]
    texts = [(item["text"], Context.of(item["context"])) for item in items]

    def all_of_them() -> None:
        for text, context in texts:
            read(text, context)

    all_of_them()
    assert ratio(all_of_them, 5, 10) < 10


def test_time_grows_with_length() -> None:
    """Ten times the text takes at most twenty times as long."""
    line = "3 rounds: 12 kettlebell swings 24/16 kg, 400 m run, 10 burpees; odd words here\n"
    short, long = line * 60, line * 600
    assert seconds(lambda: read(long), 3) < 20 * seconds(lambda: read(short), 3)


@pytest.mark.parametrize(
    "piece",
    [
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
        "build to a ",
        "()",
        "1+",
        "/",
        "@ 5 ",
        "(1) ",
        "set | reps | kg\n",
        "18:00 a\n",
        "three times, ",
    ],
)
def test_ten_kilobytes_of_one_thing(piece: str) -> None:
    """No ten kilobytes take more than three hundred times ten thousand squares (50 ms on the machine of record)."""
    text = (piece * 10_000)[:10_000]
    read(text[:200])
    assert ratio(lambda: read(text), 3, 12) < 12
