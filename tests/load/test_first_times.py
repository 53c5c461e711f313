"""What is new in a week is said: a movement not done for half a year, or so many reps in one set at such a load."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import polars as pl
import pytest

from keelmark.contracts.frames import EFFORT
from keelmark.load.first_times import FirstTime, first_times

MONDAY = date(2026, 6, 1)


def log(*rows: tuple[int, str, float, float | None]) -> pl.DataFrame:
    """Efforts of Runa: weeks before the week asked for, movement, reps and load."""
    built: list[dict[str, Any]] = [
        {
            "athlete_id": "runa", "date": MONDAY - timedelta(weeks=weeks), "session_id": "s", "order": place,
            "movement": movement, "version": "as_written", "sets": 3, "reps": reps, "load_kg": load,
            "load_basis": "external" if load else "none", "share_low": 1.0, "share_high": 1.0, "source": "log",
            "import_id": "i",
        }
        for place, (weeks, movement, reps, load) in enumerate(rows)
    ]  # fmt: skip
    return EFFORT.build(built)


LONG_AGO = [(40, "run", 1.0, None), (40, "back_squat", 5.0, 100.0)]
USUAL = [(weeks, "back_squat", 5.0, 100.0) for weeks in range(1, 20)]


def found(*rows: tuple[int, str, float, float | None]) -> list[FirstTime]:
    return first_times(log(*LONG_AGO, *USUAL, *rows), "runa", MONDAY)


def test_a_movement_never_done_and_one_not_done_for_half_a_year() -> None:
    assert found((0, "box_jump", 5.0, None)) == [FirstTime("box_jump", None)]
    assert found((31, "box_jump", 5.0, None), (0, "box_jump", 5.0, None)) == [FirstTime("box_jump", 32)]
    assert found((26, "box_jump", 5.0, None), (0, "box_jump", 5.0, None)) == []


def test_a_longer_set_at_a_usual_load() -> None:
    assert found((0, "back_squat", 15.0, 80.0)) == [FirstTime("back_squat", None, 15, 5, 80.0)]


def test_the_same_range_of_reps_is_not_new() -> None:
    assert found((3, "back_squat", 14.0, 80.0), (0, "back_squat", 20.0, 80.0)) == []


def test_a_long_set_with_a_light_load_does_not_stand_for_a_heavy_one_but_the_reverse_does() -> None:
    light, heavy = (2, "back_squat", 20.0, 40.0), (2, "back_squat", 20.0, 90.0)
    assert found(light, (0, "back_squat", 15.0, 90.0)) == [FirstTime("back_squat", None, 15, 5, 90.0)]
    assert found(heavy, (0, "back_squat", 15.0, 40.0)) == []


def test_short_sets_at_a_new_load_are_not_told() -> None:
    assert found((0, "back_squat", 3.0, 140.0)) == []


@pytest.mark.parametrize("weeks", [1, 3])
def test_nothing_is_new_while_everything_is(weeks: int) -> None:
    short = log((weeks, "run", 1.0, None), (0, "box_jump", 5.0, None))
    assert first_times(short, "runa", MONDAY) == []
    assert first_times(short, "nobody", MONDAY) == []


def test_one_rep_more_is_not_new_although_it_lies_in_the_next_range() -> None:
    """6 after 5 are a fifth more, below the half that is asked for; 8 after 5 are three fifths more (derived)."""
    jumps = [(weeks, "box_jump", 5.0, None) for weeks in range(1, 9)]
    assert found(*jumps, (0, "box_jump", 6.0, None)) == []
    assert found(*jumps, (0, "box_jump", 8.0, None)) == [FirstTime("box_jump", None, 8, 5)]
