"""Rolling and weighted means against pandas, an independent implementation, on random series with unknown days."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from keelmark.load.ewma import ewma, smoothing_factor
from keelmark.load.monotony import monotony
from keelmark.load.windows import rolling_mean, rolling_sum

amounts = st.one_of(st.just(0.0), st.just(np.nan), st.floats(1e-3, 1e5))
series = st.integers(1, 90).flatmap(lambda days: arrays(np.float64, (days, 3), elements=amounts))


@given(series, st.sampled_from([1, 2, 5, 7, 21, 28]))
@settings(max_examples=150, deadline=None)
def test_rolling_mean(values: np.ndarray, days: int) -> None:
    least = int(np.ceil(0.75 * days))
    expected = pd.DataFrame(values).rolling(days, min_periods=least).mean().to_numpy()
    found = rolling_mean(values, days)
    np.testing.assert_array_equal(np.isnan(found), np.isnan(expected))
    np.testing.assert_allclose(found, expected, rtol=1e-9, atol=1e-6)


@given(series, st.sampled_from([7, 28]))
@settings(max_examples=150, deadline=None)
def test_weighted_mean(values: np.ndarray, span: int) -> None:
    expected = pd.DataFrame(values).ewm(span=span, adjust=False, ignore_na=True).mean().to_numpy()
    np.testing.assert_allclose(ewma(values, smoothing_factor(span)), expected, rtol=1e-9, atol=1e-9)


@given(arrays(np.float64, (7, 4), elements=st.floats(0.0, 1e4).map(lambda value: round(value, 2))))
@settings(deadline=None)
def test_monotony(week: np.ndarray) -> None:
    frame = pd.DataFrame(week)
    alike = frame.nunique() == 1
    expected = (frame.mean() / frame.std(ddof=1)).where(~alike)
    np.testing.assert_allclose(monotony(week), expected.to_numpy(), rtol=1e-7)


@given(st.integers(1, 40), st.integers(1, 60))
def test_rolling_sum_of_ones_counts_days(days: int, length: int) -> None:
    assert rolling_sum(np.ones((length, 1)), days)[:, 0].tolist() == [min(day + 1, days) for day in range(length)]


@given(arrays(np.float64, (60, 2), elements=st.floats(0.0, 1e6)), st.integers(1, 30))
@settings(deadline=None)
def test_a_later_start_gives_the_same_bits(values: np.ndarray, start: int) -> None:
    """A window's sum depends on its own days alone."""
    whole, later = rolling_sum(values, 28), rolling_sum(values[start:], 28)
    np.testing.assert_array_equal(whole[start + 27 :], later[27:])


def test_an_average_stays_where_it_was_on_an_unknown_day() -> None:
    found = ewma(np.array([[10.0], [np.nan], [10.0], [20.0]]), 0.25)
    assert found[:, 0].tolist() == pytest.approx([10.0, 10.0, 10.0, 12.5])
