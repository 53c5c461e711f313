"""What an athlete's own past weeks were like, from those weeks alone: quantiles, which one odd week hardly moves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["LEAST_WEEKS", "PAST_WEEKS", "SHARES", "past_weeks"]

Array = NDArray[np.float64]

PAST_WEEKS = 12
"""Weeks before each one that are looked at (judgement)."""
LEAST_WEEKS = 4
"""Known weeks among them that a range needs (judgement)."""
SHARES = (0.1, 0.5, 0.9)
"""Shares of the past weeks that lie below the lower end, the middle and the upper end."""


def past_weeks(value: Array) -> tuple[Array, Array, Array]:
    """Lower end, middle and upper end of the weeks before each week.

    Describes logged weeks; no mark is drawn from it and no share of weeks to come is promised. Weeks that are not known
    are left out.

    Parameters
    ----------
    value : array, shape (week, ...)
        Amount per week, NaN where not known.

    Returns
    -------
    three arrays, same shape
        Quantiles in the unit of `value`; NaN where fewer than `LEAST_WEEKS` of the last `PAST_WEEKS` are known.

    Notes
    -----
    Quantile 7 of Hyndman RJ, Fan Y (1996). Sample quantiles in statistical packages. Am Stat 50(4):361-365.
    """
    found = tuple(np.full(value.shape, np.nan) for _ in SHARES)
    for week in range(LEAST_WEEKS, len(value)):
        past = value[max(0, week - PAST_WEEKS) : week]
        ordered = np.sort(np.moveaxis(past, 0, -1), axis=-1)
        known = len(past) - np.isnan(ordered).sum(axis=-1)
        if known.min(initial=len(past)) == len(past):
            for quantiles, share in zip(found, SHARES, strict=True):
                quantiles[week] = _whole(ordered, share)
        else:
            for quantiles, share in zip(found, SHARES, strict=True):
                quantiles[week] = _of_some(ordered, known, share)
    return found[0], found[1], found[2]


def _whole(ordered: Array, share: float) -> Array:
    place = (ordered.shape[-1] - 1) * share
    under = int(place)
    lower, upper = ordered[..., under], ordered[..., min(under + 1, ordered.shape[-1] - 1)]
    return np.asarray(lower + (place - under) * (upper - lower))


def _of_some(ordered: Array, known: NDArray[np.int64], share: float) -> Array:
    """The same where a number of the last places hold nothing."""
    place = np.maximum(known - 1, 0) * share
    under = place.astype(np.int64)
    above = np.minimum(under + 1, np.maximum(known - 1, 0))
    lower, upper = (np.take_along_axis(ordered, at[..., None], axis=-1)[..., 0] for at in (under, above))
    return np.where(known >= LEAST_WEEKS, lower + (place - under) * (upper - lower), np.nan)
