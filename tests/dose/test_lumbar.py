"""Lumbar figures of efforts and days: what widens them, what empties them, and what they must never do."""

from __future__ import annotations

import math
from datetime import timedelta

import polars as pl
import pytest

from keelmark.catalogue.posture import PostureTable, shipped_postures
from keelmark.contracts.frames import ATHLETE, REP_MAXIMUM
from keelmark.dose.lumbar import LUMBAR_CHANNELS, lumbar_daily, lumbar_efforts, lumbar_reps
from keelmark.dose.lumbar_points import lumbar_points
from tests.dose.bodies import CATALOGUE, crew, one_rep
from tests.dose.squad import MONDAY, athletes, efforts

LIFTS = efforts(
    {"movement": "deadlift", "sets": 3, "reps": 5.0, "load_kg": 100.0},
    {"movement": "wall_ball", "reps": 50.0, "load_kg": 6.0, "order": 1},
    {"movement": "toes_to_bar", "reps": 20.0, "order": 2},
    {"movement": "pull_up", "reps": 20.0, "order": 3},
)


def channel(frame: pl.DataFrame, name: str, effort: int | None = None) -> dict[str, float | None]:
    rows = frame.filter(pl.col("channel") == name)
    return (rows if effort is None else rows.filter(pl.col("effort") == effort)).row(0, named=True)


def test_a_rep_is_the_moment_times_its_seconds_and_the_reps() -> None:
    """Derived: impulse = moment x seconds x mean share of the floor pull (2.0 s, 0.55); 3 sets of 5 reps."""
    rep = one_rep("deadlift", sets=3, reps=5.0, load_kg=100.0)
    assert rep["times"] == rep["cycles"] == 15
    assert rep["impulse"] == pytest.approx(rep["moment"] * 2.0 * 0.55)
    dose = channel(lumbar_efforts(LIFTS, crew(), CATALOGUE), "lumbar_moment", 0)
    assert dose["value"] == pytest.approx(15 * rep["impulse"])


def test_powers_of_compression_follow_from_one_rep() -> None:
    """Derived: kN per rep times reps, and its square times reps."""
    rep, doses = one_rep("deadlift", sets=3, reps=5.0, load_kg=100.0), lumbar_efforts(LIFTS, crew(), CATALOGUE)
    kilonewton = rep["compression"] / 1000
    assert channel(doses, "lumbar_compression", 0)["value"] == pytest.approx(15 * kilonewton)
    assert channel(doses, "lumbar_compression_2", 0)["value"] == pytest.approx(15 * kilonewton**2)


def test_days_are_the_sum_of_their_efforts_and_the_largest_peak() -> None:
    rows, days = lumbar_efforts(LIFTS, crew(), CATALOGUE), lumbar_daily(LIFTS, crew(), CATALOGUE)
    for name in LUMBAR_CHANNELS:
        of_efforts, day = rows.filter(pl.col("channel") == name), channel(days, name)
        gathered = of_efforts["value"].max() if name == "lumbar_peak" else of_efforts["value"].sum()
        assert day["value"] == pytest.approx(gathered)
        assert day["efforts"] == of_efforts.height
        assert day["unknown"] == 0


def test_measured_trunk_work_presses_but_asks_no_extension_moment() -> None:
    fed = lumbar_efforts(LIFTS, crew(), CATALOGUE).filter(pl.col("effort") == 2)["channel"].to_list()
    assert fed == ["lumbar_compression", "lumbar_compression_2", "lumbar_fatigue"]


def test_measured_compression_grows_with_body_mass() -> None:
    """Derived: 2805 N of the source, for an assumed 75 kg, times mass over 75."""
    assert one_rep("toes_to_bar")["compression"] == pytest.approx(2805 * 80 / 75)
    assert one_rep("toes_to_bar", crew(body_mass_kg=60.0))["compression"] == pytest.approx(2805 * 60 / 75)


def test_hanging_is_not_counted() -> None:
    assert lumbar_efforts(LIFTS, crew(), CATALOGUE).filter(pl.col("effort") == 3).is_empty()


def test_bounds_contain_the_figure_for_every_movement() -> None:
    table = shipped_postures()
    rows = efforts(
        *({"movement": name, "reps": 10.0, "load_kg": 20.0, "order": i} for i, name in enumerate(table.family_of))
    )
    for body in (crew(), crew(sex=None, body_mass_kg=None, stature_cm=None)):
        found = lumbar_efforts(rows, body, CATALOGUE)
        assert found["value"].null_count() == 0
        assert found.filter(~pl.col("value").is_between("low", "high")).is_empty()
        assert found.filter(pl.col("low") < 0).is_empty()


def test_reading_twice_gives_the_same_bounds() -> None:
    assert lumbar_daily(LIFTS, crew(), CATALOGUE).equals(lumbar_daily(LIFTS, crew(), CATALOGUE))


def test_a_body_that_is_not_known_widens_the_range_and_says_so() -> None:
    known, unknown = one_rep("deadlift", load_kg=100.0), one_rep("deadlift", athletes("runa"), load_kg=100.0)
    assert unknown["moment_high"] - unknown["moment_low"] > 1.3 * (known["moment_high"] - known["moment_low"])
    assert known["assumptions"] == []
    assert unknown["assumptions"] == [
        "body mass not on record: 45 to 125 kg assumed",
        "stature not on record: 150 to 196 cm assumed",
        "sex not on record: segment masses of both tables span the range",
    ]


def test_an_athlete_outside_the_roster_is_one_of_whom_nothing_is_known() -> None:
    stranger = one_rep("deadlift", ATHLETE.empty(), load_kg=100.0)
    assert len(stranger["assumptions"]) == 3
    assert stranger["moment"] == pytest.approx(one_rep("deadlift", athletes("runa"), load_kg=100.0)["moment"])


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"body_mass_kg": 7.0}, "body mass 7 kg is not used: wanted 20 to 300 kg"),
        ({"body_mass_kg": 700.0}, "body mass 700 kg is not used: wanted 20 to 300 kg"),
        ({"stature_cm": 70.0}, "stature 70 cm is not used: wanted 100 to 250 cm"),
    ],
)
def test_a_body_beyond_belief_is_set_aside_with_a_sentence(fields: dict[str, float], sentence: str) -> None:
    odd = one_rep("deadlift", crew(**fields), load_kg=100.0)
    assert odd["assumptions"][0] == sentence
    missing = one_rep("deadlift", crew(**dict.fromkeys(fields)), load_kg=100.0)
    assert odd["moment"] == missing["moment"]
    assert odd["moment_high"] == missing["moment_high"]


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"load_basis": "unknown"}, "load"),
        ({"load_basis": "none"}, "load"),
        ({"load_kg": 2500.0}, "load: 2500 kg is not between 0 and 700"),
        ({"load_kg": 100.0, "reps": None}, "amount"),
        ({"load_kg": 100.0, "start_height_cm": -4.0}, "start height: -4 cm is not between 1 and 150"),
    ],
)
def test_what_is_not_known_empties_the_figure_and_is_named(fields: dict[str, object], said: str) -> None:
    rows = efforts({"movement": "deadlift", "reps": 5.0, **fields})
    assert lumbar_reps(rows, crew(), CATALOGUE)["missing"].to_list() == [said]
    for name in LUMBAR_CHANNELS:
        day = channel(lumbar_daily(rows, crew(), CATALOGUE), name)
        assert (day["value"], day["high"], day["efforts"], day["unknown"]) == (None, None, 0, 1)


def test_an_unknown_load_still_leaves_what_the_body_alone_asks_as_a_lower_bound() -> None:
    rows = efforts({"movement": "deadlift", "reps": 5.0, "load_basis": "unknown"})
    light = efforts({"movement": "deadlift", "reps": 5.0, "load_kg": 1e-9})
    low = channel(lumbar_efforts(rows, crew(), CATALOGUE), "lumbar_moment")["low"]
    assert low == pytest.approx(channel(lumbar_efforts(light, crew(), CATALOGUE), "lumbar_moment")["low"])
    assert low > 0


def test_a_rep_maximum_bounds_an_unknown_load_from_above() -> None:
    """Derived: tested 150 kg, retest spread 4.2 %, so at most 150 (1 + 1.96 x 0.042) = 162.348 kg."""
    rows = efforts({"movement": "deadlift", "reps": 5.0, "load_basis": "unknown"})
    most = efforts({"movement": "deadlift", "reps": 5.0, "load_kg": 162.348})
    tested = {"athlete_id": "runa", "movement": "deadlift", "date": MONDAY, "load_kg": 150.0, "state": "tested"}
    found = lumbar_efforts(rows, crew(), CATALOGUE, rep_maxima=REP_MAXIMUM.build([tested]))
    for name in LUMBAR_CHANNELS:
        bounded = channel(found, name)
        assert bounded["value"] is None
        as_lifted = channel(lumbar_efforts(most, crew(), CATALOGUE), name)["high"]
        if name == "lumbar_fatigue":  # 162 kg lie beyond the end of the law's fit
            assert bounded["high"] is as_lifted is None
        else:
            assert bounded["high"] == pytest.approx(as_lifted, rel=1e-5)


def test_a_fatigue_index_at_the_end_of_its_law_is_at_least_that_and_open_upwards() -> None:
    """Derived: the fit ends at 70 % of strength, where one rep counts exp(0.162 x 70) / 902416 = 0.0931."""
    heavy, light = (efforts({"movement": "deadlift", "reps": 5.0, "load_kg": load}) for load in (160.0, 5.0))
    capped, free = (channel(lumbar_daily(rows, crew(), CATALOGUE), "lumbar_fatigue") for rows in (heavy, light))
    assert capped["value"] == pytest.approx(5 * math.exp(0.162 * 70) / 902416)
    assert (capped["high"], capped["unknown"]) == (None, 0)
    assert free["low"] < free["value"] < free["high"]


def test_a_heavy_day_leaves_the_other_lumbar_figures_bounded() -> None:
    days = lumbar_daily(efforts({"movement": "deadlift", "reps": 5.0, "load_kg": 160.0}), crew(), CATALOGUE)
    assert days.filter(pl.col("high").is_null())["channel"].to_list() == ["lumbar_fatigue"]


def test_known_and_unknown_efforts_of_one_day_leave_the_upper_bound_open() -> None:
    rows = pl.concat([LIFTS, efforts({"movement": "deadlift", "reps": 5.0, "load_basis": "unknown", "order": 9})])
    day, without = (channel(lumbar_daily(part, crew(), CATALOGUE), "lumbar_moment") for part in (rows, LIFTS))
    assert day["high"] is None
    assert day["unknown"] == 1
    assert day["low"] > without["low"]
    assert day["value"] > without["value"]


def test_a_negative_height_of_a_drop_is_told() -> None:
    rep = one_rep("depth_jump", height_cm=-30.0)
    assert rep["missing"] == "height: -30 cm is not between 5 and 200"


def test_a_movement_about_whose_posture_nobody_has_said_anything_is_unknown() -> None:
    rows = efforts({"movement": "swim", "reps": 5.0})
    nobody = PostureTable([], [])
    found = lumbar_efforts(rows, crew(), CATALOGUE, postures=nobody)
    assert found["channel"].to_list() == list(LUMBAR_CHANNELS)
    assert found["value"].null_count() == found["high"].null_count() == found.height
    assert found["low"].to_list() == [0.0] * found.height


def test_shares_of_a_partly_known_score_widen_the_reps() -> None:
    rows = efforts({"movement": "deadlift", "reps": 10.0, "load_kg": 60.0, "share_low": 0.5, "share_high": 1.0})
    rep = lumbar_reps(rows, crew(), CATALOGUE).row(0, named=True)
    assert (rep["times"], rep["times_low"], rep["times_high"]) == (10, 5, 10)


def test_a_hold_counts_its_seconds_once_and_each_set_as_one_cycle() -> None:
    rep = one_rep("plank_hold", reps=None, duration_s=60.0, sets=3)
    assert rep["held"]
    assert rep["times"] == 180
    assert rep["cycles"] == 3


def test_a_carry_counts_steps_by_the_metre() -> None:
    """Derived: 1.5 steps a metre in the posture table, 1.2 to 1.9."""
    rep = one_rep("farmers_carry", reps=None, distance_m=100.0, load_kg=48.0)
    assert (rep["cycles"], rep["cycles_low"], rep["cycles_high"]) == pytest.approx((150, 120, 190))


def test_a_carry_counts_only_what_the_load_adds_to_walking() -> None:
    light, heavy = (one_rep("farmers_carry", reps=None, distance_m=50.0, load_kg=load) for load in (20.0, 40.0))
    assert heavy["moment"] == pytest.approx(2 * light["moment"])
    assert heavy["compression"] == pytest.approx(2 * light["compression"])
    assert light["compression"] > 20 * 9.81


@pytest.mark.parametrize("movement", ["run", "walk", "bike", "double_under", "dead_hang", "swim"])
def test_steps_bounces_hangs_and_seats_are_not_counted_and_say_why(movement: str) -> None:
    rows = efforts({"movement": movement, "duration_s": 600.0})
    assert lumbar_efforts(rows, crew(), CATALOGUE).is_empty()
    assert len(shipped_postures().unloaded[movement]) > 20


def test_calories_on_a_machine_become_strokes() -> None:
    per_calorie = CATALOGUE["row"].metres_per_calorie
    rep = one_rep("row", reps=None, calories=20.0)
    assert rep["cycles"] == pytest.approx(20 * per_calorie.value * 0.105)


def test_points_of_a_long_log_are_those_of_the_ordinary_reading() -> None:
    rows = pl.concat(
        [
            LIFTS,
            efforts(
                {"movement": "deadlift", "reps": 5.0, "load_basis": "unknown", "athlete_id": "stranger"},
                {"movement": "rack_pull", "reps": 5.0, "load_kg": 120.0, "start_height_cm": 50.0},
                {"movement": "plank_hold", "duration_s": 60.0, "date": MONDAY + timedelta(days=1)},
                {"movement": "depth_jump", "reps": 8.0, "height_cm": -3.0, "date": MONDAY + timedelta(days=1)},
            ),
        ]
    )
    daily = lumbar_daily(rows, crew(), CATALOGUE)
    points = lumbar_points(rows.lazy(), crew(), CATALOGUE)
    for row in points.iter_rows(named=True):
        same_day = daily.filter(pl.col("athlete_id") == row["athlete_id"], pl.col("date") == row["date"])
        assert row["unknown"] == same_day["unknown"].max()
        for name in LUMBAR_CHANNELS:
            found = same_day.filter(pl.col("channel") == name, pl.col("unknown") == 0)
            if found.height:
                assert row[name] == pytest.approx(found["value"][0])
