"""How the allowance of false notices of a week is shared out among its comparisons.

A doubled week of steady work can be told from chance; one of work that is done now and then cannot, and a share of the
allowance spent on it is lost to the others. So each comparison counts with a weight, known before the week from the
athlete's own marks: the weight that lets the most doubled weeks be found for the same rate of false notices. The mean
weight of a week is 1, which leaves the rate as it is, and nothing is left out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from keelmark.marks.settings import RATES

__all__ = ["DOUBLED", "allowance_weights"]

Array = NDArray[np.float64]

DOUBLED = float(np.sqrt(2.0) - 1.0)
"""A doubled week on the square-root scale, as a part of the level."""
MARK_WIDTH = 1.645
"""Standard deviations from what is expected to a mark with one week in twenty above it, for normal weeks."""
LEAST = 0.2
"""Every comparison counts at least this much, in parts of the mean."""
_EDGES = np.geomspace(0.05, 30.0, 160)
_CENTRES = np.sqrt(_EDGES[1:] * _EDGES[:-1])
_STEPS = 30


def allowance_weights(expected: Array, upper: Array, peak: NDArray[np.bool_]) -> Array:
    """Weight of each comparison of a week.

    Parameters
    ----------
    expected, upper : arrays, shape (week, pair)
        What was expected, and the upper mark, NaN where there is none; infinite where no amount lies above.
    peak : bool array, shape (pair,)
        Pairs whose week is its largest day, which more work does not double; they count least.

    Returns
    -------
    array, shape (week, pair)
        Mean 1 over the pairs of a week that have both; NaN for the others.

    Notes
    -----
    Roeder K, Wasserman L (2009). Genome-wide significance levels and weighted hypothesis testing. Statist Sci
    24(4):398-413, doi:10.1214/09-STS289: the weights that maximise power are 1/a times the upper tail of the normal
    distribution at d/2 + c/d, for an effect of d standard deviations and a mean share a. Weighted p-values keep the
    false discovery rate: Genovese CR, Roeder K, Wasserman L (2006). Biometrika 93(3):509-524. Those weights fall again
    for work so steady that less would do; here it keeps the greatest weight, so that steadier work never counts less.
    """
    effect = _effect(expected, upper)
    known = ~np.isnan(effect)
    people = np.maximum(known.sum(axis=1), 1)
    kind = np.clip(np.searchsorted(_EDGES, np.nan_to_num(effect, nan=1.0)) - 1, 0, len(_CENTRES) - 1)
    week = np.broadcast_to(np.arange(len(effect))[:, None], effect.shape)
    summed = known & ~peak
    cells = np.bincount((week * len(_CENTRES) + kind)[summed], minlength=len(effect) * len(_CENTRES))
    counts = cells.reshape(len(effect), len(_CENTRES)).astype(np.float64)
    weight = np.where(peak, LEAST, np.take_along_axis(_best(counts, people), kind, axis=1))
    mean = np.where(known, weight, 0.0).sum(axis=1) / people
    return np.where(known, weight / np.where(mean > 0, mean, 1.0)[:, None], np.nan)


def _best(counts: Array, people: NDArray[np.int64]) -> Array:
    """Weight of each size of effect in each week, from how many comparisons have it; both of shape (week, effect)."""
    allowed = RATES["week"] / people
    low, high = np.full(len(counts), -10.0), np.full(len(counts), 80.0)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        over = (counts * _tail(middle)).sum(axis=1) / people > allowed
        low, high = np.where(over, middle, low), np.where(over, high, middle)
    weight = _tail(high) / allowed[:, None]
    best = np.where(counts > 0, weight, -1.0).argmax(axis=1)
    greatest = np.take_along_axis(weight, best[:, None], axis=1)
    steadier = np.arange(len(_CENTRES)) > best[:, None]
    return LEAST + (1.0 - LEAST) * np.where(steadier, greatest, weight)


def _effect(expected: Array, upper: Array) -> Array:
    """How many standard deviations a doubled week lies above what is expected, by the width of the mark."""
    with np.errstate(divide="ignore", invalid="ignore"):
        width = np.sqrt(upper / expected) - 1.0
        effect = DOUBLED * MARK_WIDTH / width
    return np.where((expected > 0) & (width > 0), np.clip(effect, 0.05, 30.0), np.nan)


def _tail(offset: Array) -> Array:
    """Upper tail of the normal distribution at d/2 + c/d for each effect d and each week's c."""
    return np.asarray(ndtr(-(_CENTRES / 2.0 + offset[:, None] / _CENTRES)), dtype=np.float64)
