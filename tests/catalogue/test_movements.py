"""The shipped movements: complete, consistent, honest about evidence, and in line with facts of the trade."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from keelmark.catalogue import Catalogue, Movement, shipped_catalogue
from keelmark.contracts.channels import EXPOSURES

FLOOR_FILE = Path(__file__).resolve().parents[1] / "corpus" / "movements.txt"
LOGGED_BY_CLUBS = {
    "bench_pull", "sandbag_carry", "dumbbell_romanian_deadlift", "dumbbell_deadlift", "dumbbell_lunge",
    "dumbbell_step_up", "hang_clean_and_jerk", "split_squat", "nordic_curl", "calf_raise", "leg_curl", "leg_press",
    "lat_pulldown", "sprint", "stair_climb", "hill_run", "rope_pull", "casualty_carry", "sled_push", "walk",
}  # fmt: skip


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped_catalogue()


def floor() -> list[tuple[str, str]]:
    """Canonical name and category of each movement that must be there."""
    lines = FLOOR_FILE.read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in lines if line.strip() and not line.startswith("#")]
    return [(row[0], row[1]) for row in rows]


def one(movement: Movement, exposure: str) -> tuple[float, float, float]:
    """What one rep adds to an exposure: value, low, high."""
    figure = movement.per_rep[exposure]
    return figure.value, figure.low, figure.high


def test_there_are_at_least_190_movements_and_all_of_the_floor(catalogue: Catalogue) -> None:
    assert len(floor()) == 180
    assert [name for name, _ in floor() if name not in catalogue] == []
    assert [name for name, category in floor() if catalogue[name].category != category] == []
    assert set(catalogue) >= LOGGED_BY_CLUBS
    assert len(catalogue) >= 190


def test_every_pattern_is_used_and_none_is_named_like_a_movement(catalogue: Catalogue) -> None:
    text = (files("keelmark.catalogue") / "patterns.toml").read_text(encoding="utf-8")
    patterns = tomllib.loads(text)
    used = {name for movement in catalogue.movements.values() for name in movement.like}
    used |= {name for pattern in patterns.values() for name in pattern.get("like", [])}
    assert set(patterns) - used == set()
    assert set(patterns) & set(catalogue) == set()
    assert used <= set(patterns) | set(catalogue)


def test_every_reference_names_a_movement_of_the_catalogue(catalogue: Catalogue) -> None:
    for movement in catalogue.movements.values():
        assert set(movement.opposes) <= set(catalogue)
        assert movement.name not in movement.opposes
        for swap in movement.swaps:
            assert movement.measures[0] in catalogue[swap.to].measures
            assert swap.to != movement.name
        if movement.rep_maximum:
            parent = catalogue[movement.rep_maximum.of].rep_maximum
            assert parent is not None
            assert parent.of == movement.rep_maximum.of


def test_a_swap_there_and_back_may_come_out_even(catalogue: Catalogue) -> None:
    for name, movement in catalogue.movements.items():
        for swap in movement.swaps:
            for back in catalogue[swap.to].swaps:
                if back.to == name and catalogue[swap.to].measures[0] == movement.measures[0]:
                    assert swap.ratio.low * back.ratio.low <= 1 <= swap.ratio.high * back.ratio.high, (name, swap.to)
                    assert 0.6 <= swap.ratio.value * back.ratio.value <= 1.4, (name, swap.to)


def test_opposing_works_from_both_sides(catalogue: Catalogue) -> None:
    assert {"back_extension", "hip_extension", "kettlebell_swing", "deadlift"} <= set(catalogue.opposing("toes_to_bar"))
    for name in catalogue:
        assert name not in catalogue.opposing(name)
        assert all(name in catalogue.opposing(other) for other in catalogue.opposing(name))


def test_every_number_says_on_what_it_rests(catalogue: Catalogue) -> None:
    for movement, field, figure in catalogue.figures():
        assert figure.low <= figure.value <= figure.high, (movement, field)
        assert figure.source, f"{movement}.{field} gives no source, derivation or reason"


def test_evidence_tally_adds_up_to_all_numbers(catalogue: Catalogue) -> None:
    tally = catalogue.evidence_tally()
    assert sum(tally.values()) == sum(1 for _ in catalogue.figures())
    assert sum(tally.values()) > 1500
    assert all(count > 0 for count in tally.values())


def test_a_judgement_about_timing_is_never_a_single_point(catalogue: Catalogue) -> None:
    timed = ("seconds_per_rep", "metres_per_second", "grip_s", "metres_per_calorie")
    for movement, field, figure in catalogue.figures():
        if field.endswith(timed) and figure.evidence == "judgement":
            assert figure.low < figure.high, (movement, field)


def test_every_movement_that_is_counted_can_be_read_from_a_bare_time(catalogue: Catalogue) -> None:
    counted = [movement for movement in catalogue.movements.values() if "reps" in movement.measures]
    assert [m.name for m in counted if m.seconds_per_rep is None or "duration_s" not in m.measures] == []


def test_every_exposure_is_fed_by_some_movement(catalogue: Catalogue) -> None:
    tables = [table for m in catalogue.movements.values() for table in (m.per_rep, m.per_metre, m.per_second)]
    assert set().union(*tables) == set(EXPOSURES)


def test_barbell_lifts_have_a_maximum_and_hinge_lifts_count_high_reps(catalogue: Catalogue) -> None:
    barbell = [m for m in catalogue.movements.values() if m.implement == "barbell" and "reps" in m.measures]
    without = {m.name for m in barbell if m.rep_maximum is None}
    # A lunge with a bar in front or overhead is never tested for one rep: common practice, no source.
    assert without == {"front_rack_lunge", "overhead_lunge"}
    high = {m.name for m in catalogue.movements.values() if m.high_rep}
    assert high >= {
        "deadlift",
        "clean",
        "snatch",
        "ground_to_overhead",
        "good_morning",
        "romanian_deadlift",
        "power_clean",
    }
    assert all("hip_hinge" in catalogue[name].per_rep for name in high)
    assert not high & {"back_squat", "bench_press", "strict_press", "thruster", "kettlebell_swing"}


# Facts of the trade: common practice, no source.


def test_two_hanging_knee_raises_stand_for_one_toes_to_bar(catalogue: Catalogue) -> None:
    ratios = {swap.to: swap.ratio.value for swap in catalogue["toes_to_bar"].swaps}
    assert ratios["hanging_knee_raise"] == 2


def test_three_single_unders_stand_for_one_double_under(catalogue: Catalogue) -> None:
    ratios = {swap.to: swap.ratio.value for swap in catalogue["double_under"].swaps}
    assert ratios["single_under"] == 3


def test_a_step_down_is_not_a_landing_from_a_jump(catalogue: Catalogue) -> None:
    for name in ("step_up", "box_step_over", "dumbbell_step_up"):
        assert "jump_contacts" not in catalogue[name].per_rep
        assert one(catalogue[name], "step_downs") == (1, 1, 1)
        assert catalogue[name].landing_class == "none"


def test_a_box_jump_lands_once_and_steps_down_unless_the_athlete_jumps_down(catalogue: Catalogue) -> None:
    assert one(catalogue["box_jump"], "jump_contacts") == (1, 1, 2)
    assert one(catalogue["box_jump"], "step_downs") == (1, 0, 1)


@pytest.mark.parametrize("name", ["broad_jump", "squat_jump", "tuck_jump", "hurdle_jump", "pogo_jump", "jumping_lunge"])
def test_both_feet_landing_together_count_once(catalogue: Catalogue, name: str) -> None:
    # Volume counts the times "a foot, or both feet together" meet the ground: Potach and Chu, in Haff and Triplett,
    # Essentials of Strength Training and Conditioning, 4th ed., 2016 (read in a secondary copy).
    assert one(catalogue[name], "jump_contacts") == (1, 1, 1)


def test_skipping_and_running_are_foot_strikes_and_no_jumps(catalogue: Catalogue) -> None:
    for name in ("single_under", "double_under", "run", "sprint", "shuttle_run"):
        movement = catalogue[name]
        tables = (movement.per_rep, movement.per_metre, movement.per_second)
        assert any("foot_strikes" in table for table in tables)
        assert not any("jump_contacts" in table for table in tables)


def test_only_drops_land_in_the_high_class(catalogue: Catalogue) -> None:
    assert [m.name for m in catalogue.movements.values() if m.landing_class == "high"] == ["depth_jump"]


def test_ground_to_overhead_hinges_and_locks_out_once(catalogue: Catalogue) -> None:
    movement = catalogue["ground_to_overhead"]
    for exposure in ("hip_hinge", "overhead", "hip_opening", "two_legged"):
        assert one(movement, exposure) == (1, 1, 1)
    assert movement.high_rep


def test_toes_to_bar_closes_trunk_and_hip_once_and_hangs(catalogue: Catalogue) -> None:
    movement = catalogue["toes_to_bar"]
    assert one(movement, "spinal_flexion") == (1, 1, 1)
    assert one(movement, "hip_closing") == (1, 1, 1)
    value, low, high = one(movement, "grip_s")
    assert 1 <= low < value < high <= 4


# Facts with a source, or with arithmetic shown.


def test_running_cadence_agrees_with_the_published_one(catalogue: Catalogue) -> None:
    # van Oeveren, de Ruiter, Beek, van Dieën 2017, PLoS ONE 12(10):e0184273: 77, 79 and 80 strides a minute at 2.4, 2.6
    # and 2.9 m/s; a stride is two steps.
    run = catalogue["run"]
    for strides, speed in ((77, 2.4), (79, 2.6), (80, 2.9)):
        a_second = 2 * strides / 60
        assert run.per_second["foot_strikes"].low <= a_second <= run.per_second["foot_strikes"].high
        assert run.per_metre["foot_strikes"].low <= a_second / speed <= run.per_metre["foot_strikes"].high


def test_running_calories_agree_with_the_published_cost(catalogue: Catalogue) -> None:
    # Margaria, Cerretelli, Aghemo, Sassi 1963, J Appl Physiol 18(2):367-370: 1 kcal per kg and km on the level.
    figure = catalogue["run"].metres_per_calorie
    assert figure is not None
    assert figure.value == pytest.approx(1000 / 70, abs=0.05)
    assert figure.low <= 1000 / 110
    assert figure.high == pytest.approx(1000 / 50)


@pytest.mark.parametrize(("seconds_for_500_m", "metres"), [(100, 12.0), (120, 15.08), (150, 18.31)])
def test_rowing_calories_follow_from_the_machines_counting(
    catalogue: Catalogue, seconds_for_500_m: float, metres: float
) -> None:
    # Derived: watts = 2.8 v^3, kcal a second = (4 watts + 350) / 4200; 120 s for 500 m: v = 4.1667, 202.5 W,
    # 0.2762 kcal/s, 15.08 m for a calorie.
    speed = 500 / seconds_for_500_m
    assert speed / ((4 * 2.8 * speed**3 + 350) / 4200) == pytest.approx(metres, abs=0.02)
    figure = catalogue["row"].metres_per_calorie
    assert figure is not None
    assert figure.low <= metres <= figure.high + 0.02


def test_share_of_body_mass_follows_from_the_segment_table(catalogue: Catalogue) -> None:
    # Winter 2009, table of segment masses (read in a secondary copy): leg and foot 0.061, head-arms-trunk 0.678,
    # forearm and hand 0.022, arm 0.050.
    assert catalogue["air_squat"].body_mass_share.value == pytest.approx(1 - 2 * 0.061, abs=0.005)
    assert catalogue["deadlift"].body_mass_share.value == pytest.approx(0.678, abs=0.005)
    assert catalogue["pull_up"].body_mass_share.value == pytest.approx(1 - 2 * 0.022, abs=0.01)
    assert catalogue["strict_press"].body_mass_share.value == pytest.approx(2 * 0.050)
