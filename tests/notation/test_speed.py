"""The work of reading, counted in calls: of usual texts, as texts grow, and of the longest of the bad cases.

Times are no part of the tests: `python -m tests.benchmarks.reading` takes them.
"""

import json
from pathlib import Path

import pytest
from tests.counting import calls
from tests.notation.fuzz.slow_phrases import ordinary, repeated

from keelmark.notation import Context, read
from keelmark.notation.read import _kept_tree

CORPUS = Path(__file__).parents[1] / "corpus"
LONG = 5_000
"""Characters of a long text: more than one line may hold."""

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


def of_reading(text: str, context: Context | None = None) -> int:
    """The calls of one reading, nothing of it remembered."""
    _kept_tree.cache_clear()
    return calls(lambda: read(text, context))


def test_the_work_of_a_usual_text() -> None:
    """Ninety texts, none remembered, take less than 45 calls for each of their signs (37 when it was counted first).

    Their words have been met before, as those of most whiteboards have.
    """
    items = [
        json.loads(line) for line in (CORPUS / "whiteboard.jsonl").read_text(encoding="utf-8").splitlines() if line
    ]
    texts = [(item["text"], Context.of(item["context"])) for item in items]

    def all_of_them() -> None:
        _kept_tree.cache_clear()
        for text, context in texts:
            read(text, context)

    all_of_them()
    assert calls(all_of_them) < 45 * sum(len(text) for text, _ in texts)


def test_what_is_remembered_is_no_part_of_the_count() -> None:
    """The count above reads each text anew."""
    _kept_tree.cache_clear()
    read("10 burpees")
    read("10 burpees")
    assert _kept_tree.cache_info().hits == 1
    again = calls(lambda: read("10 burpees"))
    assert _kept_tree.cache_info().hits == 2
    assert of_reading("10 burpees") > again


def test_work_grows_with_length() -> None:
    """Four times the text takes at most 4.4 times the calls, and it is the whole text that is read."""
    line = "3 rounds: 12 kettlebell swings 24/16 kg, 400 m run, 10 burpees; odd words here\n"
    assert of_reading(line * 240) < 4.4 * of_reading(line * 60)
    assert len(read(line * 240).efforts) == 4 * len(read(line * 60).efforts) > 0


@pytest.mark.parametrize("pieces", [SLOW_ONCE[::2], SLOW_ONCE[1::2]], ids=["even", "odd"])
def test_much_of_one_thing(pieces: list[str]) -> None:
    """A phrase again and again takes at most 1.7 times the calls of ordinary whiteboards and 8 times a quarter's.

    The work grows with the length, not with its square, which would be 16 times. Some phrases want a long line before
    they mean anything, so a little more than four times is usual.
    """
    usual = of_reading(ordinary(LONG))
    for piece in pieces:
        whole, quarter = of_reading(repeated(piece, LONG)), of_reading(repeated(piece, LONG // 4))
        assert whole < 1.7 * usual, piece
        assert whole < 8 * quarter, piece
