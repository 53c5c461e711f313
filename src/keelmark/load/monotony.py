"""How much alike the days of a week were, and that times how much there was."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from keelmark.load.windows import ENOUGH_KNOWN

__all__ = ["monotony", "strain"]

_ROUNDING = 1e-9
"""A spread below this share of the mean may come from rounding alone; only there are days compared one by one."""


def monotony(
    week: NDArray[np.float64],
    standard_deviation: Literal["sample", "population"] = "sample",
    enough: float = ENOUGH_KNOWN,
    *,
    whole: bool = False,
) -> NDArray[np.float64]:
    """Mean day of a week over the standard deviation of its days.

    Rest days are days of zero. Days that are not known are left out. A week whose known days are all equal has no
    spread and its monotony is undefined, however little or much was done; the published bands for "high" are
    conventions and are not used.

    Parameters
    ----------
    week : array, shape (7, ...)
        Amount per day, NaN where not known.
    standard_deviation : "sample" or "population"
        Divide by the number of known days less one, or by their number. The first publication does not say which.
    enough : float
        Share of the days that must be known.
    whole : bool
        Say so where no day is missing, to save the look.

    Returns
    -------
    array, shape (...)
        Monotony, no unit; NaN where undefined or too little is known.

    Notes
    -----
    Foster C (1998). Monitoring training in athletes with reference to overtraining syndrome. Med Sci Sports Exerc
    30(7):1164-1168.
    """
    if whole or not np.isnan(week).any():
        return _of_known(week, standard_deviation)
    known = ~np.isnan(week)
    days = known.sum(axis=0)
    least = 1 if standard_deviation == "sample" else 0
    amounts = np.where(known, week, 0.0)
    mean = _sum_of_days(amounts) / np.maximum(days, 1)
    squares = _sum_of_days(np.where(known, week - mean, 0.0) ** 2)
    spread = np.sqrt(squares / np.maximum(days - least, 1))
    alike = np.where(known, week, -np.inf).max(axis=0) <= np.where(known, week, np.inf).min(axis=0)
    given = (days >= enough * len(week)) & (days > least) & ~alike
    return _index(mean, spread, given)


def _of_known(week: NDArray[np.float64], standard_deviation: Literal["sample", "population"]) -> NDArray[np.float64]:
    """The same without a look for gaps, bit by bit."""
    days = len(week)
    mean = _sum_of_days(week) / days
    squares, part = np.zeros(mean.shape), np.empty(mean.shape)
    for day in week:
        np.subtract(day, mean, out=part)
        np.multiply(part, part, out=part)
        squares += part
    spread = np.sqrt(squares / (days - 1 if standard_deviation == "sample" else days))
    given = spread > 0
    near = given & (spread <= _ROUNDING * mean)
    if near.any():
        given[near] = (week[:, near] != week[0, near]).any(axis=0)
    return _index(mean, spread, given)


def _sum_of_days(week: NDArray[np.float64]) -> NDArray[np.float64]:
    """Day after day, so that the bits do not depend on what else is in the array."""
    total: NDArray[np.float64] = week[0].copy()
    for day in week[1:]:
        total += day
    return total


def _index(mean: NDArray[np.float64], spread: NDArray[np.float64], given: NDArray[np.bool_]) -> NDArray[np.float64]:
    index = np.full(mean.shape, np.nan)
    np.divide(mean, spread, out=index, where=given & (spread > 0))
    return index


def strain(total: NDArray[np.float64], week_monotony: NDArray[np.float64]) -> NDArray[np.float64]:
    """Amount of a week times its monotony.

    Parameters
    ----------
    total : array
        Amount of the week's known days, in the unit of the channel.
    week_monotony : array
        See `monotony`.

    Returns
    -------
    array
        Strain, in the unit of the channel; NaN where monotony is undefined.

    Notes
    -----
    Foster C (1998), as for `monotony`.
    """
    return np.asarray(total * week_monotony)
