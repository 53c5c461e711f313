"""When a ratio is not given, and the reason that stands in its place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.windows import ENOUGH_KNOWN, known_days, rolling_sum

__all__ = ["GAP_DAYS", "HISTORY_DAYS", "LEAST_TRAINED_A_WEEK", "Gates", "gate_words", "gates"]

HISTORY_DAYS = 28
"""Known days that must lie behind a ratio, counted anew after a gap."""
GAP_DAYS = 14
"""Days in a row without training on record that make a gap."""
LEAST_TRAINED_A_WEEK = 2
"""A channel done less often than this jumps about too much for a ratio of weeks."""

_OPEN, _PEAK, _GAP, _HISTORY, _RECENT, _MONTH, _SELDOM = range(7)


@dataclass(frozen=True, slots=True)
class Gates:
    """Why ratios are withheld, and the count that goes into the words; arrays of shape (week, athlete, channel)."""

    code: NDArray[np.int8]
    count: NDArray[np.int64]

    @property
    def open(self) -> NDArray[np.bool_]:
        """Where ratios stand."""
        return np.asarray(self.code == _OPEN)


def gates(
    daily: NDArray[np.float64], trained: NDArray[np.bool_], anchors: NDArray[np.int64], peaks: NDArray[np.bool_]
) -> Gates:
    """Decide for each week's fixed weekday whether ratios may be given.

    Parameters
    ----------
    daily : array, shape (day, athlete, channel)
        Amounts, NaN where not known.
    trained : bool array, shape (day, athlete)
        Days with training of any kind on record.
    anchors : int array, shape (week,)
        Day numbers on which the weeks are evaluated.
    peaks : bool array, shape (channel,)
        Channels whose days are not added up.
    """
    idle, restarted = _pauses(trained)
    known = ~np.isnan(daily)
    counted = np.cumsum(known, axis=0, dtype=np.int64)
    before = np.where(restarted[anchors] > 0, restarted[anchors] - 1, 0)
    earlier = counted[before, np.arange(daily.shape[1])] * (restarted[anchors] > 0)[..., None]
    history = counted[anchors] - earlier
    recent, month = known_days(daily, 7)[anchors], known_days(daily, 28)[anchors]
    worked = rolling_sum((np.nan_to_num(daily, nan=0.0) > 0).astype(np.float64), 28)[anchors]
    pause = np.broadcast_to(idle[anchors][..., None], history.shape)
    conditions = [
        np.broadcast_to(peaks, history.shape),
        pause >= GAP_DAYS,
        history < HISTORY_DAYS,
        recent < ENOUGH_KNOWN * 7,
        month < ENOUGH_KNOWN * 28,
        worked * 7 < LEAST_TRAINED_A_WEEK * month,
    ]
    codes = [_PEAK, _GAP, _HISTORY, _RECENT, _MONTH, _SELDOM]
    counts = [np.zeros_like(history), pause, history, recent, month, worked]
    return Gates(
        code=np.select(conditions, codes, default=_OPEN).astype(np.int8),
        count=np.select(conditions, counts, default=0).astype(np.int64),
    )


def gate_words(code: pl.Expr, count: pl.Expr) -> pl.Expr:
    """The reason in words, empty where ratios stand."""
    number = count.cast(pl.String)
    return (
        pl.when(code == _PEAK)
        .then(pl.lit("a largest value is not added up, so it has no ratio"))
        .when(code == _GAP)
        .then(pl.format("no training on record for {} days", number))
        .when(code == _HISTORY)
        .then(pl.format("{} of the 28 known days that a ratio needs", number))
        .when(code == _RECENT)
        .then(pl.format("only {} of the last 7 days are known", number))
        .when(code == _MONTH)
        .then(pl.format("only {} of the last 28 days are known", number))
        .when(code == _SELDOM)
        .then(pl.format("done on {} of the last 28 days; a ratio needs at least two days a week", number))
    )


def _pauses(trained: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Days since the last training, and the day on which the present stretch without a gap began."""
    day = np.arange(len(trained), dtype=np.int64)[:, None]
    last = np.maximum.accumulate(np.where(trained, day, -GAP_DAYS - 1), axis=0)
    previous = np.vstack([np.full((1, trained.shape[1]), -GAP_DAYS - 1), last[:-1]])
    begins = trained & (day - previous > GAP_DAYS)
    return day - last, np.maximum.accumulate(np.where(begins, day, 0), axis=0)
