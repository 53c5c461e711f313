"""Fatigue laws of lumbar spine and tendon against the authors' own worked figures."""

from __future__ import annotations

import math

import numpy as np
import pytest

from keelmark.mechanics.fatigue import (
    MOMENT_CAP,
    damage,
    share_of_strength_from_compression,
    share_of_strength_from_moment,
    spine_cycles,
    spine_damage_per_rep,
    tendon_cycles,
)
from keelmark.mechanics.grip import STRENGTH_AT_FULL_GRIP, tendon_share


def spine(moment: float) -> float:
    return float(spine_damage_per_rep(share_of_strength_from_moment(np.array([moment])))[0])


@pytest.mark.parametrize(("share", "cycles"), [(20, 35342.13), (30, 6994.16), (40, 1384.14), (50, 273.92)])
def test_cycles_of_the_lumbar_law(share: float, cycles: float) -> None:
    """Derived from N = 902416 exp(-0.162 S), Gallagher et al., Applied Ergonomics 2017;63:142-150."""
    assert float(spine_cycles(np.array([float(share)]))[0]) == pytest.approx(cycles, rel=1e-5)


def test_thirteen_kilograms_at_40_centimetres_400_times() -> None:
    """Gallagher 2017 (secondary copy): 51 N m, 0.000011 per lift, 0.0043 in a day; the formula gives 0.004241."""
    moment = 13 * 9.81 * 0.40
    assert moment == pytest.approx(51.0, abs=0.05)
    assert spine(moment) == pytest.approx(0.000011, abs=0.0000005)
    assert 400 * spine(moment) == pytest.approx(0.0043, abs=0.0001)


def test_thirty_pounds_at_16_inches_760_times_give_40_percent() -> None:
    """Published worked example (secondary copy): 40 %. P = 1 / (1 + exp(-Y)), Y = 1.72 + 1.03 log10 D."""
    moment = 30 * 0.45359237 * 9.81 * 16 * 0.0254
    total = 760 * spine(moment)
    probability = 1 / (1 + math.exp(-(1.72 + 1.03 * math.log10(total))))
    assert probability == pytest.approx(0.40, abs=0.01)


def test_the_misread_constant_does_not_give_the_authors_40_percent() -> None:
    """Derived: 1,902,416, as one public code reads "1/902,416", gives 32.8 % instead."""
    moment = 30 * 0.45359237 * 9.81 * 16 * 0.0254
    total = 760 * spine(moment) * 902_416 / 1_902_416
    assert 1 / (1 + math.exp(-(1.72 + 1.03 * math.log10(total)))) == pytest.approx(0.328, abs=0.001)


def test_damage_of_0_03_is_reached_by_2829_lifts_of_the_first_example() -> None:
    """Gallagher 2017 (secondary copy): damage of 0.03 parts jobs of high from jobs of low risk at work, context only.
    Derived: 0.03 / 1.0603e-5 per lift = 2829 lifts of 13 kg at 0.40 m."""
    assert 0.03 / spine(13 * 9.81 * 0.40) == pytest.approx(2829, abs=1)


def test_the_moment_form_stands_for_13_9_percent_of_strength_at_51_newton_metres() -> None:
    """Derived: (0.038 x 51 + 0.32) / 0.162 = 13.94 %."""
    assert float(share_of_strength_from_moment(np.array([51.0]))[0]) == pytest.approx(13.94, abs=0.005)


def test_without_its_cap_the_law_would_use_up_everything_in_one_rep_at_352_newton_metres() -> None:
    """Derived: (ln 902416 - 0.32) / 0.038 = 352.4 N m, which is why the index is capped and said to be open upwards."""
    uncapped = spine_damage_per_rep(share_of_strength_from_moment(np.array([352.4])), cap=1000.0)
    assert float(uncapped[0]) == pytest.approx(1.0, abs=0.005)
    assert spine(352.4) < 0.1


def test_damage_adds_up_and_doubles_with_18_newton_metres_more() -> None:
    """Derived: ln 2 / 0.038 = 18.24 N m; Palmgren and Miner's rule is a sum."""
    assert spine(51.0 + math.log(2) / 0.038) == pytest.approx(2 * spine(51.0))
    reps, cycles = np.array([400.0, 20.0]), np.array([1 / spine(51.0), 1 / spine(120.0)])
    assert damage(reps, cycles) == pytest.approx(400 * spine(51.0) + 20 * spine(120.0))
    assert damage(2 * reps, cycles) == pytest.approx(2 * damage(reps, cycles))


def test_the_law_stops_growing_at_the_end_of_its_fit() -> None:
    """Derived: fit range 20 to 70 % of strength (Gallagher 2017); S = (0.038 M + 0.32) / 0.162 = 70 at 290 N m."""
    assert pytest.approx(290.0, abs=0.01) == MOMENT_CAP
    assert spine(400.0) == spine(290.0) == pytest.approx(math.exp(0.162 * 70) / 902416)
    assert spine(289.0) < spine(290.0)


def test_strength_of_an_average_spine_is_six_kilonewtons() -> None:
    """Gallagher 2017 (secondary copy): about 6 kN."""
    assert float(share_of_strength_from_compression(np.array([3.0]))[0]) == pytest.approx(50.0)


TENDON = [
    (0, 3.6, 3_842_605), (1, 7.1, 2_231_607), (2, 14.3, 729_651), (3, 21.4, 242_301), (4, 28.6, 79_223),
    (5, 35.7, 26_308), (6, 42.9, 8_602), (7, 50.0, 2_856), (8, 57.1, 949), (9, 64.3, 310), (10, 71.4, 103),
]  # fmt: skip


@pytest.mark.parametrize(("effort", "share", "cycles"), TENDON)
def test_cycles_of_the_tendon_law(effort: int, share: float, cycles: int) -> None:
    """Gallagher et al. Hum Factors 2018;60(8):1146-1162 (secondary copy), after Schechtman and Bader 1997."""
    assert tendon_cycles(share) == pytest.approx(cycles, abs=1)
    if effort:
        assert share == pytest.approx(effort / 10 * STRENGTH_AT_FULL_GRIP, abs=0.06)


@pytest.mark.parametrize(("share", "cycles"), [(10.0, 1.423e6), (20.0, 3.01e5)])
def test_cycles_of_the_tendon_law_between_its_printed_rows(share: float, cycles: float) -> None:
    """Derived from the formula; the same file prints 1,475,000 and 311,000, which are rounded."""
    assert tendon_cycles(share) == pytest.approx(cycles, rel=0.002)


def test_light_gripping_5400_times() -> None:
    """Same source: effort 2, 5400 times: damage 0.0074 and 26.5 %. Y = 0.573 + 0.747 log10 D."""
    total = 5400 / tendon_cycles(14.3)
    assert total == pytest.approx(0.0074, abs=0.00005)
    assert 1 / (1 + math.exp(-(0.573 + 0.747 * math.log10(total)))) == pytest.approx(0.265, abs=0.0005)


def test_a_hang_of_half_the_hardest_grip_is_effort_5() -> None:
    """Derived: 80 kg of a possible 160 kg is half, 35.7 % of strength."""
    assert tendon_share(80.0, 80.0, 2.0) == pytest.approx(35.7)
