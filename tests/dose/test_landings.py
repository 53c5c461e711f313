"""Landings by class: both feet once, steps down apart, and the height of a drop where it is written."""

from __future__ import annotations

from typing import Any

import pytest

from keelmark.dose.landings import landings_daily, landings_efforts
from tests.dose.bodies import CATALOGUE
from tests.dose.squad import efforts


def kinds(**row: Any) -> dict[str, float | None]:
    found = landings_efforts(efforts({"reps": 10.0, **row}), CATALOGUE)
    return dict(found.select("kind", "contacts").iter_rows())


def test_a_two_footed_landing_counts_once() -> None:
    """Published counting rule: each time a foot, or both feet together, meet the ground."""
    assert kinds(movement="broad_jump") == {CATALOGUE["broad_jump"].landing_class: 10.0}


def test_a_step_down_is_not_a_landing_from_a_jump() -> None:
    """Fact of the trade (common practice): stepping down from the box is not a landing."""
    assert kinds(movement="box_step_over") == {"step down": 10.0}


@pytest.mark.parametrize(("height", "kind"), [(15.0, "low"), (30.0, "moderate"), (60.0, "high")])
def test_a_written_drop_height_decides_the_class(height: float, kind: str) -> None:
    assert list(kinds(movement="depth_jump", height_cm=height)) == [kind]


def test_a_height_that_cannot_be_one_leaves_the_movements_own_class() -> None:
    assert list(kinds(movement="depth_jump", height_cm=-30.0)) == [CATALOGUE["depth_jump"].landing_class]


def test_a_box_height_is_not_a_drop_height() -> None:
    assert next(iter(kinds(movement="box_jump", height_cm=61.0))) == CATALOGUE["box_jump"].landing_class


def test_days_carry_the_forces_of_their_class_and_what_is_not_known() -> None:
    rows = efforts({"movement": "broad_jump", "reps": 10.0}, {"movement": "broad_jump", "reps": None, "order": 1})
    day = landings_daily(rows, CATALOGUE).row(0, named=True)
    assert (day["contacts"], day["high"], day["unknown"]) == (10.0, None, 1)
    assert 1 < day["force_low"] < day["force_high"]


def test_skipping_and_running_are_not_jump_contacts() -> None:
    assert kinds(movement="run", reps=None, distance_m=400.0) == {}
    assert "high" not in kinds(movement="double_under")
