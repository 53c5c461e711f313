"""Sums and means over the last days, for all athletes and channels at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["ENOUGH_KNOWN", "known_days", "rolling_mean", "rolling_sum"]

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


def known_days(values: NDArray[np.float64], days: int) -> NDArray[np.float64]:
    """How many days of each window are known; days before the record are not.

    Parameters
    ----------
    values : array, shape (day, ...)
        Amount per day, NaN where not known.
    days : int
        Length of the window, d.

    Returns
    -------
    array, same shape
        Known days, 0 to `days`.
    """
    return rolling_sum((~np.isnan(values)).astype(np.float64), days)


def rolling_mean(values: NDArray[np.float64], days: int, enough: float = ENOUGH_KNOWN) -> NDArray[np.float64]:
    """Mean of the known days of each window.

    A day that is not known is left out of the mean; it is not taken as zero and nothing is put in its place. No mean is
    given where fewer than `enough` of the window's days are known.

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
    known = known_days(values, days)
    total = rolling_sum(np.nan_to_num(values, nan=0.0), days)
    given = (known > 0) & (known >= enough * days)
    mean = np.full_like(total, np.nan)
    np.divide(total, known, out=mean, where=given)
    return mean
