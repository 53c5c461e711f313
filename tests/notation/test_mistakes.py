"""The table of common mistakes: each gives its issue, in its place, with its message, and spares the rest."""

import tomllib
from importlib.resources import files

import pytest

from keelmark.notation import read
from keelmark.notation.issues import CODES

TABLE = tomllib.loads((files("keelmark.notation") / "words" / "mistakes.toml").read_text(encoding="utf-8"))["mistake"]


@pytest.mark.parametrize("mistake", TABLE, ids=[f"{m['code']}-{n}" for n, m in enumerate(TABLE)])
def test_mistake_gives_its_issue(mistake: dict) -> None:
    """Code, line, column and the heart of the message are as the table says."""
    reading = read(mistake["text"], {"result": mistake.get("result")})
    issue = next((issue for issue in reading.issues if issue.code == mistake["code"]), None)
    assert issue is not None, reading.issues
    assert (issue.line, issue.column) == (mistake["line"], mistake["column"])
    assert mistake["says"] in issue.message


@pytest.mark.parametrize("mistake", TABLE, ids=[f"{m['code']}-{n}" for n, m in enumerate(TABLE)])
def test_the_sure_part_is_used(mistake: dict) -> None:
    """What the table lists as kept is counted in full, and nothing else."""
    reading = read(mistake["text"], {"result": mistake.get("result")})
    done: dict[str, float] = {}
    for row in reading.efforts:
        done[row.movement] = done.get(row.movement, 0) + row.amount * row.sets
    if mistake["code"] != "contradictory_total":
        assert done == mistake.get("kept", {})


def test_every_code_has_an_example() -> None:
    """No issue exists that the table does not show."""
    assert {mistake["code"] for mistake in TABLE} | {"line_too_long"} == set(CODES)


def test_picture_points_at_the_place() -> None:
    """The carets stand below the word."""
    issue = read("4 rounds:\n10 flurbles\n12 sit-ups").issues[0]
    assert issue.picture == "10 flurbles\n   ^^^^^^^^"
    assert issue.nearest
    assert issue.level == "error"


def test_unknown_movement_names_the_nearest() -> None:
    """A word that is no movement comes with names that look like it."""
    issue = next(i for i in read("10 deadpulls @ 40 kg").issues if i.code == "unknown_movement")
    assert "deadlift" in issue.nearest
    assert "Nearest names: " in issue.message


def test_a_line_longer_than_any_whiteboard_is_set_aside() -> None:
    """A line of more than 4,000 signs is told with its length and left out; the lines around it are read."""
    reading = read("10 burpees\n" + "(" * 5_000 + "\n5 pull-ups")
    assert reading.canonical == "10 burpee, 5 pull-up."
    issue = reading.issues[0]
    assert (issue.code, issue.level, issue.line, issue.column) == ("line_too_long", "error", 2, 1)
    assert issue.message == (
        "a line of 5,000 signs. Wanted: lines of at most 4,000 signs. It is left out; the other lines are used."
    )
    assert [(part.start, part.end, part.kind) for part in reading.stretches()] == [
        (0, 11, "understood"),
        (11, 5_012, "issue"),
        (5_012, 5_022, "understood"),
    ]
    assert read("1" + " " * 4_000).issues[0].code == "line_too_long"
    assert "line_too_long" not in [issue.code for issue in read("\n".join(["10 burpees"] * 600)).issues]
