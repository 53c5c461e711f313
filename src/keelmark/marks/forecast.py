"""What an athlete's past weeks lead one to expect of the next: a robust local level with its scatter.

Weeks are taken on the square-root scale, on which amounts of work scatter about alike whether there is much or little
of it, and which keeps the marks in step with any change of unit. A single odd week is clipped before it moves the
level; a second one on the same side counts in full. New athletes start from the level and scatter of the squad, and
leave them as their own weeks come in.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Forecast", "fresh_forecast", "learn", "predict"]

Array = NDArray[np.float64]

LEVEL_GAIN = 0.15
"""Weight of the newest week in the level, once the start has worn off."""
SCATTER_GAIN = 0.06
"""Weight of the newest week in the scatter."""
CLIP = 2.5
"""A week moves the level by no more than this many times the scatter."""
SCATTER_CLIP = 4.0
"""A week counts in the scatter by no more than this many times the scatter."""
EXPERIENCED = 4
"""Weeks after which an athlete's own level speaks for the squad."""
SHARE_OF_SQUAD = 8.0
"""Weight of the squad's relative scatter, in weeks of the athlete's own, until the squad shows how much alike its
athletes scatter; it counts for this many athletes in that."""
LARGEST_SHARE = 60.0
"""Most weeks that the squad's scatter counts for in an athlete's own."""
WITHIN = float(np.pi / 2 - 1)
"""Variance over squared mean of the absolute error of one normal week."""
START_SCATTER = 0.25
"""Relative scatter on the square-root scale before anything is known: weeks that vary by about one half."""
LEAST_SCATTER = 0.02
"""Least relative scatter on the square-root scale: weeks that vary by one part in twenty-five."""
LEAST_LEVEL = 0.25
"""Scatter is taken relative to the level, or to this share of the squad's level where an athlete does hardly any."""
LARGEST_PRIOR = 5.0
"""Most weeks that the squad's level counts for in an athlete's own."""
NORMAL = float(np.sqrt(np.pi / 2))
"""Standard deviation over mean absolute deviation of a normal distribution."""


@dataclass(slots=True)
class Forecast:
    """State before a week; arrays of shape (pair,), on the square-root scale.

    `level` is NaN and `weeks` 0 where an athlete has no week yet; `deviation` is the mean absolute error over the
    level; `prior` is the weight, in weeks, of the squad's level in the athlete's own; `odd` is the side, -1 or 1, on
    which the last week was clipped, else 0.
    """

    level: Array
    deviation: Array
    weeks: Array
    prior: Array
    odd: Array


def fresh_forecast(pairs: int) -> Forecast:
    """Nothing known of any pair."""
    return Forecast(np.full(pairs, np.nan), *(np.zeros(pairs) for _ in range(4)))


def predict(state: Forecast, channel: NDArray[np.int64], channels: int) -> tuple[Array, Array]:
    """Level and scatter to expect of each pair, on the square-root scale.

    Returns
    -------
    tuple of arrays, shape (pair,)
        Level (NaN where neither the athlete nor the squad has a week) and standard deviation.
    """
    return _predict(state, channel, _squad(state, channel, channels))


def _predict(state: Forecast, channel: NDArray[np.int64], start: _Squad) -> tuple[Array, Array]:
    level = np.where(state.weeks > 0, state.level, start.level[channel])
    own = np.minimum(state.weeks, 1.0 / SCATTER_GAIN)
    share = start.share[channel]
    relative = (share * start.deviation[channel] + own * state.deviation) / (share + own)
    return level, np.maximum(NORMAL * relative, LEAST_SCATTER) * _unit_level(level, start.level[channel])


def learn(
    state: Forecast,
    seen: Array,
    counted: NDArray[np.bool_],
    channel: NDArray[np.int64],
    channels: int,
) -> Forecast:
    """State after a week.

    Parameters
    ----------
    state : Forecast
        Before the week.
    seen : array, shape (pair,)
        Square roots of the week's amounts.
    counted : bool array, shape (pair,)
        Pairs whose week may be learnt from; the others stay as they are.
    channel : int array, shape (pair,)
        Number of each pair's channel.
    channels : int
        How many channels there are.
    """
    squad = _squad(state, channel, channels)
    level, scatter = _predict(state, channel, squad)
    first = counted & (state.weeks == 0)
    prior = np.where(first, _prior_weeks(squad, channel), state.prior)
    begun = np.where(np.isnan(level), seen, level)
    error = np.where(np.isnan(level), 0.0, seen - begun)
    gain = np.maximum(LEVEL_GAIN, 1.0 / (state.weeks + 1.0 + prior))
    limit = np.where(scatter > 0, CLIP * scatter, np.inf)
    odd = np.where(np.abs(error) > limit, np.sign(error), 0.0)
    limit = np.where((odd != 0) & (odd == state.odd), np.inf, limit)
    moved = begun + gain * np.clip(error, -limit, limit)
    unit = _unit_level(begun, squad.level[channel])
    size = np.minimum(np.abs(error), np.where(scatter > 0, SCATTER_CLIP * scatter, np.inf))
    relative = np.divide(size, unit, out=np.zeros_like(size), where=unit > 0)
    pace = np.maximum(SCATTER_GAIN, 1.0 / np.maximum(state.weeks, 1.0))
    deviation = np.where(state.weeks > 0, state.deviation + pace * (relative - state.deviation), 0.0)
    return Forecast(
        level=np.where(counted, moved, state.level),
        deviation=np.where(counted, deviation, state.deviation),
        weeks=state.weeks + counted,
        prior=prior,
        odd=np.where(counted, odd, state.odd),
    )


def _unit_level(level: Array, squad: Array) -> Array:
    return np.fmax(level, LEAST_LEVEL * squad)


@dataclass(frozen=True, slots=True)
class _Squad:
    """Mean level, spread of levels, mean relative deviation, and the weeks it is worth in an athlete's own, per
    channel."""

    level: Array
    spread: Array
    deviation: Array
    share: Array


def _squad(state: Forecast, channel: NDArray[np.int64], channels: int) -> _Squad:
    experienced = state.weeks >= EXPERIENCED
    level = np.where(experienced, np.nan_to_num(state.level, nan=0.0), 0.0)

    def add(weights: Array) -> Array:
        return np.asarray(np.bincount(channel, weights=weights, minlength=channels), dtype=np.float64)

    count = add(experienced.astype(np.float64))
    mean = np.divide(add(level), count, out=np.full(channels, np.nan), where=count > 0)
    squares = add(np.where(experienced, (level - np.nan_to_num(mean, nan=0.0)[channel]) ** 2, 0.0))
    spread = np.divide(squares, count - 1, out=np.zeros(channels), where=count > 1)
    weeks = np.where(experienced, np.minimum(state.weeks, 1.0 / SCATTER_GAIN), 0.0)
    start = SHARE_OF_SQUAD * START_SCATTER / NORMAL
    deviation = (add(weeks * state.deviation) + start) / (add(weeks) + SHARE_OF_SQUAD)
    return _Squad(mean, spread, deviation, _share(state, experienced, channel, count))


def _share(state: Forecast, experienced: NDArray[np.bool_], channel: NDArray[np.int64], count: Array) -> Array:
    """Scatter of an athlete's mean deviation by chance over its spread between athletes, in weeks.

    Empirical Bayes: athletes who scatter alike lend one another much of their record.
    """

    def add(weights: Array) -> Array:
        summed = np.bincount(channel, weights=np.where(experienced, weights, 0.0), minlength=len(count))
        return np.asarray(summed, dtype=np.float64)

    mean = np.divide(add(state.deviation), count, out=np.zeros(len(count)), where=count > 0)
    over = np.divide(state.deviation, mean[channel], out=np.ones(len(channel)), where=mean[channel] > 0)
    spread = np.divide(add((over - 1.0) ** 2), count - 1, out=np.zeros(len(count)), where=count > 1)
    # An exponential average with this gain rests on about 2 / gain weeks.
    chance = WITHIN * add(1.0 / np.clip(state.weeks, 1.0, 2.0 / SCATTER_GAIN)) / np.maximum(count, 1.0)
    share = WITHIN / np.maximum(spread - chance, WITHIN / LARGEST_SHARE)
    return np.asarray((count * share + SHARE_OF_SQUAD**2) / (count + SHARE_OF_SQUAD))


def _prior_weeks(squad: _Squad, channel: NDArray[np.int64]) -> Array:
    """Scatter within an athlete over spread between athletes: how many weeks the squad's level is worth.

    Empirical Bayes shrinkage of a mean; none where fewer than two athletes are experienced.
    """
    within = (NORMAL * squad.deviation * np.nan_to_num(squad.level, nan=0.0)) ** 2
    weeks = np.divide(within, squad.spread, out=np.zeros(len(within)), where=squad.spread > 0)
    return np.asarray(np.minimum(weeks, LARGEST_PRIOR)[channel])
