"""High-rep lifting: capacities, the state of the maximum behind them, and what is said beside them."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import polars as pl
import pytest

from keelmark.contracts.frames import REP_MAXIMUM
from keelmark.dose.high_rep import high_rep_daily, high_rep_details, high_rep_efforts
from tests.dose.bodies import CATALOGUE
from tests.dose.squad import MONDAY, efforts, no_maxima


def maximum(load: float = 120.0, days_before: int = 7, **fields: Any) -> pl.DataFrame:
    usual = {"athlete_id": "runa", "movement": "deadlift", "state": "tested"}
    return REP_MAXIMUM.build([{**usual, "date": MONDAY - timedelta(days=days_before), "load_kg": load, **fields}])


def lift(reps: float = 45.0, load: float = 60.0, **fields: Any) -> dict[str, Any]:
    return {"movement": "deadlift", "reps": reps, "load_kg": load, **fields}


def details(*rows: dict[str, Any], maxima: pl.DataFrame | None = None) -> dict[str, Any]:
    found = high_rep_details(efforts(*rows), maximum() if maxima is None else maxima, CATALOGUE)
    return found.row(-1, named=True)


def test_45_reps_at_half_of_the_maximum_are_one_and_a_half_capacities() -> None:
    """Derived: n = 30 (120 / 60 - 1) = 30; 45 / 30 = 1.5."""
    row = details(lift(effort_s=180.0))
    assert row["capacities"] == pytest.approx(1.5)
    assert row["reps_possible"] == pytest.approx(30)
    assert row["extrapolated"]
    assert row["reps_per_minute"] == pytest.approx(15)
    assert row["state"] == "tested"


def test_rungs_of_one_part_share_its_clock_and_a_log_row_has_its_own() -> None:
    """Derived: 21 + 15 + 9 = 45 reps in 9 min 30 s are 4.74 a minute; 3 sets of 10 reps, 40 s each, are 15."""
    rungs = [lift(reps=reps, effort_s=570.0, block="1", order=place) for place, reps in enumerate((21.0, 15.0, 9.0))]
    assert details(*rungs)["reps_per_minute"] == pytest.approx(45 / 9.5)
    assert details(*rungs, lift(reps=5.0, block="2"))["reps_per_minute"] is None
    assert details(lift(reps=10.0, sets=3, duration_s=40.0))["reps_per_minute"] == pytest.approx(15)


def test_the_interval_carries_the_spread_of_a_tested_maximum() -> None:
    """Derived: 1.96 x 4.2 % (Grgic 2020): M between 110.12 and 129.88; n between 25.06 and 34.94."""
    row = details(lift())
    assert row["maximum_kg_low"] == pytest.approx(110.12, abs=0.005)
    assert row["capacities_low"] == pytest.approx(45 / 34.939, abs=1e-3)
    assert row["capacities_high"] == pytest.approx(45 / 25.061, abs=1e-3)


def test_sets_add_up_and_few_reps_are_not_extrapolated() -> None:
    """Derived: at 100 of 120 kg n = 6; 3 sets of 3 are 1.5."""
    row = details(lift(3.0, 100.0, sets=3))
    assert row["capacities"] == pytest.approx(1.5)
    assert not row["extrapolated"]


def test_a_load_at_or_above_the_maximum_holds_one_rep() -> None:
    assert details(lift(1.0, 120.0))["capacities"] == 1
    assert details(lift(2.0, 150.0))["capacities"] == 2


def test_above_the_maximum_each_set_is_one_full_set_at_the_least() -> None:
    """derived: whoever does 5 reps in one set holds 5 of them, so 5 reps are 5 / 5 = 1 full set or more."""
    found = details(lift(5.0, 150.0))
    assert (found["capacities_low"], found["capacities"], found["capacities_high"]) == (1.0, 5.0, 5.0)


def test_without_any_maximum_the_figure_is_unknown_and_counted() -> None:
    rows = efforts(lift())
    day = high_rep_daily(rows, no_maxima(), CATALOGUE).row(0, named=True)
    assert (day["value"], day["low"], day["high"], day["efforts"], day["unknown"]) == (None, 0.0, None, 0, 1)
    assert details(lift(), maxima=no_maxima())["state"] is None


def test_an_unknown_load_is_unknown() -> None:
    found = high_rep_efforts(
        efforts({"movement": "deadlift", "reps": 45.0, "load_basis": "unknown"}), maximum(), CATALOGUE
    )
    assert found["value"].to_list() == [None]


def test_recent_sets_stand_in_for_a_test_and_say_so() -> None:
    """Derived: 100 kg for 6 a week before: 100 (1 + 6 / 30) = 120 kg by Epley."""
    before = lift(6.0, 100.0, date=MONDAY - timedelta(days=7))
    row = details(before, lift(), maxima=no_maxima())
    assert row["state"] == "estimated"
    assert row["maximum_kg"] == pytest.approx(120)
    assert row["maximum_kg_high"] - 120 > 120 - row["maximum_kg_low"]
    assert row["capacities"] == pytest.approx(1.5)


@pytest.mark.parametrize(("reps", "days"), [(6.0, 85), (20.0, 7), (6.0, 0)])
def test_old_long_or_same_day_sets_do_not_stand_in(reps: float, days: int) -> None:
    before = lift(reps, 100.0, date=MONDAY - timedelta(days=days), order=1)
    found = high_rep_details(efforts(before, lift()), no_maxima(), CATALOGUE)
    assert found.filter(pl.col("reps") == 45)["state"].to_list() == [None]


def test_an_old_best_set_leaves_the_window_though_newer_sets_are_in_it() -> None:
    """Derived: 100 kg for 6 stand for 120 kg but are 100 days old; 80 kg for 6, 50 days old, stand for 96 kg."""
    old, newer = (lift(6.0, load, date=MONDAY - timedelta(days=days)) for load, days in ((100.0, 100), (80.0, 50)))
    assert details(old, newer, lift(20.0), maxima=no_maxima())["maximum_kg"] == pytest.approx(96)


def test_a_later_test_does_not_replace_recent_sets() -> None:
    before = lift(6.0, 100.0, date=MONDAY - timedelta(days=7))
    later = maximum(200.0, days_before=-30)
    assert details(before, lift(), maxima=later)["maximum_kg"] == pytest.approx(120)


def test_an_old_or_later_test_is_called_stale_and_widens_the_range() -> None:
    fresh, old, later = (details(lift(), maxima=maximum(days_before=days)) for days in (7, 200, -30))
    assert (fresh["state"], old["state"], later["state"]) == ("tested", "stale", "stale")
    for row in (old, later):
        assert row["maximum_kg_high"] - row["maximum_kg_low"] > fresh["maximum_kg_high"] - fresh["maximum_kg_low"]


def test_the_newest_test_before_the_day_counts() -> None:
    maxima = pl.concat([maximum(100.0, days_before=60), maximum(120.0, days_before=7)])
    assert details(lift(), maxima=maxima)["maximum_kg"] == 120


def test_a_movement_without_its_own_maximum_takes_its_parents_share() -> None:
    share = CATALOGUE["sumo_deadlift"].rep_maximum.share
    row = details(lift(movement="sumo_deadlift"))
    assert CATALOGUE["sumo_deadlift"].rep_maximum.of == "deadlift"
    assert row["maximum_kg"] == pytest.approx(120 * share.value)
    assert row["maximum_kg_low"] == pytest.approx(120 * share.low * (1 - 1.96 * 0.042))


def test_a_movements_own_maximum_goes_before_its_parents() -> None:
    maxima = pl.concat([maximum(), maximum(90.0, movement="sumo_deadlift")])
    assert details(lift(movement="sumo_deadlift"), maxima=maxima)["maximum_kg"] == 90


def test_even_an_older_own_maximum_goes_before_a_newer_one_of_the_parent() -> None:
    maxima = pl.concat([maximum(days_before=1), maximum(90.0, days_before=60, movement="sumo_deadlift")])
    assert details(lift(movement="sumo_deadlift"), maxima=maxima)["maximum_kg"] == 90


def test_only_hinge_lifts_count() -> None:
    rows = efforts(lift(), {"movement": "bench_press", "reps": 30.0, "load_kg": 40.0})
    assert high_rep_efforts(rows, maximum(), CATALOGUE)["effort"].to_list() == [0]


def test_days_are_the_sum_of_their_efforts() -> None:
    rows = efforts(lift(), lift(3.0, 100.0, order=1), lift(order=2, load_kg=None, load_basis="unknown"))
    found, day = (
        high_rep_efforts(rows, maximum(), CATALOGUE),
        high_rep_daily(rows, maximum(), CATALOGUE).row(0, named=True),
    )
    assert day["value"] == pytest.approx(found["value"].sum()) == pytest.approx(2.0)
    assert day["high"] is None
    assert (day["efforts"], day["unknown"]) == (2, 1)
