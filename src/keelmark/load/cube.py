"""Daily doses as one dense array (day, athlete, channel), and their weekly sums with bounds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.load.day_states import DayTable
from keelmark.load.rows import DoseRows

__all__ = ["DoseCube", "WeekSums", "dose_cube", "peak_channels"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WeekSums:
    """ISO weeks of the known part of the dose: arrays of shape (week, athlete, channel).

    A week of which no day with this work is known has no value, however many rest days of it are known. `high` bounds
    what is on record, NaN where that is open; `whole` says where the whole week is on record.
    """

    value: Array
    low: Array
    high: Array
    whole: NDArray[np.bool_]
    trained_days: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class DoseCube:
    """Daily doses of a block of athletes.

    `daily` has shape (day, athlete, channel): 0 on rest days and on days with efforts that did not feed the channel,
    NaN where the day or a part of its dose is not known. `part`, same shape, holds the known part of such days.
    `untold`, same shape, marks days with work of which no amount is known. `pairs`, shape (athlete, channel), says who
    ever did what.
    """

    daily: Array
    part: Array
    untold: NDArray[np.bool_]
    weekly: WeekSums
    pairs: NDArray[np.bool_]


def peak_channels(channels: tuple[str, ...]) -> NDArray[np.bool_]:
    """Which channels take the largest day of a week instead of the sum."""
    return np.array([CHANNEL_BY_KEY[key].gather == "max" for key in channels], dtype=bool)


def dose_cube(rows: DoseRows, days: DayTable) -> DoseCube:
    """Lay the doses of the athletes of a day table into a cube."""
    shape = (len(days.rest), len(days.athletes), len(rows.channels))
    cube = np.full(shape, np.nan)
    cube[days.rest | days.efforts] = 0.0
    cube[rows.day, rows.athlete, rows.channel] = np.where(rows.partly, np.nan, rows.value)
    cube[days.partly] = np.nan
    pairs = np.zeros(shape[1:], dtype=bool)
    pairs[rows.athlete, rows.channel] = True
    untold = np.zeros(shape, dtype=bool)
    untold[rows.day, rows.athlete, rows.channel] = np.isnan(rows.value)
    return DoseCube(
        daily=cube, part=_parts(rows, days, shape), untold=untold, weekly=_week_sums(rows, cube), pairs=pairs
    )


def _parts(rows: DoseRows, days: DayTable, shape: tuple[int, int, int]) -> Array:
    partly = (rows.partly | days.partly[rows.day, rows.athlete]) & ~np.isnan(rows.value)
    if not partly.any():
        return np.broadcast_to(np.zeros(1), shape)
    part = np.zeros(shape)
    part[rows.day[partly], rows.athlete[partly], rows.channel[partly]] = rows.value[partly]
    return part


def _week_sums(rows: DoseRows, cube: Array) -> WeekSums:
    """Gather days into weeks: amounts add up, peaks take the largest.

    Rest days alone do not make an amount of a week that was trained.
    """
    shape = (len(cube) // 7, *cube.shape[1:])
    known_days = ~np.isnan(cube).reshape(shape[0], 7, *shape[1:])
    cells = np.ravel_multi_index((rows.day // 7, rows.athlete, rows.channel), shape)
    peaks = peak_channels(rows.channels)

    def gather(amounts: Array) -> Array:
        summed: Array = np.bincount(cells, weights=amounts, minlength=int(np.prod(shape))).reshape(shape)
        if peaks.any():
            of_peaks, largest = peaks[rows.channel], np.zeros(int(np.prod(shape)))
            np.maximum.at(largest, cells[of_peaks], amounts[of_peaks])
            summed[..., peaks] = largest.reshape(shape)[..., peaks]
        return summed

    total = gather(np.where(np.isnan(rows.value), 0.0, rows.value))
    told, untold = (np.bincount(cells[which], minlength=total.size).reshape(shape) > 0 for which in _told(rows))
    anything = told | (known_days.any(axis=1) & ~untold)
    bounded = np.where(np.isnan(rows.high), np.inf, rows.high)
    most = gather(np.where(rows.partly, np.nan_to_num(rows.value), bounded))
    worked = cells[(rows.value > 0) | rows.partly]
    return WeekSums(
        value=np.where(anything, total, np.nan),
        low=np.where(anything, gather(rows.low), np.nan),
        high=np.where(anything & np.isfinite(most), most, np.nan),
        whole=np.asarray(known_days.all(axis=1)),
        trained_days=np.bincount(worked, minlength=int(np.prod(shape))).reshape(shape),
    )


def _told(rows: DoseRows) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Rows with an amount, and rows of work of which no amount is known."""
    untold = np.isnan(rows.value)
    return ~untold, untold
