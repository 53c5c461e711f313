"""A day is the sum of its efforts; what is not known widens it and never becomes zero."""

from __future__ import annotations

from datetime import timedelta

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from keelmark.contracts.errors import CatalogueError
from keelmark.dose import daily_dose
from tests.dose.squad import MONDAY, athletes, efforts, no_maxima, sessions, small_catalogue


def dose_of(*rows: dict[str, object], session_rows: tuple[dict[str, object], ...] = ()) -> dict[str, dict[str, object]]:
    table = daily_dose(efforts(*rows), sessions(*session_rows), athletes(), no_maxima(), small_catalogue())
    return {row["channel"]: row for row in table.to_dicts()}


def amounts(row: dict[str, object]) -> tuple[object, ...]:
    return row["value"], row["low"], row["high"], row["efforts"], row["unknown"]


def test_sets_times_reps_times_load() -> None:
    """3 sets of 5 at 100 kg: 15 reps, 1500 kg; two seconds of grip a rep, 1 to 4 of them (derived)."""
    dose = dose_of({"movement": "deadlift", "sets": 3, "reps": 5.0, "load_kg": 100.0})
    assert amounts(dose["tonnage"]) == (1500.0, 1500.0, 1500.0, 1, 0)
    assert amounts(dose["hip_hinge_reps"]) == (15.0, 15.0, 15.0, 1, 0)
    assert amounts(dose["hip_hinge_kg"]) == (1500.0, 1500.0, 1500.0, 1, 0)
    assert amounts(dose["grip_s"]) == (30.0, 15.0, 60.0, 1, 0)


def test_a_missing_load_leaves_the_upper_bound_open() -> None:
    """10 x 60 kg is known, the second set is not: at least 600 kg (derived)."""
    dose = dose_of(
        {"movement": "deadlift", "reps": 10.0, "load_kg": 60.0},
        {"movement": "deadlift", "reps": 10.0, "load_basis": "unknown"},
    )
    assert amounts(dose["tonnage"]) == (600.0, 600.0, None, 1, 1)
    assert amounts(dose["hip_hinge_reps"]) == (20.0, 20.0, 20.0, 2, 0)


@pytest.mark.parametrize("basis", ["unknown", "none"])
def test_a_lift_that_needs_a_load_and_has_none_is_unknown_never_zero(basis: str) -> None:
    dose = dose_of({"movement": "back_squat", "reps": 10.0, "load_basis": basis})
    assert amounts(dose["tonnage"]) == (None, 0.0, None, 0, 1)
    assert amounts(dose["knee_kg"]) == (None, 0.0, None, 0, 1)
    assert amounts(dose["knee_reps"]) == (10.0, 10.0, 10.0, 1, 0)


def test_body_weight_work_is_a_known_tonnage_of_zero() -> None:
    dose = dose_of({"movement": "air_squat", "reps": 40.0})
    assert amounts(dose["tonnage"]) == (0.0, 0.0, 0.0, 1, 0)
    assert "knee_kg" not in dose


def test_body_weight_work_without_a_load_column_is_still_body_weight_work() -> None:
    assert amounts(dose_of({"movement": "air_squat", "reps": 40.0, "load_basis": "unknown"})["tonnage"])[4] == 0


def test_a_lunge_may_carry_a_load_and_an_unknown_one_is_counted() -> None:
    assert "knee_kg" not in dose_of({"movement": "lunge", "reps": 20.0})
    assert amounts(dose_of({"movement": "lunge", "reps": 20.0, "load_kg": 16.0})["knee_kg"])[0] == 320.0
    assert amounts(dose_of({"movement": "lunge", "reps": 20.0, "load_basis": "unknown"})["knee_kg"])[4] == 1


def test_shares_of_an_open_score_widen_the_dose() -> None:
    """20 reps written, between half and all of them done (derived)."""
    dose = dose_of({"movement": "air_squat", "reps": 20.0, "share_low": 0.5, "share_high": 1.0})
    assert amounts(dose["knee_reps"])[:3] == (20.0, 10.0, 20.0)


def test_landings_by_class() -> None:
    dose = dose_of({"movement": "box_jump", "reps": 30.0}, {"movement": "depth_jump", "reps": 10.0})
    assert dose["jump_contacts"]["value"] == 50.0
    assert dose["jump_contacts_high"]["value"] == 20.0


def test_work_given_in_time_alone_is_turned_into_metres_with_a_range() -> None:
    """600 s at 3 (2 to 5) m/s and 0.8 (0.6 to 1) strikes a metre: 1440 (720 to 3000) strikes (derived)."""
    dose = dose_of({"movement": "run", "duration_s": 600.0})
    assert amounts(dose["foot_strikes"])[:3] == pytest.approx((1440.0, 720.0, 3000.0))


def test_work_given_in_calories_is_turned_into_metres_with_a_range() -> None:
    """20 kcal at 12 (10 to 16) m and 0.8 (0.6 to 1) strikes: 192 (120 to 320) (derived)."""
    dose = dose_of({"movement": "run", "calories": 20.0})
    assert amounts(dose["foot_strikes"])[:3] == pytest.approx((192.0, 120.0, 320.0))


def test_amounts_that_describe_the_same_work_are_not_added_up() -> None:
    alone = dose_of({"movement": "run", "distance_m": 1000.0})
    both = dose_of({"movement": "run", "distance_m": 1000.0, "duration_s": 300.0, "calories": 70.0})
    assert alone["foot_strikes"] == both["foot_strikes"]


def test_jumps_against_the_clock_are_counted_by_their_cadence() -> None:
    """60 s at 3 (2 to 5) s a rep: 20 (12 to 30) landings (derived)."""
    dose = dose_of({"movement": "box_jump", "duration_s": 60.0})
    assert amounts(dose["jump_contacts"])[:3] == pytest.approx((20.0, 12.0, 30.0))


def test_an_amount_that_leads_nowhere_is_unknown() -> None:
    dose = dose_of({"movement": "depth_jump", "duration_s": 60.0})
    assert amounts(dose["jump_contacts"]) == (None, 0.0, None, 0, 1)


def test_an_effort_without_any_amount_is_unknown() -> None:
    dose = dose_of({"movement": "deadlift", "load_kg": 80.0})
    assert amounts(dose["tonnage"]) == (None, 0.0, None, 0, 1)
    assert amounts(dose["hip_hinge_reps"]) == (None, 0.0, None, 0, 1)


def test_a_carry_has_grip_but_no_tonnage() -> None:
    """50 m at 1 (0.5 to 2) m/s: 50 (25 to 100) s under grip (derived); nothing is lifted and counted."""
    dose = dose_of({"movement": "carry", "distance_m": 50.0, "load_kg": 48.0})
    assert amounts(dose["grip_s"])[:3] == pytest.approx((50.0, 25.0, 100.0))
    assert amounts(dose["tonnage"])[:3] == (0.0, 0.0, 0.0)


def test_a_day_of_stretching_is_a_day_on_record() -> None:
    dose = dose_of({"movement": "stretch", "duration_s": 900.0})
    assert amounts(dose["tonnage"]) == (0.0, 0.0, 0.0, 1, 0)


def test_session_load_is_rating_times_minutes() -> None:
    """7 x 60 = 420 (derived from the definition)."""
    dose = dose_of({"movement": "air_squat", "reps": 1.0}, session_rows=({"session_rpe": 7.0, "duration_min": 60.0},))
    assert amounts(dose["session_load"]) == (420.0, 420.0, 420.0, 1, 0)


@pytest.mark.parametrize("row", [{"session_rpe": 7.0}, {"duration_min": 60.0}, {}])
def test_a_session_without_rating_or_length_is_unknown(row: dict[str, object]) -> None:
    dose = dose_of({"movement": "air_squat", "reps": 1.0}, session_rows=(row,))
    assert amounts(dose["session_load"]) == (None, 0.0, None, 0, 1)


def test_efforts_without_a_session_row_have_an_unknown_session_load() -> None:
    assert amounts(dose_of({"movement": "air_squat", "reps": 1.0})["session_load"]) == (None, 0.0, None, 0, 1)


def test_two_sessions_on_one_day_add_up() -> None:
    rated = {"session_rpe": 5.0, "duration_min": 40.0}
    dose = dose_of({"movement": "air_squat", "reps": 1.0}, session_rows=(rated, {**rated, "session_id": "s2"}))
    assert dose["session_load"]["value"] == 400.0


def test_a_session_without_efforts_gives_session_load_only() -> None:
    table = daily_dose(
        efforts(), sessions({"session_rpe": 5.0, "duration_min": 40.0}), athletes(), no_maxima(), small_catalogue()
    )
    assert table["channel"].to_list() == ["session_load"]


def test_another_athlete_changes_nobody_elses_dose() -> None:
    own = {"movement": "deadlift", "reps": 5.0, "load_kg": 90.0}
    other = {**own, "athlete_id": "ebbe", "date": MONDAY + timedelta(days=1), "load_basis": "external"}
    alone = daily_dose(efforts(own), sessions(), athletes(), no_maxima(), small_catalogue())
    both = daily_dose(efforts(other, own), sessions(), athletes("runa", "ebbe"), no_maxima(), small_catalogue())
    assert_frame_equal(both.filter(pl.col("athlete_id") == "runa"), alone, rel_tol=1e-12)


def test_a_movement_that_nobody_knows_is_refused_with_a_remedy() -> None:
    with pytest.raises(CatalogueError, match=r"the movement moon_walk is not in the catalogue.*add the movement"):
        dose_of({"movement": "moon_walk", "reps": 3.0})
