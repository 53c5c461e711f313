"""The lumbar model against what others measured or modelled. It is not tuned to them; Methods shows the misses."""

from __future__ import annotations

import pytest

from keelmark.dose.lumbar_published import Comparison, comparisons
from tests.dose.bodies import crew, one_rep

ALL = comparisons()


def named(part: str) -> Comparison:
    return next(found for found in ALL if part in found.task)


def test_a_16_kilogram_swing_is_within_a_factor_of_two_of_3200_newtons() -> None:
    """McGill SM, Marshall LW. J Strength Cond Res 2012;26(1):16-27."""
    assert 0.5 <= named("swing").model / 3200 <= 2


@pytest.mark.parametrize("share", ["0.8", "1.6"])
def test_half_squats_are_within_half_of_6_to_10_body_weights(share: str) -> None:
    """Cappozzo A et al. Med Sci Sports Exerc 1985;17(5):613-620: bar of 0.8 to 1.6 body weights."""
    assert 0.5 * 6 <= named(f"bar of {share}").model <= 1.5 * 10


def test_at_the_published_heaviest_moment_the_compression_is_near_the_published_one_and_below_20_kilonewtons() -> None:
    """Cholewicki J et al. Med Sci Sports Exerc 1991;23(10):1179-1186: 988 N m and 17,192 N."""
    heaviest = named("heaviest lifts")
    assert heaviest.model == pytest.approx(17192, rel=0.10)
    assert heaviest.model < 20_000


def test_a_wide_stance_takes_about_a_tenth_off_the_moment() -> None:
    """Same source: 10 %."""
    assert named("wide stance").model == pytest.approx(0.90, abs=0.05)


def test_lifting_20_kilograms_ranks_as_disc_pressure_does_and_stays_within_40_percent() -> None:
    """Wilke HJ et al. Spine 1999;24(8):755-762: 0.50, 1.10, 1.70, 2.30 MPa; ratios to standing 2.2, 3.4, 4.6."""
    tasks = [named("held close to the body"), named("20 kg lifted with bent knees"), named("round back")]
    models = [task.model for task in tasks]
    assert 1 < models[0] < models[1] < models[2]
    for task, ratio in zip(tasks, (2.2, 3.4, 4.6), strict=True):
        assert task.published_low == ratio
        assert task.model == pytest.approx(ratio, rel=0.40)


def test_bending_forward_without_a_load_presses_harder_than_standing_and_less_than_with_one() -> None:
    """Same source: 1.10 MPa, 2.2 times standing. The lean is not in print at hand; at 70 degrees the model gives more
    than it, which Methods shows."""
    bent = named("standing, bent forward")
    assert 1 < bent.model < named("round back").model
    assert bent.published_low == 2.2
    assert bent.ratio_low > 1


def test_a_wide_stance_takes_about_a_twelfth_off_the_shear() -> None:
    """Cholewicki J et al. 1991: 8 %."""
    shear = next(found for found in ALL if found.quantity == "shear, as a share")
    assert shear.model == pytest.approx(0.92, abs=0.08)
    assert shear.model_low < 0.92 < shear.model_high


def test_a_floor_lift_with_a_bent_back_presses_harder_than_one_with_bent_knees() -> None:
    """La Torre M et al. J Orthop Res Ther 2017:134, one subject: 3594 N against 2700 N, 1.33 times."""
    found = named("floor lift")
    assert found.published_low == pytest.approx(3594 / 2700, abs=0.005)
    assert found.model == pytest.approx(1.33, rel=0.25)


@pytest.mark.parametrize("movement", ["deadlift", "back_squat", "power_clean", "good_morning", "romanian_deadlift"])
def test_no_hinge_lies_below_standing_or_above_the_heaviest_ever_modelled(movement: str) -> None:
    """Sanity band of published disc, implant and powerlifting figures: above standing, below about 20 kN; a lifter of
    100 kg with up to 2.5 times body weight, less where less is ever lifted."""
    body = crew(body_mass_kg=100.0, sex="male")
    standing = 9.81 * 100 * 0.536
    heaviest = {"good_morning": 150.0, "power_clean": 150.0, "romanian_deadlift": 200.0}.get(movement, 250.0)
    for load in (1.0, 60.0, heaviest):
        assert standing < one_rep(movement, body, load_kg=load)["compression"] < 20_000


def test_each_comparison_says_by_how_much_the_model_misses() -> None:
    for found in ALL:
        assert found.source
        inside = found.published_low <= found.model <= found.published_high
        assert (found.ratio == 1) == inside
        assert found.model_low <= found.model <= found.model_high
        assert found.ratio_low <= found.ratio <= found.ratio_high
