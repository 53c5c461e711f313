"""Exponentially weighted averages against the handbook, closed forms and the published pair of ratios."""

from __future__ import annotations

import numpy as np
import pytest

from keelmark.load.ewma import ewma, smoothing_factor
from keelmark.load.ratios import quotient, uncoupled_chronic, uncoupled_from_coupled
from keelmark.load.windows import rolling_mean

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4, doi:10.18434/M32189; published (secondary copy).
NIST_DATA = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6,
    52.1,
]  # fmt: skip
NIST_EWMA = [
    50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92,
    50.73, 51.23, 51.94, 51.99,
]  # fmt: skip
NIST_LIMITS = (52.5884, 47.4115)

ACUTE, CHRONIC = smoothing_factor(7), smoothing_factor(28)


def last(values: list[float], weight: float, start: float | None = None) -> float:
    return float(ewma(np.array(values, dtype=np.float64)[:, None], weight, start)[-1, 0])


def last_rolling(values: list[float], days: int) -> float:
    return float(rolling_mean(np.array(values, dtype=np.float64)[:, None], days)[-1, 0])


def test_nist_handbook_example() -> None:
    averages = ewma(np.array(NIST_DATA)[:, None], 0.3, 50.0)[:, 0]
    assert averages == pytest.approx(NIST_EWMA, abs=0.005)
    half_width = 3 * 2.0539 * np.sqrt(0.3 / (2 - 0.3))
    assert 50 + half_width == pytest.approx(NIST_LIMITS[0], abs=1e-3)
    assert 50 - half_width == pytest.approx(NIST_LIMITS[1], abs=1e-3)
    assert averages.max() < NIST_LIMITS[0]
    assert averages.min() > NIST_LIMITS[1]


def test_weights_of_the_newest_day() -> None:
    """2 / (N + 1): 0.25 and 2/29 (derived from Williams et al. 2017)."""
    assert smoothing_factor(7) == 0.25
    assert smoothing_factor(28) == pytest.approx(0.0689655, abs=5e-8)


def test_reproduces_the_published_pair() -> None:
    """1.25 weighted and 1.43 rolling are published (Williams 2017; Menaspà 2017); this series is a reconstruction."""
    loads = [60.0] * 21 + [100.0] * 7
    acute, chronic = last(loads, ACUTE), last(loads, CHRONIC)
    assert acute == pytest.approx(94.66064453, abs=1e-8)
    assert chronic == pytest.approx(75.74393459, abs=1e-8)
    assert round(acute / chronic, 2) == 1.25
    coupled = last_rolling(loads, 7) / last_rolling(loads, 28)
    assert round(coupled, 2) == 1.43
    assert uncoupled_from_coupled(coupled) == pytest.approx(100 / 60, abs=1e-9)


def test_a_start_at_zero_gives_another_ratio() -> None:
    """94.64159578 / 67.63072480 = 1.39938757 (derived)."""
    loads = [60.0] * 21 + [100.0] * 7
    acute, chronic = last(loads, ACUTE, 0.0), last(loads, CHRONIC, 0.0)
    assert (acute, chronic) == pytest.approx((94.64159578, 67.63072480), abs=1e-8)
    assert acute / chronic == pytest.approx(1.39938757, abs=1e-8)


@pytest.mark.parametrize(
    ("last_week", "expected"),
    [
        ([40.0, 60.0, 80.0, 100.0, 120.0, 140.0, 160.0], 1.4534731718),
        ([160.0, 140.0, 120.0, 100.0, 80.0, 60.0, 40.0], 1.0335976219),
    ],
)
def test_same_rolling_ratio_but_another_weighted_one(last_week: list[float], expected: float) -> None:
    """Derived: any last week of 700 after 21 days of 60 keeps the rolling ratio at 10/7."""
    loads = [60.0] * 21 + last_week
    assert last(loads, ACUTE) / last(loads, CHRONIC) == pytest.approx(expected, abs=1e-8)
    assert last_rolling(loads, 7) / last_rolling(loads, 28) == pytest.approx(10 / 7, abs=1e-12)


def test_constant_load_after_a_start_at_zero() -> None:
    """L (1 - (1 - weight)^n), n = 28, L = 100: a steady athlete seems to rise by 16 % (derived)."""
    acute, chronic = last([100.0] * 28, ACUTE, 0.0), last([100.0] * 28, CHRONIC, 0.0)
    assert acute == pytest.approx(99.9682520729, abs=1e-9)
    assert chronic == pytest.approx(86.4779836949, abs=1e-9)
    assert acute / chronic == pytest.approx(1.1559965646, abs=1e-9)


def test_constant_load_after_a_start_at_that_load() -> None:
    assert last([100.0] * 28, ACUTE) == last([100.0] * 28, CHRONIC) == 100.0


def test_each_rest_day_shrinks_the_averages_by_fixed_factors() -> None:
    """0.75 and 27/29 (derived)."""
    steady = [80.0] * 40
    for weight, factor in ((ACUTE, 0.75), (CHRONIC, 27 / 29)):
        assert last([*steady, 0.0, 0.0], weight) == pytest.approx(80 * factor**2, abs=1e-9)


def test_one_load_after_twenty_seven_rest_days() -> None:
    """Weighted 0.25 / (2/29) = 3.625, coupled 4, uncoupled undefined (derived)."""
    loads = [0.0] * 27 + [100.0]
    assert last(loads, ACUTE) / last(loads, CHRONIC) == pytest.approx(3.625, abs=1e-12)
    days = np.array(loads)[:, None]
    acute, chronic = rolling_mean(days, 7), rolling_mean(days, 28)
    assert quotient(acute, chronic)[-1, 0] == pytest.approx(4.0, abs=1e-12)
    assert np.isnan(quotient(acute, uncoupled_chronic(rolling_mean(days, 21)))[-1, 0])
