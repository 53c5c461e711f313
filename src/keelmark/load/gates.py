"""When a ratio is not given, and the reason that stands in its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.windows import ENOUGH_KNOWN, rolling_sum

__all__ = [
    "GAP_DAYS", "HISTORY_DAYS", "LEAST_TRAINED_A_WEEK", "Earlier", "Gates", "WeekCounts", "gate_words", "gates",
    "histories", "ratios_stand",
]  # fmt: skip

HISTORY_DAYS = 28
"""Known days that must lie behind a ratio, counted anew after a gap."""
GAP_DAYS = 14
"""Days in a row without training on record that make a gap."""
LEAST_TRAINED_A_WEEK = 2
"""A channel done less often than this jumps about too much for a ratio of weeks."""

_SPACE = 1_000_000
_OPEN, _PEAK, _GAP, _HISTORY, _RECENT, _MONTH, _SELDOM, _NOT_OVER = range(8)


@dataclass(frozen=True, slots=True)
class WeekCounts:
    """Days of each week that are known, and that had any of the work; arrays of shape (week, athlete, channel).

    What is the same for all athletes or channels may have length 1 there.
    """

    known: NDArray[np.float64]
    worked: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Earlier:
    """What lies before a calendar that does not begin with the record.

    `idle`, shape (athlete,): days since the last training on the day before; `history`, shape (athlete, channel): known
    days since the last gap.
    """

    idle: NDArray[np.int64]
    history: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Gates:
    """Why ratios are withheld, and the count that goes into the words; arrays of shape (week, athlete, channel)."""

    code: NDArray[np.int64]
    count: NDArray[np.int64]

    @property
    def open(self) -> NDArray[np.bool_]:
        """Where ratios stand."""
        return np.asarray(self.code == _OPEN)


def gates(
    daily: NDArray[np.float64],
    week: WeekCounts,
    trained: NDArray[np.bool_],
    anchors: NDArray[np.int64],
    peaks: NDArray[np.bool_],
    last_day: int | None = None,
    *,
    whole: bool = False,
    earlier: Earlier | None = None,
) -> Gates:
    """Decide for each week's fixed weekday whether ratios may be given.

    Parameters
    ----------
    daily : array, shape (day, athlete, channel)
        Amounts, NaN where not known.
    week : WeekCounts
        Known and worked days of the weeks to the fixed weekday.
    trained : bool array, shape (day, athlete)
        Days with training of any kind on record.
    anchors : int array, shape (week,)
        Day numbers on which the weeks are evaluated.
    peaks : bool array, shape (channel,)
        Channels whose days are not added up.
    last_day : int, optional
        Number of the last day that can be known; a week that it lies in is not over.
    whole : bool
        Say so where no day is missing, to save the look.
    earlier : Earlier, optional
        What lies before the first day; nothing if not given.
    """
    reasons = _reasons(daily, week, trained, anchors, whole, earlier)
    conditions, counts = (list(one) for one in zip(*reasons, strict=True))
    conditions.insert(0, np.broadcast_to(peaks, daily[anchors].shape))
    counts.insert(0, np.zeros(1))
    code = np.select(conditions, [_PEAK, _GAP, _HISTORY, _RECENT, _MONTH, _SELDOM], default=_OPEN).astype(np.int64)
    not_over = np.asarray(anchors > (anchors[-1] if last_day is None else last_day))[:, None, None]
    return Gates(
        code=np.where(not_over & (code == _RECENT), _NOT_OVER, code),
        count=np.select(conditions, counts, default=0).astype(np.int64),
    )


def ratios_stand(
    daily: NDArray[np.float64],
    week: WeekCounts,
    trained: NDArray[np.bool_],
    anchors: NDArray[np.int64],
    peaks: NDArray[np.bool_],
    *,
    whole: bool = False,
    earlier: Earlier | None = None,
) -> NDArray[np.bool_]:
    """Where `gates` are open, without the reasons; shape (week, athlete, channel) as far as it differs along them."""
    withheld = peaks[None, None, :]
    for condition, _ in _reasons(daily, week, trained, anchors, whole, earlier):
        withheld = withheld | condition
    return np.asarray(~withheld)


def _reasons(
    daily: NDArray[np.float64],
    week: WeekCounts,
    trained: NDArray[np.bool_],
    anchors: NDArray[np.int64],
    whole: bool,
    earlier: Earlier | None,
) -> list[tuple[NDArray[np.bool_], NDArray[Any]]]:
    """Where a gap, a short history, few days of the week, few of the month or seldom work withhold; with counts."""
    idle, history = histories(daily, trained, anchors, whole=whole, earlier=earlier)
    month, worked = rolling_sum(week.known, 4), rolling_sum(week.worked, 4)
    pause = idle[..., None]
    return [
        (np.asarray(pause >= GAP_DAYS), pause),
        (np.asarray(history < HISTORY_DAYS), history),
        (np.asarray(week.known < ENOUGH_KNOWN * 7), week.known),
        (np.asarray(month < ENOUGH_KNOWN * 28), month),
        (np.asarray(worked * 7 < LEAST_TRAINED_A_WEEK * month), worked),
    ]


def histories(
    daily: NDArray[np.float64],
    trained: NDArray[np.bool_],
    anchors: NDArray[np.int64],
    *,
    whole: bool = False,
    earlier: Earlier | None = None,
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Days since the last training, and known days since the last gap.

    Parameters
    ----------
    daily, trained, anchors, whole, earlier
        As for `gates`.

    Returns
    -------
    two int arrays, shapes (anchor, athlete) and (anchor, athlete, channel), of one channel where no day is missing
    """
    if whole:
        all_days = np.arange(1, len(daily) + 1, dtype=np.int32)[:, None, None]
        counted = np.broadcast_to(all_days, (*daily.shape[:2], 1))
    else:
        counted = np.cumsum(~np.isnan(daily), axis=0, dtype=np.int32)
    idle, restarted = _pauses(trained, None if earlier is None else earlier.idle)
    start = restarted[anchors]
    before = counted[np.maximum(start - 1, 0), np.arange(daily.shape[1])] * (start > 0)[..., None]
    history = counted[anchors] - before
    if earlier is not None:
        history = history + np.where((start < 0)[..., None], earlier.history, 0)
    return idle[anchors], np.asarray(history, dtype=np.int64)


def gate_words(gate: Gates, cells: tuple[NDArray[np.int64], ...]) -> pl.Series:
    """The reasons in words for the cells asked for, empty where ratios stand."""
    keys, which = np.unique(gate.code[cells] * _SPACE + gate.count[cells], return_inverse=True)
    words = [_words(int(key) // _SPACE, int(key) % _SPACE) for key in keys]
    return pl.Series("gate", words, dtype=pl.String).gather(which)


def _words(code: int, count: int) -> str | None:
    reasons = {
        _PEAK: "a largest value is not added up, so it has no ratio",
        _GAP: f"no training on record for {count} days",
        _HISTORY: f"{count} of the {HISTORY_DAYS} known days that a ratio needs",
        _RECENT: f"only {count} of the last 7 days are known",
        _NOT_OVER: f"the week is not over: {count} of its 7 days are known so far",
        _MONTH: f"only {count} of the last 28 days are known",
        _SELDOM: f"done on {count} of the last 28 days; a ratio needs at least two days a week",
    }
    return reasons.get(code)


def _pauses(
    trained: NDArray[np.bool_], idle_before: NDArray[np.int64] | None
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Days since the last training, and the day on which the stretch without a gap began, -1 if before day 0."""
    day = np.arange(len(trained), dtype=np.int64)[:, None]
    never = np.full((1, trained.shape[1]), -GAP_DAYS - 1) if idle_before is None else -1 - idle_before[None]
    last = np.maximum.accumulate(np.where(trained, day, never), axis=0)
    previous = np.vstack([never, last[:-1]])
    begins = trained & (day - previous > GAP_DAYS)
    return day - last, np.maximum.accumulate(np.where(begins, day, 0 if idle_before is None else -1), axis=0)
