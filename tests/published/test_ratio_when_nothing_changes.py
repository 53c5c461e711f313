"""How often a 7:28 ratio lies above 1.5 when nothing has changed, by how often the work is done."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from keelmark.marks.unchanged import DrawnWeeks, Pairs
from keelmark.marks.watch import ratio_on_any_day

PAIR = Pairs(("a",), ("tonnage",), np.array([0]), np.array([0]))
ROWS = 60_000


def days(a_week: int) -> np.ndarray:
    """Equal amounts on days that fall independently, `a_week` of them a week on the average."""
    return (np.random.default_rng(a_week).random((ROWS, 5, 7)) < a_week / 7).astype(np.float64)


def share_on_any_day(a_week: int) -> float:
    weeks = days(a_week)
    above = [ratio_on_any_day(DrawnWeeks(PAIR, weeks[row][..., None]))[4, 0] for row in range(0, ROWS, 10)]
    return float(np.mean(above))


def share_on_the_last_day(a_week: int) -> float:
    """Exact (derived): 4 A > 1.5 (A + R) for binomial A of 7 days and R of the 21 days before, so A > 0.6 R."""
    acute, before = np.arange(8)[:, None], np.arange(22)[None, :]
    joint = stats.binom.pmf(acute, 7, a_week / 7) * stats.binom.pmf(before, 21, a_week / 7)
    return float(joint[(4 * acute > 1.5 * (acute + before)) & (acute > 0)].sum())


@pytest.mark.parametrize(("a_week", "share"), [(5, 0.04), (2, 0.37), (1, 0.48)])
def test_looked_at_every_day(a_week: int, share: float) -> None:
    """4, 37 and 48 % of athlete-weeks (computed elsewhere, on amounts that are not told) against a derivation with
    equal amounts: 2.5, 38 and 50 %. The two agree to within 2.5 points, chance included."""
    assert share_on_any_day(a_week) == pytest.approx(share, abs=0.04)


@pytest.mark.parametrize(("a_week", "share"), [(5, 0.0067), (3, 0.0952), (2, 0.1605), (1, 0.2541)])
def test_looked_at_on_one_weekday(a_week: int, share: float) -> None:
    """Derived, exact; the same weeks counted by the windows of the audit."""
    assert share_on_the_last_day(a_week) == pytest.approx(share, abs=5e-5)
    weeks = days(a_week).sum(axis=2)
    total = weeks[:, 1:].sum(axis=1)
    counted = np.mean(4 * weeks[:, 4] > 1.5 * total)
    assert counted == pytest.approx(share, abs=0.006)
