"""How unusual the most unusual thing in an athlete's week is, among the athlete-weeks this squad has had.

An athlete has dozens of kinds of work that rise and fall together, so the most unusual of them is less often unusual by
chance than as many unlike ones would be. That is not reckoned but looked up: the week's most unusual share, of all that
the athlete did, is placed among those of past athlete-weeks. An athlete is then one comparison of the week.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from keelmark.marks.score_pool import ScorePool

__all__ = ["athlete_shares"]

Array = NDArray[np.float64]

START_DEGREES = 30.0
"""Degrees of freedom that the pool starts from; see `ScorePool`."""
_LEAST, _MOST = 1e-14, 1.0 - 1e-9


def athlete_shares(tails: Array, weights: Array, athlete: NDArray[np.int64]) -> Array:
    """Share of usual athlete-weeks that hold anything at least as unusual as each tail.

    Each week rests on earlier weeks alone.

    Parameters
    ----------
    tails : array, shape (case, week, pair)
        Tail shares, NaN where a week is not judged. The first case is what happened and is learnt from.
    weights : array, shape (week, pair)
        Weight of each comparison, known before the week; see `allowance_weights`. NaN counts as none.
    athlete : int array, shape (pair,)
        Number of each pair's athlete.

    Returns
    -------
    array, shape (case, week, pair)
        NaN where there is no tail.

    Notes
    -----
    The smallest p-value of a family as its test, against its own distribution: Westfall PH, Young SS. Resampling-Based
    Multiple Testing. Wiley 1993; here the distribution is that of the squad's past weeks.
    """
    found, people = np.full(tails.shape, np.nan), int(athlete.max(initial=-1)) + 1
    pool, one = ScorePool(1, START_DEGREES), np.zeros(tails.shape[2], dtype=np.int64)
    for week in range(tails.shape[1]):
        judged = ~np.isnan(tails[0, week])
        if not judged.any():
            continue
        kinds = np.bincount(athlete[judged], minlength=people)
        weight = np.nan_to_num(weights[week], nan=1.0)
        for case in range(len(tails)):
            found[case, week] = pool.tail(_score(tails[case, week] / weight, kinds[athlete]), one)
        smallest = np.full(people, np.nan)
        np.fmin.at(smallest, athlete[judged], (tails[0, week] / weight)[judged])
        pool.add(_score(smallest, kinds), np.zeros(people, dtype=np.int64), kinds > 0)
    return found


def _score(shares: Array, kinds: NDArray[np.int64]) -> Array:
    """A share as the normal score of the smallest of as many unlike shares."""
    smallest = -np.expm1(np.maximum(kinds, 1) * np.log1p(-np.minimum(shares, _MOST)))
    return np.asarray(-ndtri(np.clip(smallest, _LEAST, _MOST)), dtype=np.float64)
