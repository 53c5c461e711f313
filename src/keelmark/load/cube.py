"""Daily doses as one dense array (day, athlete, channel), and their weekly sums with bounds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.channels import CHANNEL_BY_KEY, CHANNELS
from keelmark.load.day_states import DayTable, athlete_codes

__all__ = ["DoseCube", "WeekSums", "channels_of", "dose_cube", "week_sums"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WeekSums:
    """Weeks of the known part of the dose: arrays of shape (week, athlete, channel)."""

    value: Array
    low: Array
    high: Array
    trained_days: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class DoseCube:
    """Daily doses of a block of athletes.

    `daily` has shape (day, athlete, channel): 0 on rest days and on days with efforts that did not feed the channel,
    NaN where the day or a part of its dose is not known.
    """

    channels: tuple[str, ...]
    daily: Array
    weekly: WeekSums
    pairs: NDArray[np.bool_]


def channels_of(daily: pl.DataFrame) -> tuple[str, ...]:
    """Channels that occur in a `DAILY_DOSE` table, in the order of the contract."""
    present = set(daily["channel"].unique())
    return tuple(channel.key for channel in CHANNELS if channel.key in present)


def dose_cube(daily: pl.DataFrame, days: DayTable, channels: tuple[str, ...]) -> DoseCube:
    """Lay the doses of the athletes of a day table into a cube.

    Parameters
    ----------
    daily : DataFrame
        `DAILY_DOSE` rows of these athletes, none later than the table.
    days : DayTable
        The athletes and their days.
    channels : tuple of str
        Keys of the channels to lay out.
    """
    shape = (len(days.rest), len(days.athletes), len(channels))
    day = (daily["date"] - days.first).dt.total_days().to_numpy()
    athlete = athlete_codes(daily["athlete_id"], days.athletes)
    channel = daily["channel"].cast(pl.Enum(channels)).to_physical().cast(pl.Int64).to_numpy()
    cube = np.full(shape, np.nan)
    cube[days.rest | days.efforts] = 0.0
    value, low, high = (daily[name].cast(pl.Float64).to_numpy() for name in ("value", "low", "high"))
    cube[day, athlete, channel] = np.where(np.isnan(high), np.nan, value)
    pairs = np.zeros(shape[1:], dtype=bool)
    pairs[athlete, channel] = True
    any_work = (value > 0) | np.isnan(high)
    weekly = week_sums((day // 7, athlete, channel), value, low, high, any_work, cube, channels)
    return DoseCube(channels=channels, daily=cube, weekly=weekly, pairs=pairs)


def week_sums(
    cells: tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]],
    value: Array,
    low: Array,
    high: Array,
    any_work: NDArray[np.bool_],
    cube: Array,
    channels: tuple[str, ...],
) -> WeekSums:
    """Gather days into weeks: amounts add up, peaks take the largest.

    The known part of a partly known week is a lower bound; the upper bound is open (NaN) unless all seven days are
    known.
    """
    shape = (len(cube) // 7, *cube.shape[1:])
    days = cube.reshape(shape[0], 7, *shape[1:])
    complete = ~np.isnan(days).any(axis=1)
    peaks = np.array([CHANNEL_BY_KEY[key].gather == "max" for key in channels])
    known = np.where(np.isnan(value), 0.0, value)
    total = _gather(cells, known, peaks, shape)
    anything = (~np.isnan(days)).any(axis=1) | (total > 0)
    upper = _gather(cells, np.where(np.isnan(high), 0.0, high), peaks, shape)
    trained = _gather(cells, any_work.astype(np.float64), np.zeros_like(peaks), shape).astype(np.int64)
    return WeekSums(
        value=np.where(anything, total, np.nan),
        low=np.where(anything, _gather(cells, low, peaks, shape), np.nan),
        high=np.where(complete, upper, np.nan),
        trained_days=trained,
    )


def _gather(
    cells: tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]],
    amounts: Array,
    peaks: NDArray[np.bool_],
    shape: tuple[int, ...],
) -> Array:
    flat = np.ravel_multi_index(cells, shape)
    sums: Array = np.bincount(flat, weights=amounts, minlength=int(np.prod(shape))).astype(np.float64)
    gathered = sums.reshape(shape)
    if peaks.any():
        of_peaks = peaks[cells[2]]
        largest = np.zeros(int(np.prod(shape)))
        np.maximum.at(largest, flat[of_peaks], amounts[of_peaks])
        gathered[..., peaks] = largest.reshape(shape)[..., peaks]
    return gathered
