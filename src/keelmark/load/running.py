"""Plain figures that go on from week to week: a new day costs the weeks it touches, not the seasons before it.

Weighted averages, the days since the last training and the known days since the last gap are kept as of each Sunday.
From there the weeks are worked out as if all had been, bit by bit.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.dose.amounts import DayAmounts
from keelmark.load.block import SPANS
from keelmark.load.calendar import monday_of
from keelmark.load.cube import peak_channels
from keelmark.load.ewma import ewma_on
from keelmark.load.gates import Earlier, histories
from keelmark.load.plain import PLAIN_FIGURES, calendar_of, figures_of_days, laid_out
from keelmark.load.settings import LoadSettings

__all__ = ["LEAD_WEEKS", "RunningFigures", "begin", "go_on"]

Array = NDArray[np.float64]

LEAD_WEEKS = 5
"""Weeks before a changed one that its figures look back on: 28 days, and the week that closes in the first of them."""
_EPOCH = date(1970, 1, 1)


@dataclass(frozen=True, slots=True)
class RunningFigures:
    """Figures of all weeks, and what lies behind each week's end.

    Parameters
    ----------
    athletes, channels : tuple of str
        Who and what; the same as long as it goes on.
    first : date
        The Monday that week 0 begins on.
    figures : dict of arrays, shape (week, athlete, channel)
        `PLAIN_FIGURES`, NaN where not given.
    idle : int array, shape (week, athlete)
        Days since the last training, as of Sunday.
    history : int array, shape (week, athlete, channel)
        Known days since the last gap, as of Sunday.
    average : array, shape (2, week, athlete, channel)
        Weighted averages, as of Sunday.
    began : int array, shape (athlete,)
        Week of the first day of training.
    """

    athletes: tuple[str, ...]
    channels: tuple[str, ...]
    first: date
    figures: dict[str, Array]
    idle: NDArray[np.int64]
    history: NDArray[np.int64]
    average: Array
    began: NDArray[np.int64]


def begin(
    amounts: DayAmounts, athletes: pl.DataFrame, day_states: pl.DataFrame, settings: LoadSettings
) -> RunningFigures:
    """Work all weeks out.

    Parameters
    ----------
    amounts, athletes, day_states, settings
        As for `plain_figures`.
    """
    days = calendar_of(amounts, athletes, day_states, settings)
    daily, part = laid_out(amounts, days, 0, len(amounts.athletes))
    figures = figures_of_days(daily, part, days, peak_channels(amounts.channels), settings, None)
    idle, history, average = _ends(daily, days.sessions, None)
    began = days.sessions.argmax(axis=0) // 7
    return RunningFigures(amounts.athletes, amounts.channels, days.first, figures, idle, history, average, began)


def go_on(
    before: RunningFigures,
    amounts: DayAmounts,
    athletes: pl.DataFrame,
    day_states: pl.DataFrame,
    settings: LoadSettings,
    changed: date,
) -> RunningFigures | None:
    """Go on from figures of before, after days from some day on have changed or come in.

    Parameters
    ----------
    before : RunningFigures
        Figures as they were, by the same settings but for the last day.
    amounts : DayAmounts
        Days from `LEAD_WEEKS` before the changed day's week on, as they are now; earlier ones are not looked at.
    athletes, day_states, settings
        As for `plain_figures`, as they are now.
    changed : date
        The first day that differs.

    Returns
    -------
    RunningFigures or None
        All weeks, with the bits of `begin`; None where that needs the record from the start: somebody or some kind of
        work is new, or somebody's first training lies too near.
    """
    start = monday_of(changed) - timedelta(weeks=LEAD_WEEKS)
    lead = (start - before.first).days // 7
    here = amounts.day >= (start - _EPOCH).days
    known = set(before.athletes), set(before.channels)
    done = amounts.amount[here] > 0 if amounts.untold is None else (amounts.amount > 0)[here] | amounts.untold[here]
    fed = {amounts.channels[place] for place in np.flatnonzero(done.any(axis=0))}
    if lead < 1 or lead > len(before.idle) or (before.began >= lead).any():
        return None
    if set(amounts.athletes) - known[0] or fed - known[1]:
        return None
    aligned = _aligned(amounts, here, before)
    begun = np.ones(len(before.athletes), dtype=bool)
    days = calendar_of(aligned, athletes, day_states, settings, monday=start, begun=begun)
    daily, part = laid_out(aligned, days, 0, len(before.athletes))
    earlier = Earlier(before.idle[lead - 1], before.history[lead - 1])
    average = before.average[:, lead - 1]
    figures = figures_of_days(daily, part, days, peak_channels(before.channels), settings, (earlier, average))
    idle, history, later = _ends(daily, days.sessions, (earlier, average))
    keep = lead + LEAD_WEEKS
    return RunningFigures(
        before.athletes,
        before.channels,
        before.first,
        {name: np.concatenate([before.figures[name][:keep], figures[name][LEAD_WEEKS:]]) for name in PLAIN_FIGURES},
        np.concatenate([before.idle[:keep], idle[LEAD_WEEKS:]]),
        np.concatenate([before.history[:keep], history[LEAD_WEEKS:]]),
        np.concatenate([before.average[:, :keep], later[:, LEAD_WEEKS:]], axis=1),
        before.began,
    )


def _ends(
    daily: Array, trained: NDArray[np.bool_], before: tuple[Earlier, Array] | None
) -> tuple[NDArray[np.int64], NDArray[np.int64], Array]:
    """What lies behind each Sunday."""
    sundays = np.arange(len(daily) // 7) * 7 + 6
    idle, history = histories(daily, trained, sundays, earlier=before and before[0])
    return idle, history, ewma_on(daily, SPANS, sundays, start=before and before[1])


def _aligned(amounts: DayAmounts, here: NDArray[np.bool_], before: RunningFigures) -> DayAmounts:
    """Amounts in the order of athletes and channels of before."""
    who = {name: number for number, name in enumerate(before.athletes)}
    athlete = np.array([who[name] for name in amounts.athletes], dtype=np.int64)[amounts.athlete[here]]
    common = [key for key in amounts.channels if key in before.channels]
    source, target = ([names.index(key) for key in common] for names in (amounts.channels, before.channels))
    shape = (len(athlete), len(before.channels))
    amount = np.zeros(shape)
    amount[:, target] = amounts.amount[here][:, source]
    untold = None
    if amounts.untold is not None:
        untold = np.zeros(shape, dtype=bool)
        untold[:, target] = amounts.untold[here][:, source]
    pairs = np.ones((len(before.athletes), len(before.channels)), dtype=bool)
    order = np.argsort(athlete, kind="stable")
    day = amounts.day[here]
    return DayAmounts(
        before.athletes,
        before.channels,
        athlete[order],
        day[order],
        amount[order],
        None if untold is None else untold[order],
        pairs,
    )
