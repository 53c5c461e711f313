"""The grip tendon index: harder gripping weighs more, and what hands hold is never guessed away."""

from __future__ import annotations

from typing import Any

import polars as pl
import pytest

from keelmark.dose.grip import grip_fatigue_daily, grip_fatigue_efforts
from tests.dose.bodies import CATALOGUE, crew
from tests.dose.squad import efforts


def index(body: pl.DataFrame | None = None, **row: Any) -> dict[str, Any]:
    found = grip_fatigue_efforts(efforts({"reps": 10.0, **row}), crew() if body is None else body, CATALOGUE)
    return found.row(0, named=True)


def test_one_rep_is_one_loading_at_its_share_of_strength() -> None:
    """Derived: 44 kg of a hardest 1.1 x 80 = 88 kg is half: 35.7 %, 26,308 cycles by the tendon law."""
    assert index(movement="deadlift", load_kg=44.0)["value"] == pytest.approx(10 / 26308.4, rel=1e-4)


def test_a_hang_counts_each_second_with_the_whole_body() -> None:
    """Derived: 80 of 88 kg: 64.91 % of strength, N = 10^((101.25 - 64.91) / 14.83) = 282."""
    found = index(movement="dead_hang", reps=None, duration_s=30.0)
    assert found["value"] == pytest.approx(30 / 10 ** ((101.25 - 71.4 * 80 / 88) / 14.83), rel=1e-6)


def test_heavier_holding_weighs_more_than_in_proportion() -> None:
    light, heavy = (index(movement="deadlift", load_kg=load)["value"] for load in (30.0, 60.0))
    assert heavy > 2 * light


def test_bounds_contain_the_figure() -> None:
    for row in ({"movement": "deadlift", "load_kg": 60.0}, {"movement": "toes_to_bar"}, {"movement": "pull_up"}):
        for body in (crew(), crew(sex=None, body_mass_kg=None)):
            found = index(body, **row)
            assert 0 < found["low"] <= found["value"] <= found["high"]


def test_what_was_held_asks_the_hardest_grip_at_the_most() -> None:
    """Derived: 71.4 % of strength, 103 cycles; 160 kg are more than the 88 kg assumed for her, yet she held them."""
    found = index(movement="deadlift", load_kg=160.0)
    assert found["value"] == found["high"] == pytest.approx(10 / 102.99, rel=1e-3)


def test_an_unknown_load_leaves_the_index_open() -> None:
    found = index(movement="deadlift", load_basis="unknown")
    assert (found["value"], found["high"]) == (None, None)
    assert found["low"] > 0


def test_movements_without_grip_have_no_row() -> None:
    assert grip_fatigue_efforts(
        efforts({"movement": "back_squat", "reps": 5.0, "load_kg": 80.0}), crew(), CATALOGUE
    ).is_empty()


def test_days_add_up() -> None:
    rows = efforts(
        {"movement": "deadlift", "reps": 10.0, "load_kg": 60.0}, {"movement": "pull_up", "reps": 10.0, "order": 1}
    )
    day = grip_fatigue_daily(rows, crew(), CATALOGUE).row(0, named=True)
    assert day["value"] == pytest.approx(grip_fatigue_efforts(rows, crew(), CATALOGUE)["value"].sum())
    assert (day["efforts"], day["unknown"]) == (2, 0)
