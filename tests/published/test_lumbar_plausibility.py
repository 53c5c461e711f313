"""The lumbar model against what others measured or modelled. It is not tuned to them; Methods shows the misses."""

from __future__ import annotations

import pytest

from keelmark.dose.lumbar_published import Comparison, comparisons

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
    tasks = [named("close to the body"), named("bent knees"), named("round back")]
    models = [task.model for task in tasks]
    assert 1 < models[0] < models[1] < models[2]
    for task, ratio in zip(tasks, (2.2, 3.4, 4.6), strict=True):
        assert task.published_low == ratio
        assert task.model == pytest.approx(ratio, rel=0.40)


def test_each_comparison_says_by_how_much_the_model_misses() -> None:
    for found in ALL:
        assert found.source
        inside = found.published_low <= found.model <= found.published_high
        assert (found.ratio == 1) == inside
