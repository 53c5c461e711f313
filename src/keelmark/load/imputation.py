"""What may have been done on days that are not known: several likely amounts for each, in place of none.

A missing day is drawn `DRAWS` times. Whether the athlete trained is drawn at the rate of the athlete's known days of
that weekday, apart for days on which others of the group trained and days on which nobody did. What was done is the
mean of those others times a ratio that this athlete had to the group on some other day near it; where nobody else
trained, it is what this athlete did on some other day. A whole day is copied at once, so that kinds of work keep
together. Days that lie in no window with enough known days are left as they are.

Rubin DB. Multiple Imputation for Nonresponse in Surveys. Wiley 1987. Session mean as the best single value: Benson LC
et al. J Sports Sci Med 2021;20:188-196, doi:10.52082/jssm.2021.188.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from keelmark.load.cube import DoseCube
from keelmark.load.day_states import DayTable
from keelmark.load.group_days import GroupDays
from keelmark.load.windows import ENOUGH_KNOWN, rolling_sum

__all__ = ["DRAWS", "MissingDays", "missing_days", "to_fill"]

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

DRAWS = 24
"""Likely amounts drawn for each missing day."""
NEAREST = 40
"""Trained days nearest in time that ratios and amounts are taken from."""
SPREAD = (0.5, 1.5)
"""Ratios beside the athlete's own, in parts of the athlete's mean ratio: what is copied is never all alike."""
MOST_TIMES = 3.0
"""A ratio of one day to the group counts at most this many times the mean one, or this itself (judgement)."""
START_DAYS = 2.0
"""Days at the group's mean that an athlete's mean ratio starts from."""
OWN_RATE, LONE_RATE = (2.0, 2.0), (0.5, 4.5)
"""Trained and free days that a rate starts from: where others of the group trained, and where nobody did (judgement).
A day of which the whole squad has no record most likely had no session."""
WEEKDAY_START = 4.0
"""Days at the athlete's rate over all weekdays that the rate of one weekday starts from."""
_TABLE = 2048


@dataclass(frozen=True, slots=True)
class MissingDays:
    """Draws for the missing days of one athlete: `days`, shape (missing,), and `amounts`, (missing, channel, draw)."""

    athlete: int
    days: NDArray[np.int64]
    amounts: Array


def to_fill(daily: Array, days: DayTable, last_day: int, week_day: int) -> Flags:
    """Missing days that lie in a week, or in four weeks, of which three quarters are known.

    Parameters
    ----------
    daily : array, shape (day, athlete, channel)
        Amounts, NaN where not known.
    days : DayTable
        Days of these athletes; nothing before an athlete's first known day is filled.
    last_day : int
        Number of the last day that can be known.
    week_day : int
        ISO weekday on which windows close.
    """
    missing = np.isnan(daily)
    missing[last_day + 1 :] = False
    begun = np.maximum.accumulate(days.sessions | days.rest, axis=0)
    missing &= begun[..., None]
    if not missing.any():
        return missing
    known = ~np.isnan(daily)
    late = 7 - week_day
    shifted = np.concatenate([np.zeros((late, *known.shape[1:]), dtype=bool), known[: len(known) - late]])
    of_window = shifted.reshape(-1, 7, *known.shape[1:]).sum(axis=1, dtype=np.float64)
    months = rolling_sum(of_window, 4) >= ENOUGH_KNOWN * 28
    inside = of_window >= ENOUGH_KNOWN * 7
    for back in range(min(4, len(inside))):
        inside[: len(inside) - back] |= months[back:]
    window = np.repeat(inside, 7, axis=0)
    window = np.concatenate([window[late:], np.zeros((late, *known.shape[1:]), dtype=bool)])
    weeks = known.reshape(-1, 7, *known.shape[1:]).sum(axis=1) >= ENOUGH_KNOWN * 7
    return np.asarray(missing & (window | np.repeat(weeks, 7, axis=0)))


def missing_days(cube: DoseCube, days: DayTable, group: GroupDays, fill: Flags) -> list[MissingDays]:
    """Draw likely amounts for the days to fill; the same records give the same draws.

    A channel in which an athlete has no fully known day at all stays NaN.
    """
    number = days.first.toordinal() + np.arange(len(fill))
    found = []
    for athlete in np.flatnonzero(fill.any(axis=(0, 2))).tolist():
        at = np.flatnonzero(fill[:, athlete].any(axis=1))
        own, came = cube.daily[:, athlete], days.sessions[:, athlete]
        there, mean = group.others(athlete, own, came)
        rate = _rates(came, days.rest[:, athlete], there > 0.5, number % 7)[at]
        chance = _chance()[number[at] % _TABLE]
        trained = chance[:, 0] < np.where(came[at], 1.0, rate)[:, None]
        amounts = _copied(own, came, mean, at, chance[:, 1])
        amounts = np.where(trained[:, None, :], amounts, 0.0)
        found.append(MissingDays(athlete, at, np.maximum(amounts, cube.part[at, athlete][..., None])))
    return found


def _rates(came: Flags, rest: Flags, others_came: Flags, weekday: NDArray[np.int64]) -> Array:
    """How often the athlete trains on days such as each day, from the known ones."""
    rate = np.empty(len(came))
    for which, (start, free) in ((others_came, OWN_RATE), (~others_came, LONE_RATE)):
        known = which & (came | rest)
        overall = ((came & which).sum() + start) / (known.sum() + start + free)
        trained, of = (np.bincount(weekday[some], minlength=7) for some in (came & which, known))
        of_weekday = (trained + WEEKDAY_START * overall) / (of + WEEKDAY_START)
        rate[which] = of_weekday[weekday[which]]
    return rate


def _copied(own: Array, came: Flags, mean: Array, at: NDArray[np.int64], chance: Array) -> Array:
    """Amounts of each missing day if it was trained, shape (missing, channel, draw)."""
    source = np.flatnonzero(came & ~np.isnan(own).all(axis=1))
    amounts, ratios = _alone(own, source), _ratios(own, mean, source)
    nearest = min(len(source), NEAREST)
    first = np.clip(np.searchsorted(source, at) - nearest // 2, 0, len(source) - nearest)
    place = (chance * (nearest + len(SPREAD))).astype(np.int64)
    beyond = place - nearest
    pick = np.where(beyond < 0, first[:, None] + place, len(source) + np.maximum(beyond, 0))
    with_group = mean[at][:, None, :] * ratios[pick]
    by_self = amounts[pick]
    return np.moveaxis(np.where(np.isnan(with_group), by_self, with_group), 2, 1)


def _alone(own: Array, source: NDArray[np.int64]) -> Array:
    """Amounts of the source days, the channel's mean where one is not known, then that mean times each `SPREAD`."""
    days = own[source]
    known = ~np.isnan(days)
    mean = np.full(own.shape[1], np.nan)
    np.divide(np.where(known, days, 0.0).sum(axis=0), known.sum(axis=0), out=mean, where=known.any(axis=0))
    return np.vstack([np.where(known, days, mean), *(part * mean for part in SPREAD)])


def _ratios(own: Array, mean: Array, source: NDArray[np.int64]) -> Array:
    """Ratio to the group of each source day and channel, then the athlete's mean ratio times each `SPREAD`."""
    days, others = own[source], mean[source]
    shared = ~np.isnan(days) & (np.nan_to_num(others) > 0)
    over, under = np.where(shared, days, 0.0).sum(axis=0), np.where(shared, others, 0.0).sum(axis=0)
    start = START_DAYS * under / np.maximum(shared.sum(axis=0), 1)
    usual = np.divide(over + start, under + start, out=np.ones(own.shape[1]), where=under + start > 0)
    ratio = np.divide(days, others, out=np.broadcast_to(usual, days.shape).copy(), where=shared)
    capped = np.minimum(ratio, MOST_TIMES * np.maximum(usual, 1.0))
    return np.vstack([capped, *(part * usual for part in SPREAD)])


@cache
def _chance() -> Array:
    """Numbers from 0 to 1 by day, shape (day, 2, draw); each row holds one of every equal part of that range."""
    random = np.random.default_rng(2021)
    rows = np.tile((np.arange(DRAWS) + 0.5) / DRAWS, (_TABLE, 2, 1))
    return np.asarray(random.permuted(rows, axis=2))
