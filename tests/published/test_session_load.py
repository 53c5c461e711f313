"""Session load, monotony and strain, with both standard deviations."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest

from keelmark.dose import session_load
from keelmark.load.monotony import monotony, strain

# Constructed weeks, derived (exact). Foster 1998 does not say which standard deviation is meant, so both are checked:
# daily loads, then monotony and strain with n - 1, then with n.
WEEKS = [
    ((420, 300, 0, 560, 0, 480, 240), 1.28511776, 2570.235525, 1.38808583, 2776.171662),
    ((700, 350, 700, 350, 700, 350, 0), 1.70084013, 5357.646405, 1.83711731, 5786.919517),
    ((300, 300, 300, 300, 300, 300, 0), 2.26778684, 4082.016308, 2.44948974, 4409.081537),
    ((500, 0, 0, 0, 0, 0, 0), 0.37796447, 188.9822365, 0.40824829, 204.1241452),
]


def of_week(loads: tuple[float, ...], deviation: Literal["sample", "population"] = "sample") -> tuple[float, float]:
    days = np.array(loads, dtype=np.float64)[:, None]
    index = monotony(days, deviation)
    return float(index[0]), float(strain(days.sum(axis=0), index)[0])


def test_rating_times_minutes() -> None:
    """Definition: Foster et al. 2001; a session rated 5 for 40 minutes is 200 AU (derived)."""
    assert session_load(5.0, 40.0) == 200.0


@pytest.mark.parametrize(("loads", "monotony_n1", "strain_n1", "monotony_n", "strain_n"), WEEKS)
def test_both_standard_deviations(
    loads: tuple[float, ...], monotony_n1: float, strain_n1: float, monotony_n: float, strain_n: float
) -> None:
    assert of_week(loads) == pytest.approx((monotony_n1, strain_n1), abs=1e-6)
    assert of_week(loads, "population") == pytest.approx((monotony_n, strain_n), abs=1e-6)


def test_one_training_day_gives_a_root() -> None:
    """1/sqrt(7) with n - 1, 1/sqrt(6) with n, whatever the load (derived)."""
    week = (0.0, 0.0, 312.5, 0.0, 0.0, 0.0, 0.0)
    assert of_week(week)[0] == pytest.approx(7**-0.5, abs=1e-12)
    assert of_week(week, "population")[0] == pytest.approx(6**-0.5, abs=1e-12)


def test_the_two_differ_by_a_fixed_factor() -> None:
    week = WEEKS[0][0]
    assert of_week(week, "population")[0] == pytest.approx(of_week(week)[0] * np.sqrt(7 / 6), abs=1e-12)


@pytest.mark.parametrize("load", [0.0, 0.1, 300.0, 1 / 3])
def test_seven_equal_days_have_no_monotony(load: float) -> None:
    assert np.isnan(of_week((load,) * 7)).all()


def test_scaling_and_order() -> None:
    week = WEEKS[0][0]
    doubled = tuple(2.5 * load for load in week)
    assert of_week(doubled)[0] == pytest.approx(of_week(week)[0], rel=1e-12)
    assert of_week(doubled)[1] == pytest.approx(2.5 * of_week(week)[1], rel=1e-12)
    assert of_week(tuple(sorted(week))) == pytest.approx(of_week(week), rel=1e-12)


def test_a_day_that_is_not_known_is_left_out_and_two_are_too_many() -> None:
    """Six known days 420, 300, 0, 560, 480, 240: mean 333.3333, n - 1 deviation 200.6656 (derived), 1.6611."""
    assert of_week((420, 300, 0, 560, np.nan, 480, 240))[0] == pytest.approx(1.6611, abs=1e-4)
    assert np.isnan(of_week((420, 300, 0, 560, np.nan, np.nan, 240))[0])
