"""The allowance of false notices goes where a doubled week can be told from chance.

Expected weights: Roeder & Wasserman (2009), Statist Sci 24(4):398-413, their optimal weights written out with scipy.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import optimize, stats

from keelmark.marks.allowance import DOUBLED, LEAST, MARK_WIDTH, allowance_weights
from keelmark.marks.settings import RATES


def of_scatter(scatter: list[float]) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
    """One week: work expected at 100, with marks as wide as a relative scatter of the square roots makes them."""
    root = 10.0 * (1.0 + MARK_WIDTH * np.array([scatter]))
    return np.full(root.shape, 100.0), root**2, np.zeros(len(scatter), dtype=bool)


def test_the_weights_are_those_that_find_most() -> None:
    """w = m/a x upper tail at d/2 + c/d, mean 1, where none is steadier than the best; each at least a fifth."""
    scatter = np.array([0.12, 0.15, 0.2, 0.3, 0.5])
    effect = DOUBLED / scatter
    allowed = RATES["week"] / len(effect)

    def best(c: float) -> NDArray[np.float64]:
        return np.asarray(stats.norm.sf(effect / 2 + c / effect) / allowed)

    c = optimize.brentq(lambda at: best(at).mean() - 1, -5, 40)
    wanted = best(c)
    top = wanted.argmax()
    wanted[:top] = wanted[top]
    wanted = LEAST + (1 - LEAST) * wanted
    found = allowance_weights(*of_scatter(scatter.tolist()))[0]
    assert found == pytest.approx(wanted / wanted.mean(), rel=0.06)


@given(st.lists(st.floats(0.03, 1.5), min_size=1, max_size=40))
def test_the_mean_is_one_and_steadier_work_never_counts_less(scatter: list[float]) -> None:
    found = allowance_weights(*of_scatter(sorted(scatter)))[0]
    assert found.mean() == pytest.approx(1.0)
    assert (np.diff(found) <= 1e-9).all()
    assert (found > 0).all()


def test_a_largest_day_counts_least_and_what_has_no_mark_not_at_all() -> None:
    expected, upper, peak = of_scatter([0.1, 0.1, 0.1])
    peak[1], upper[0, 2] = True, np.nan
    found = allowance_weights(expected, upper, peak)[0]
    assert found[1] < found[0]
    assert np.isnan(found[2])
    assert np.nanmean(found) == pytest.approx(1.0)
