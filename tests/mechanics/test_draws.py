"""Draws from ranges: the same each time, evenly spread, and of the shape they claim."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.mechanics.draws import DRAWS, even_draws, from_range


def test_draws_are_the_same_each_time_and_one_in_each_slice() -> None:
    first, second = even_draws(3), even_draws(3)
    assert first.shape == (3, DRAWS)
    assert np.array_equal(first, second)
    assert np.array_equal(np.sort((first * DRAWS).astype(int), axis=1), np.tile(np.arange(DRAWS), (3, 1)))


def test_inputs_are_drawn_apart_from_each_other() -> None:
    """Derived: independent draws of 2,000 have a correlation within about 4 / sqrt(2000) = 0.09 of zero."""
    assert abs(np.corrcoef(even_draws(2))[0, 1]) < 0.09


def test_draws_have_the_mean_and_spread_of_a_triangle() -> None:
    """Textbook: mean (a + b + c) / 3, variance (a2 + b2 + c2 - ab - ac - bc) / 18."""
    low, value, high = 1.0, 2.0, 6.0
    drawn = from_range(even_draws(1)[0], low, value, high)
    variance = (low**2 + value**2 + high**2 - low * value - low * high - value * high) / 18
    assert drawn.mean() == pytest.approx((low + value + high) / 3, rel=1e-3)
    assert drawn.var() == pytest.approx(variance, rel=5e-3)


@given(low=st.floats(-50, 50), up=st.floats(0, 20), more=st.floats(0.01, 20))
@settings(deadline=None)
def test_draws_stay_inside_the_range(low: float, up: float, more: float) -> None:
    drawn = from_range(even_draws(1, 50)[0], low, low + up, low + up + more)
    assert drawn.min() >= low - 1e-9
    assert drawn.max() <= low + up + more + 1e-9
