"""Exponentially weighted moving average of daily amounts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["ewma", "smoothing_factor"]


def smoothing_factor(days: int) -> float:
    """Weight of the newest day: 2 / (N + 1).

    Parameters
    ----------
    days : int
        Decay constant N, d.

    Returns
    -------
    float
        Between 0 and 1.

    Notes
    -----
    Williams S et al. (2017). Better way to determine the acute:chronic workload ratio? Br J Sports Med 51(3):209-210,
    doi:10.1136/bjsports-2016-096589.
    """
    return 2.0 / (days + 1.0)


def ewma(
    values: NDArray[np.float64], weight: float, start: NDArray[np.float64] | float | None = None
) -> NDArray[np.float64]:
    """Exponentially weighted moving average: E = weight x today + (1 - weight) x E of the day before.

    A day that is not known leaves the average where it was. After a start at zero the average is too low for weeks;
    after a start at the first known day it is one day's guess at first: no ratio is read from it before 28 known days.

    Parameters
    ----------
    values : array, shape (day, ...)
        Amount per day, NaN where not known.
    weight : float
        Weight of the newest day, see `smoothing_factor`.
    start : array or float, optional
        The average before the first day. If not given, the first known day is taken as it is.

    Returns
    -------
    array, same shape
        Average by day, NaN before the first known day.

    Notes
    -----
    With no start this is what pandas gives by `ewm(alpha=weight, adjust=False, ignore_na=True).mean()`.
    NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4, doi:10.18434/M32189.
    """
    averages = np.empty_like(values)
    before = np.broadcast_to(np.nan if start is None else start, values.shape[1:]).astype(np.float64)
    for day, today in enumerate(values):
        moved = weight * today + (1.0 - weight) * before
        before = np.where(np.isnan(today), before, np.where(np.isnan(before), today, moved))
        averages[day] = before
    return averages
