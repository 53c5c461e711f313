"""Energy of running, and calories of machines, kept apart."""

from __future__ import annotations

from typing import Any

import polars as pl
import pytest

from keelmark.contracts.frames import REP_MAXIMUM, SESSION
from keelmark.dose import daily_dose
from keelmark.dose.energy import energy_efforts
from tests.dose.bodies import CATALOGUE, crew
from tests.dose.squad import athletes, efforts


def energy(body: Any = None, **row: Any) -> dict[str, Any]:
    return energy_efforts(efforts(row), crew() if body is None else body, CATALOGUE).row(0, named=True)


def test_running_five_kilometres_with_80_kilograms_costs_400() -> None:
    """Margaria 1963 (from memory): about 1 kcal per kg and km; derived: 80 x 5 = 400, within a tenth."""
    found = energy(movement="run", distance_m=5000.0)
    assert (found["value"], found["low"], found["high"]) == pytest.approx((400, 360, 440))


def test_calories_of_a_machine_are_taken_as_they_stand() -> None:
    found = energy(movement="row", calories=20.0, sets=3)
    assert (found["value"], found["low"], found["high"]) == (60, 60, 60)


def test_metres_on_a_machine_become_its_calories_with_a_range() -> None:
    rate = CATALOGUE["row"].metres_per_calorie
    found = energy(movement="row", distance_m=1000.0)
    assert found["value"] == pytest.approx(1000 / rate.value)
    assert (found["low"], found["high"]) == pytest.approx((1000 / rate.high, 1000 / rate.low))


def test_an_unknown_body_widens_and_an_unknown_amount_empties() -> None:
    found = energy(athletes("runa"), movement="run", distance_m=1000.0)
    assert (found["low"], found["high"]) == pytest.approx((0.9 * 45, 1.1 * 125))
    empty = energy(movement="run")
    assert (empty["value"], empty["low"], empty["high"]) == (None, 0.0, None)


def test_lifts_have_no_energy_here() -> None:
    assert energy_efforts(
        efforts({"movement": "deadlift", "reps": 5.0, "load_kg": 100.0}), crew(), CATALOGUE
    ).is_empty()


def test_running_and_machines_are_channels_of_their_own() -> None:
    assert energy(movement="run", distance_m=1000.0)["channel"] == "energy_run"
    assert energy(movement="row", distance_m=1000.0)["channel"] == "energy_machine"
    assert energy(movement="run", calories=30.0)["channel"] == "energy_machine"


def test_energy_reaches_the_daily_dose() -> None:
    rows = efforts({"movement": "run", "distance_m": 5000.0}, {"movement": "row", "calories": 20.0})
    daily = daily_dose(rows, SESSION.empty(), crew(), REP_MAXIMUM.empty(), CATALOGUE)
    found = dict(daily.filter(pl.col("channel").str.starts_with("energy_")).select("channel", "value").iter_rows())
    assert found == pytest.approx({"energy_run": 400, "energy_machine": 20})
