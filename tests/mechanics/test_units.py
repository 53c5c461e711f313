"""Units survive the formulas: the same numbers with units attached come out in the unit the docstring states."""

from __future__ import annotations

import numpy as np
import pint
import pytest

from keelmark.mechanics.landing import landing_speed
from keelmark.mechanics.lumbar import GRAVITY, compression, extension_moment, shear

UNITS = pint.UnitRegistry()
KG, M, N = UNITS.kilogram, UNITS.metre, UNITS.newton
FALL = GRAVITY * M / UNITS.second**2


def test_a_moment_is_newtons_times_metres() -> None:
    upper, load, arms = 40.0 * KG, 60.0 * KG, (0.25 * M, 0.35 * M)
    with_units = FALL * (upper * arms[0] + load * arms[1]) * 1.2
    plain = extension_moment(*(np.array([x]) for x in (40.0, 0.25, 60.0, 0.35, 1.2)))
    assert plain[0] == pytest.approx(with_units.to(N * M).magnitude)


def test_pounds_and_inches_give_the_same_moment_as_kilograms_and_metres() -> None:
    kilograms, metres = (30 * UNITS.pound).to(KG).magnitude, (16 * UNITS.inch).to(M).magnitude
    zero, one = np.zeros(1), np.ones(1)
    plain = extension_moment(zero, zero, np.array([kilograms]), np.array([metres]), one)
    assert plain[0] == pytest.approx((30 * UNITS.pound * FALL * 16 * UNITS.inch).to(N * M).magnitude)


def test_compression_and_shear_are_newtons() -> None:
    lean = 0.9
    pressed = (300.0 * N * M) / (0.06 * M) + FALL * (100.0 * KG) * np.cos(lean)
    across = FALL * (100.0 * KG) * np.sin(lean)
    plain = [np.array([x]) for x in (300.0, 0.06, 40.0, 60.0, lean, 1.0)]
    assert compression(*plain)[0] == pytest.approx(pressed.to(N).magnitude)
    assert shear(*plain[2:])[0] == pytest.approx(across.to(N).magnitude)


def test_a_landing_speed_is_metres_per_second() -> None:
    with_units = (2 * FALL * (60 * UNITS.centimetre)) ** 0.5
    assert landing_speed(0.6) == pytest.approx(with_units.to(M / UNITS.second).magnitude)
