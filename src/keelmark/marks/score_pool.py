"""What scores were usual in this squad so far: pools of past scores, each with a smooth far tail.

A score is how far a week lay from its forecast, in units of the usual scatter. Scores are kept as counts on a fine
grid, so that a new week costs little however long the history. Beyond the chosen threshold the pool has few scores;
there the tail is an exponential with the mean excess of the scores that lie beyond (peaks over threshold).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import stats

__all__ = ["ScorePool"]

Array = NDArray[np.float64]

_REACH, _WIDTH = 12.0, 0.02
_EDGES = np.arange(-_REACH, _REACH + _WIDTH / 2, _WIDTH)
_CENTRES = (_EDGES[:-1] + _EDGES[1:]) / 2
START_WEIGHT = 50.0
"""Weight of the start of a pool, in scores."""
START_DEGREES = 6.0
THRESHOLD = 0.05
"""Share of scores beyond which the tail is taken as exponential."""
EXCESS_CAP = 4.0
"""A single excess counts at most this much, so that one spike does not hide the next."""


class ScorePool:
    """Past scores, in several pools.

    Parameters
    ----------
    pools : int
        How many.
    degrees : float
        Degrees of freedom of the t distribution that a pool starts from.
    """

    def __init__(self, pools: int, degrees: float = START_DEGREES) -> None:
        start = np.diff(stats.t.cdf(_EDGES, degrees))
        self._counts: Array = np.tile(START_WEIGHT * start / start.sum(), (pools, 1))
        self._settle()

    def add(self, scores: Array, pool: NDArray[np.int64], counted: NDArray[np.bool_]) -> None:
        """Put this week's scores, shape (pair,), into the pools named for each."""
        at = _bin(scores[counted])
        np.add.at(self._counts, (pool[counted], at), 1.0)
        self._settle()

    def tail(self, scores: Array, pool: NDArray[np.int64]) -> Array:
        """Share of pooled scores at least this high, shape (pair,), above 0 and at most 1; NaN stays NaN."""
        within = self._share(scores, pool)
        threshold, excess = self._threshold[pool], self._excess[pool]
        far = THRESHOLD * np.exp(-np.maximum(scores - threshold, 0.0) / excess)
        share = np.where(scores > threshold, far, np.maximum(within, THRESHOLD))
        return np.where(np.isnan(scores), np.nan, np.minimum(share, 1.0))

    def tail_among_others(self, scores: Array, pool: NDArray[np.int64], own: Array) -> Array:
        """As `tail`, but leaving out the scores that each pair put into its pool itself.

        Steps that last for weeks would otherwise become their own measure.

        Parameters
        ----------
        scores : array, shape (pair,)
            Scores to judge.
        pool : int array, shape (pair,)
            Pool of each pair.
        own : array, shape (score, pair)
            Scores that each pair has put into its pool, NaN for none.
        """
        threshold, weight = self._threshold[pool], self._weight[pool]
        others = weight - (~np.isnan(own)).sum(axis=0)
        at_least = self._share(scores, pool) * weight - (own >= scores).sum(axis=0)
        over = own - threshold
        beyond = self._beyond[pool] - (over > 0).sum(axis=0)
        excess = self._sum[pool] - np.clip(np.nan_to_num(over, nan=0.0), 0.0, EXCESS_CAP).sum(axis=0)
        mean = np.maximum(excess, _WIDTH) / np.maximum(beyond, 1.0)
        far = np.maximum(beyond, 1.0) / others * np.exp(-np.maximum(scores - threshold, 0.0) / mean)
        share = np.where(scores > threshold, far, np.maximum(at_least, beyond) / others)
        return np.where(np.isnan(scores), np.nan, np.clip(share, 0.0, 1.0))

    def quantile(self, level: Array, pool: NDArray[np.int64]) -> Array:
        """Score that a share `level` of the pooled scores lies at or above, shape (pair,).

        Infinite for a level of 0 or below, minus infinite for 1 or above.
        """
        near = np.empty_like(level)
        for number in np.unique(pool):
            own = pool == number
            near[own] = np.interp(-level[own], -self._upward[number], _EDGES)
        with np.errstate(divide="ignore", invalid="ignore"):
            far = self._threshold[pool] + self._excess[pool] * np.log(THRESHOLD / np.maximum(level, 0.0))
        score = np.where(level < THRESHOLD, far, np.minimum(near, self._threshold[pool]))
        return np.where(level >= 1.0, -np.inf, score)

    def _share(self, scores: Array, pool: NDArray[np.int64]) -> Array:
        """Share of pooled scores at or above each score, evenly spread inside a step of the grid."""
        place = np.clip((np.nan_to_num(scores, nan=0.0) + _REACH) / _WIDTH, 0.0, len(_CENTRES) - 1e-9)
        at = place.astype(np.int64)
        higher, lower = self._upward[pool, at], self._upward[pool, at + 1]
        return np.asarray(higher + (place - at) * (lower - higher))

    def _settle(self) -> None:
        """Share of scores at or above each grid edge, the threshold, and the mean excess beyond it."""
        upward = np.cumsum(self._counts[:, ::-1], axis=1)[:, ::-1]
        self._weight = upward[:, 0]
        self._upward = np.hstack([upward / upward[:, :1], np.zeros((len(upward), 1))])
        row, after = np.arange(len(upward)), (self._upward > THRESHOLD).sum(axis=1)
        higher, lower = self._upward[row, after - 1], self._upward[row, after]
        self._threshold = _EDGES[after] - _WIDTH * (THRESHOLD - lower) / (higher - lower)
        over = np.clip(_CENTRES - self._threshold[:, None], 0.0, EXCESS_CAP)
        beyond = np.where(over > 0, self._counts, 0.0)
        self._sum, self._beyond = (beyond * over).sum(axis=1), beyond.sum(axis=1)
        self._excess = np.full(len(upward), EXCESS_CAP)
        np.divide(self._sum, self._beyond, out=self._excess, where=self._beyond > 0)


def _bin(scores: Array) -> NDArray[np.int64]:
    return np.clip(((scores + _REACH) / _WIDTH).astype(np.int64), 0, len(_CENTRES) - 1)
