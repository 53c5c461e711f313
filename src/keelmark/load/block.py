"""Weekly figures of a block of athletes as array code over its days, which run along the first axis.

Everything here looks at one athlete and channel at a time: each operation takes whole days or weeks of all of them at
once, and none of them mixes two. So the figures have the same bits in whatever block an athlete lies.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from keelmark.load.ewma import ewma_on, smoothing_factor
from keelmark.load.monotony import monotony, strain
from keelmark.load.ratios import quotient, uncoupled_chronic
from keelmark.load.windows import ENOUGH_KNOWN, window_mean

__all__ = ["RATIOS", "SPANS", "Figures", "change_of", "week_change", "window_figures"]

Array = NDArray[np.float64]
Figures = dict[str, NDArray[np.generic]]

RATIOS = ("ratio_coupled", "ratio_uncoupled", "ratio_ewma")
"""Figures that are told only where gates are open."""
SPANS = (smoothing_factor(7), smoothing_factor(28))
"""Weights of the newest day in the two weighted averages."""


def window_figures(
    daily: Array,
    totals: Array,
    known_days: Array,
    value: Array,
    week_day: int,
    standard_deviation: Literal["sample", "population"] = "sample",
    *,
    whole: bool = False,
    start: Array | None = None,
) -> Figures:
    """Means, ratios, monotony and strain of each week, whether or not ratios may be told.

    Parameters
    ----------
    daily : array, shape (7 weeks, ...)
        Amount per day from a Monday, NaN where not known.
    totals, known_days : arrays, shape (week, ...)
        What the known days up to each week's fixed weekday add up to, and how many a mean may rest on.
    value : array, shape (week, ...)
        Amount of each ISO week's known days.
    week_day : int
        ISO weekday on which windows close, 1 to 7.
    standard_deviation : "sample" or "population"
        Which one monotony divides by.
    whole : bool
        Say so where no day is missing, to save the look.
    start : array, shape (2, ...), optional
        Weighted averages before the first day, see `ewma_on`.

    Returns
    -------
    dict of arrays, shape (week, ...)
        `acute` and `chronic` in the unit of the channel a day, `ratio_coupled`, `ratio_uncoupled`, `ratio_ewma`,
        `monotony` without unit, `strain` in the unit of the channel; NaN where undefined.
    """
    acute, chronic, before = (window_mean(totals, known_days, weeks, 7 * weeks) for weeks in (1, 4, 3))
    anchors = np.arange(len(totals)) * 7 + week_day - 1
    fast, slow = ewma_on(daily, SPANS, anchors, whole=whole, start=start)
    iso = np.moveaxis(daily.reshape(len(totals), 7, *daily.shape[1:]), 1, 0)
    alike = monotony(iso, standard_deviation, whole=whole)
    return {
        "acute": acute,
        "chronic": chronic,
        "ratio_coupled": quotient(acute, chronic),
        "ratio_uncoupled": quotient(acute, uncoupled_chronic(before, 1)),
        "ratio_ewma": quotient(fast, slow),
        "monotony": alike,
        "strain": strain(value, alike),
    }


def week_change(value: Array, known: NDArray[np.int64] | Array) -> Array:
    """This week over the week before, minus 1, where both are known well enough; shape (week, ...)."""
    return change_of(np.where(known >= ENOUGH_KNOWN * 7, value, np.nan))


def change_of(enough: Array) -> Array:
    """Each week's amount over that of the week before, minus 1; NaN in the first week and after a week of nothing."""
    change = np.full_like(enough, np.nan)
    change[1:] = quotient(enough[1:], enough[:-1]) - 1.0
    return change
