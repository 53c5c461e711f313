"""Sums and means over the last days, for all athletes and channels at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["ENOUGH_KNOWN", "rolling_mean", "rolling_sum", "weeks_to", "window_mean"]

ENOUGH_KNOWN = 0.75
"""Share of a window's days that must be known before a figure is given."""


def rolling_sum(values: NDArray[np.float64], days: int) -> NDArray[np.float64]:
    """Sum of each day and the days before it, as far as the window and the record reach.

    Each sum depends on the days of its window alone, in a fixed order, so that a run that starts later gives the same
    bits. Built by doubling: the sum of 2 k days is the sum of k days and of the k days before them.

    Parameters
    ----------
    values : array, shape (day, ...)
        Amount per day, without gaps.
    days : int
        Length of the window, d.

    Returns
    -------
    array, same shape
        Sums in the unit of `values`; the first `days - 1` sums cover fewer days.
    """
    total = np.zeros_like(values)
    doubled, length, reached = values.copy(), 1, 0
    while True:
        if days & length and reached < len(values):
            total[reached:] += doubled[: len(values) - reached]
        reached += days & length
        if length * 2 > days:
            return total
        following = doubled.copy()
        following[length:] += doubled[:-length]
        doubled, length = following, length * 2


def window_mean(
    totals: NDArray[np.float64], known: NDArray[np.float64], periods: int, days: int, enough: float = ENOUGH_KNOWN
) -> NDArray[np.float64]:
    """Mean of the known days of the last periods, from what each period adds up to.

    A day that is not known is left out of the mean; it is not taken as zero and nothing is put in its place. No mean is
    given where fewer than `enough` of the window's days are known.

    Parameters
    ----------
    totals : array, shape (period, ...)
        Amount of the known days of each period: of a day, or of a week.
    known : array, same shape, or length 1 where it does not differ
        Known days of each period.
    periods : int
        Length of the window in periods.
    days : int
        Length of the window, d.
    enough : float
        Share of the window that must be known, 0 to 1.

    Returns
    -------
    array, same shape
        Mean amount a day, NaN where too little is known.
    """
    days_known = rolling_sum(known, periods)
    given = (days_known > 0) & (days_known >= enough * days)
    mean = np.full_like(totals, np.nan)
    np.divide(rolling_sum(totals, periods), days_known, out=mean, where=given)
    return mean


def rolling_mean(values: NDArray[np.float64], days: int, enough: float = ENOUGH_KNOWN) -> NDArray[np.float64]:
    """Mean of the known days of each window of days; see `window_mean`.

    Parameters
    ----------
    values : array, shape (day, ...)
        Amount per day, NaN where not known.
    days : int
        Length of the window, d.
    enough : float
        Share of the window that must be known, 0 to 1.

    Returns
    -------
    array, same shape
        Mean amount a day, NaN where too little is known.
    """
    known = ~np.isnan(values)
    return window_mean(np.where(known, values, 0.0), known.astype(np.float64), days, days, enough)


def weeks_to(values: NDArray[np.float64], week_day: int) -> NDArray[np.float64]:
    """The seven days up to each week's fixed weekday.

    Parameters
    ----------
    values : array, shape (7 weeks, ...)
        One value per day, from a Monday.
    week_day : int
        ISO weekday that closes the week, 1 to 7.

    Returns
    -------
    array, shape (week, 7, ...)
        NaN for the days before the record.
    """
    late = 7 - week_day
    if late:
        before = np.full((late, *values.shape[1:]), np.nan)
        values = np.concatenate([before, values[:-late]])
    return values.reshape(-1, 7, *values.shape[1:])
