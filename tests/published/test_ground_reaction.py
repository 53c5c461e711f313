"""Landing forces and speeds against figures in print."""

from __future__ import annotations

import numpy as np
import pytest

from keelmark.mechanics.landing import (
    CLASS_FORCES,
    GROUND_REACTION,
    landing_class_of_drop,
    landing_force_ratio,
    landing_speed,
)


def test_landings_stand_in_the_published_order() -> None:
    """Wallace BJ et al. J Strength Cond Res 2010;24(1):207-212, peak vertical force in body weights."""
    printed = [5.39, 4.93, 4.30, 4.22, 3.34, 2.78]
    order = [
        "depth drop from 90 cm",
        "depth jump from 90 cm",
        "depth drop from 60 cm",
        "standing long jump",
        "vertical jump",
    ]
    assert [GROUND_REACTION[name] for name in (*order, "depth jump from 30 cm")] == printed


@pytest.mark.parametrize(("height", "speed"), [(0.20, 1.981), (0.40, 2.801), (0.60, 3.431)])
def test_speed_at_touch_down(height: float, speed: float) -> None:
    """Derived: v = sqrt(2 g h)."""
    assert landing_speed(height) == pytest.approx(speed, abs=0.0005)


def test_speed_of_many_heights_at_once() -> None:
    assert landing_speed(np.array([0.20, 0.60])) == pytest.approx([1.981, 3.431], abs=0.0005)


def test_force_from_60_is_at_most_twice_that_from_15_centimetres() -> None:
    """Niu W et al. BioMed Res Int 2014:126860: straight in the root of the height; derived: sqrt(60 / 15) = 2."""
    assert landing_force_ratio(0.60, 0.15) == pytest.approx(2.0)


def test_force_rises_with_the_height_of_the_drop() -> None:
    """Ball NB, Stock CG, Scurr JC. J Strength Cond Res 2010;24(10):2762-2769: drop jumps from 0.2, 0.4 and 0.6 m, ten
    people, the higher the harder."""
    ratios = [landing_force_ratio(height, 0.2) for height in (0.2, 0.4, 0.6)]
    assert ratios == sorted(ratios)
    assert ratios[0] == 1 < ratios[1] < ratios[2]


def test_classes_contain_the_forces_measured_in_such_landings() -> None:
    """Wallace 2010: vertical jump and 30 cm depth jump are moderate, 60 and 90 cm high."""
    drops = {
        "depth drop from 90 cm": 0.9,
        "depth jump from 90 cm": 0.9,
        "depth drop from 60 cm": 0.6,
        "depth jump from 30 cm": 0.3,
    }
    for name, height in drops.items():
        low, high = CLASS_FORCES[landing_class_of_drop(height)]
        assert low <= GROUND_REACTION[name] <= high
    assert landing_class_of_drop(0.10) == "low"


@pytest.mark.parametrize(
    ("height", "named"), [(0.19, "low"), (0.20, "moderate"), (0.44, "moderate"), (0.45, "high"), (0.50, "high")]
)
def test_borders_of_the_landing_classes_stand_between_the_heights_that_were_measured(height: float, named: str) -> None:
    """Derived: half way between the 30 and 60 cm of Wallace 2010 is (30 + 60) / 2 = 45 cm; 20 cm is judgement."""
    assert landing_class_of_drop(height) == named
