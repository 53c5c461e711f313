"""What an athlete's week holds beyond what the whole squad did that week, and how unusual the squad's week was.

Athletes share a programme, so their weeks rise and fall together. Each tail share is turned into a score on one scale;
the mean score of the others that week, as far as the athletes of this squad have moved together so far, is taken off.
What is left is judged against what was left in past weeks. A heavy programme is then one departure, of the squad, and
an athlete who departs alone stands out more clearly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from keelmark.marks.score_pool import ScorePool

__all__ = ["LEAST_SQUAD", "Departures", "departures"]

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

LEAST_SQUAD = 5
"""Athletes with a judged week of one kind of work before the squad's week is judged."""
START_WEEKS = 30.0
"""Scores of athletes who move each by themselves, that the reckoning starts from."""
START_DEGREES = 10.0
"""Degrees of freedom that the pools of what is left start from; see `ScorePool`."""
CLIP = 3.0
"""A score counts at most this much in the squad's mean."""
_LEAST_TAIL = 1e-12


@dataclass(frozen=True, slots=True)
class Departures:
    """Tail shares after the squad's week is taken off.

    Parameters
    ----------
    alone : array, shape (case, week, pair)
        Share of usual weeks in which as much is left, for each case of `tails`.
    squad : array, shape (week, channel)
        Share of usual weeks in which the squad's mean lies at least this high, NaN where too few were judged.
    """

    alone: Array
    squad: Array


def departures(tails: Array, channel: NDArray[np.int64], channels: int) -> Departures:
    """Split each week into what the squad did and what is left to each athlete.

    Each week rests on earlier weeks alone.

    Parameters
    ----------
    tails : array, shape (case, week, pair)
        Tail shares, NaN where a week is not judged. The first case is what happened and is learnt from; each of the
        others is looked at as if it alone had happened that week.
    channel : int array, shape (pair,)
        Number of each pair's channel.
    channels : int
        How many channels there are.
    """
    scores = -ndtri(np.clip(tails, _LEAST_TAIL, 1.0 - _LEAST_TAIL))
    pairs, squads = ScorePool(channels, START_DEGREES), ScorePool(1, START_DEGREES)
    found = Departures(np.full(tails.shape, np.nan), np.full((tails.shape[1], channels), np.nan))
    alike, size, count = np.zeros(channels), np.full(channels, START_WEEKS), np.full(channels, START_WEEKS)
    one = np.zeros(channels, dtype=np.int64)
    for week in range(tails.shape[1]):
        judged = ~np.isnan(scores[0, week])
        clipped = np.where(judged, np.clip(scores[0, week], -CLIP, CLIP), 0.0)
        people, total, squares = (_add(channel, part, channels) for part in (judged * 1.0, clipped, clipped**2))
        together = np.clip(alike / size, 0.0, 1.0)
        left = scores[:, week] - _expected(channel, clipped, total, people - 1.0, together)
        found.alone[:, week] = [pairs.tail(case, channel) for case in left]
        spread = np.sqrt((1.0 + (people - 1.0) * together) / np.maximum(people, 1.0) * size / count)
        mean = np.where(people >= LEAST_SQUAD, total / np.maximum(people, 1.0) / spread, np.nan)
        found.squad[week] = squads.tail(mean, one)
        pairs.add(left[0], channel, judged)
        squads.add(mean, one, ~np.isnan(mean))
        several = people > 1
        alike += np.where(several, (total**2 - squares) / np.maximum(people - 1.0, 1.0), 0.0)
        size += np.where(several, squares, 0.0)
        count += np.where(several, people, 0.0)
    return found


def _expected(channel: NDArray[np.int64], own: Array, total: Array, others: Array, together: Array) -> Array:
    """Score to expect of each pair from the mean score of the others in its channel: the best linear guess."""
    mean = (total[channel] - own) / np.maximum(others, 1.0)[channel]
    weight = others * together / np.maximum(1.0 + (others - 1.0) * together, 1e-9)
    return np.asarray(np.where(others > 0, weight, 0.0)[channel] * mean)


def _add(channel: NDArray[np.int64], weights: Array, channels: int) -> Array:
    return np.asarray(np.bincount(channel, weights=weights, minlength=channels), dtype=np.float64)
