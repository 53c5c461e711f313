"""One trial of the fuzzers: read a text for some athlete and hold what must always hold."""

from __future__ import annotations

from keelmark.notation import read
from keelmark.notation.issues import CODES

RESULTS = (
    None,
    "7+12",
    "11:52",
    "cap 143 reps",
    "12,10,8",
    "loads 80,100",
    "A: 50, 60; B: 3+4",
    "stopped in round 3",
    "own 4+0",
    "7.5",
)
CHOICES = 210
"""Athletes told apart by `choice`: results, standards, teams and what is known of the athlete, in every mixture."""


def trial(text: str, choice: int) -> None:
    """Read the text; no error, every character accounted for, bounds in order, the exact form reads back."""
    context = {
        "standard": "lighter" if choice % 2 else "heavier",
        "bodyweight_kg": 80.0 if choice % 3 else None,
        "one_rm": {"deadlift": 150.0} if choice % 5 else {},
        "result": RESULTS[choice % len(RESULTS)],
        "option": "scaled" if choice % 7 == 0 else "as_written",
        "team_size": (None, 2, 3)[choice % 3],
    }
    reading = read(text, context)
    assert "".join(text[part.start : part.end] for part in reading.stretches()) == text
    for row in reading.efforts:
        assert 0 <= row.start <= row.end <= len(text)
        assert row.low <= row.amount * (1 + 1e-9)
        assert row.amount <= row.high * (1 + 1e-9)
        assert row.load_kg is None or row.load_kg >= 0
    for issue in reading.issues:
        assert issue.code in CODES
        assert issue.line >= 1
        assert issue.column >= 1
    assert read(reading.canonical, context).tree == reading.tree
