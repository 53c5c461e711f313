"""Exponentially weighted moving average of daily amounts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["ewma", "ewma_on", "smoothing_factor"]

DAYS_AT_ONCE = 14
"""Days that are weighted in one go."""


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
    return np.asarray(_averages(values, (weight,), np.arange(len(values)), start, False)[0])


def ewma_on(
    values: NDArray[np.float64],
    weights: tuple[float, ...],
    days: NDArray[np.int64],
    *,
    whole: bool = False,
    start: NDArray[np.float64] | None = None,
) -> NDArray[np.float64]:
    """Averages of several weights on a few days only, in one walk through all days; see `ewma`.

    Parameters
    ----------
    values : array, shape (day, ...)
        Amount per day, NaN where not known.
    weights : tuple of float
        Weights of the newest day.
    days : int array, shape (some days,)
        Numbers of the days asked for, ascending.
    whole : bool
        Say so where no day is missing, to save the look.
    start : array, shape (weight, ...), optional
        The averages before the first day, NaN where there is none; see `ewma`.

    Returns
    -------
    array, shape (weight, some days, ...)
    """
    return _averages(values, weights, days, start, whole)


def _averages(
    values: NDArray[np.float64],
    weights: tuple[float, ...],
    days: NDArray[np.int64],
    start: NDArray[np.float64] | float | None,
    whole: bool,
) -> NDArray[np.float64]:
    shape = (len(weights), *values.shape[1:])
    average = np.broadcast_to(np.nan if start is None else start, shape).astype(np.float64)
    new = np.array(weights).reshape(-1, *(1 for _ in shape[1:]))
    old, found = 1.0 - new, np.empty((shape[0], len(days), *shape[1:]))
    begun, gaps = not np.isnan(average).any(), not whole and bool(np.isnan(values).any())
    place_of = dict(zip(days.tolist(), range(len(days)), strict=True))
    weighted = np.empty((shape[0], DAYS_AT_ONCE, *shape[1:]))
    for day, today in enumerate(values[: max(place_of, default=-1) + 1]):
        if day % DAYS_AT_ONCE == 0:
            some = values[day : day + DAYS_AT_ONCE]
            np.multiply(some, new[:, None], out=weighted[:, : len(some)])
        part = weighted[:, day % DAYS_AT_ONCE]
        if begun and not (gaps and np.isnan(today).any()):
            np.multiply(average, old, out=average)
            np.add(part, average, out=average)
        else:
            stays, moved = np.isnan(today), part + old * average
            average = np.where(stays, average, np.where(np.isnan(average), today, moved))
            begun = not np.isnan(average).any()
        if day in place_of:
            found[:, place_of[day]] = average
    return found
