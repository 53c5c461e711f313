"""Sessions written at several levels: each athlete does one of them."""

from __future__ import annotations

import pytest

from keelmark.notation import read

NUMBERED = "3 rounds for time\nL1: 300 m row, 8 ring rows\nL2: 400 m row, 8 pull-ups\nL3: 500 m row, 8 C2B"


def _done(text: str, **context: object) -> dict[str, float]:
    found: dict[str, float] = {}
    for row in read(text, context).efforts:
        found[row.movement] = found.get(row.movement, 0.0) + row.amount * row.sets
    return found


@pytest.mark.parametrize("level", ["L2", "2", "Level 2", "level 2", "Niveau 2"])
def test_the_athlete_does_the_own_level_only(level: str) -> None:
    assert _done(NUMBERED, level=level) == {"row": 1200, "pull_up": 24}
    assert not [issue for issue in read(NUMBERED, {"level": level}).issues if issue.level != "note"]


@pytest.mark.parametrize(
    ("text", "level", "done"),
    [
        ("4 rondas\nN1: 10 flexiones\nN2: 15 flexiones", "N1", {"push_up": 40}),
        ("AMRAP 9\nNiveau 1\n8 tractions\n5 pompes\nNiveau 2\n9 tractions", "Niveau 1", {"pull_up": 16, "push_up": 10}),
        ("Anfänger: 20 Klimmzüge\nFortgeschrittene: 40 Klimmzüge", "Anfänger", {"pull_up": 20}),
        ("50 burpees\nlevel 1: 10 sit-ups\nlevel 2: 20 sit-ups", "2", {"burpee": 50, "sit_up": 20}),
    ],
)  # fmt: skip
def test_levels_are_called_by_many_names(text: str, level: str, done: dict[str, float]) -> None:
    result = "2+0" if "AMRAP" in text else None
    assert _done(text, level=level, result=result) == done


def test_a_level_that_nobody_told_is_a_doubt() -> None:
    reading = read(NUMBERED, {})
    assert [issue.code for issue in reading.issues if issue.level == "warning"] == ["level_not_told"]
    assert _done(NUMBERED)["chest_to_bar_pull_up"] == 24
    assert _done(NUMBERED, option="scaled")["ring_row"] == 24


def test_parts_that_look_like_levels_are_parts() -> None:
    assert _done("L1: 10 burpees") == {"burpee": 10}
    assert _done("A1: 10 burpees\nA2: 10 sit-ups") == {"burpee": 10, "sit_up": 10}


def test_what_was_understood_reads_back_with_its_levels() -> None:
    reading = read(NUMBERED, {"level": "L1"})
    assert read(reading.canonical, {"level": "L1"}).tree == reading.tree
    assert "(level 1)" in reading.canonical
