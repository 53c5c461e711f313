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
_EDGES = np.arange(-_REACH, _REACH + _WIDTH / 2, _WIDTH)[::-1]
"""From the highest score down, as everything here is counted."""
_CENTRES = (_EDGES[:-1] + _EDGES[1:]) / 2
_BINS = len(_CENTRES)
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
        start = -np.diff(stats.t.cdf(_EDGES, degrees))
        self._counts: Array = np.tile(START_WEIGHT * start / start.sum(), (pools, 1))
        self._reached = np.zeros((pools, _BINS + 1))
        self._settle()

    def add(self, scores: Array, pool: NDArray[np.int64], counted: NDArray[np.bool_]) -> None:
        """Put this week's scores, shape (pair,), into the pools named for each."""
        at = _place(scores[counted]).astype(np.int64)
        np.add.at(self._counts, (pool[counted], at), 1.0)
        self._settle()

    def tail(self, scores: Array, pool: NDArray[np.int64]) -> Array:
        """Share of pooled scores at least this high, shape (pair,), above 0 and at most 1; NaN stays NaN."""
        within = self._at_least(scores, pool) / self._weight[pool]
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
        threshold = self._threshold[pool]
        others = self._weight[pool] - (~np.isnan(own)).sum(axis=0)
        at_least = self._at_least(scores, pool) - (own >= scores).sum(axis=0)
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
        score, threshold = np.full(level.shape, -np.inf), self._threshold[pool]
        far, near = level < THRESHOLD, (level >= THRESHOLD) & (level < 1.0)
        with np.errstate(divide="ignore"):
            beyond = self._excess[pool[far]] * np.log(THRESHOLD / np.maximum(level[far], 0.0))
        score[far] = threshold[far] + beyond
        edge, part = self._reaching(level[near] * self._weight[pool[near]], pool[near])
        score[near] = np.minimum(_EDGES[edge] - _WIDTH * part, threshold[near])
        return score

    def _at_least(self, scores: Array, pool: NDArray[np.int64]) -> Array:
        """Pooled scores at or above each score, evenly spread inside a step of the grid."""
        place = _place(np.nan_to_num(scores, nan=0.0))
        at = place.astype(np.int64)
        above, with_step = self._reached[pool, at], self._reached[pool, at + 1]
        return np.asarray(above + (place - at) * (with_step - above))

    def _reaching(self, counts: Array, pool: NDArray[np.int64]) -> tuple[NDArray[np.int64], Array]:
        """Where so many scores of a pool are reached from above: the edge before, and the part of the step from it."""
        before, after = np.zeros(len(pool), dtype=np.int64), np.full(len(pool), _BINS)
        for _ in range(_BINS.bit_length()):
            middle = (before + after) // 2
            fewer = self._reached[pool, middle] <= counts
            before, after = np.where(fewer, middle, before), np.where(fewer, after, middle)
        before = np.minimum(before, _BINS - 1)
        at, held = self._reached[pool, before], self._counts[pool, before]
        return before, np.divide(counts - at, held, out=np.zeros(len(pool)), where=held > 0)

    def _settle(self) -> None:
        """Scores at or above each edge of the grid, the threshold, and the mean excess beyond it."""
        np.cumsum(self._counts, axis=1, out=self._reached[:, 1:])
        self._weight = self._reached[:, -1].copy()
        pool = np.arange(len(self._counts))
        edge, part = self._reaching(THRESHOLD * self._weight, pool)
        self._threshold = _EDGES[edge] - _WIDTH * part
        self._beyond = self._reached[pool, edge + (part > 0.5)]
        beyond = slice(0, int(edge.max()) + 1)
        over = np.clip(_CENTRES[beyond] - self._threshold[:, None], 0.0, EXCESS_CAP)
        self._sum = np.einsum("ij,ij->i", self._counts[:, beyond], over)
        self._excess = np.full(len(pool), EXCESS_CAP)
        np.divide(self._sum, self._beyond, out=self._excess, where=self._beyond > 0)


def _place(scores: Array) -> Array:
    """Where scores lie on the grid, in steps from its highest edge."""
    return np.asarray(np.clip((_REACH - scores) / _WIDTH, 0.0, _BINS - 1e-9), dtype=np.float64)
