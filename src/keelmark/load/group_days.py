"""What each training group did on each day: how many came, and how much of each kind of work they did."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.day_states import DayTable
from keelmark.load.rows import DoseRows

__all__ = ["GroupDays", "group_days"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class GroupDays:
    """Days of all groups.

    Parameters
    ----------
    group : int array, shape (athlete,)
        Number of each athlete's group; those without a group form one.
    people : array, shape (group, day)
        Athletes with a session on record.
    total, told : arrays, shape (group, day, channel)
        Sum of the fully known amounts, and how many athletes it is the sum of.
    """

    group: NDArray[np.int64]
    people: Array
    total: Array
    told: Array

    def of_athletes(self, first: int, last: int) -> GroupDays:
        """The same days for athletes from `first` up to but not including `last`."""
        return GroupDays(self.group[first:last], self.people, self.total, self.told)

    def others(self, athlete: int, own: Array, came: NDArray[np.bool_]) -> tuple[Array, Array]:
        """How many others of an athlete's group came, shape (day,), and their mean amount, shape (day, channel).

        The mean is NaN where nobody else has a known amount.
        """
        group = self.group[athlete]
        counted = came[:, None] & ~np.isnan(own)
        told = self.told[group] - counted
        mean = np.full(own.shape, np.nan)
        np.divide(self.total[group] - np.where(counted, own, 0.0), told, out=mean, where=told > 0.5)
        return self.people[group] - came, np.maximum(mean, 0.0)


def group_days(rows: DoseRows, days: DayTable, people: pl.DataFrame) -> GroupDays:
    """Add up the days of each training group.

    Parameters
    ----------
    rows : DoseRows
        Daily doses of all athletes.
    days : DayTable
        Days of all athletes.
    people : DataFrame
        `ATHLETE` table, for the groups.
    """
    named = dict(people.select("athlete_id", "group").iter_rows())
    names = sorted({named.get(name) or "" for name in days.athletes})
    group = np.array([names.index(named.get(name) or "") for name in days.athletes], dtype=np.int64)
    shape = (len(names), len(days.rest), len(rows.channels))

    def count(flags: NDArray[np.bool_]) -> Array:
        day, athlete = np.nonzero(flags)
        counted = np.bincount(group[athlete] * shape[1] + day, minlength=shape[0] * shape[1])
        return counted.reshape(shape[:2]).astype(np.float64)

    cells = np.ravel_multi_index((group[rows.athlete], rows.day, rows.channel), shape)

    def add(weights: Array) -> Array:
        summed = np.bincount(cells, weights=weights, minlength=int(np.prod(shape))).reshape(shape)
        return np.asarray(summed, dtype=np.float64)

    partly = days.partly[rows.day, rows.athlete]
    known = ~(np.isnan(rows.value) | rows.partly | partly)
    whole = days.efforts & ~days.partly
    listed = (days.efforts[rows.day, rows.athlete] & ~partly).astype(np.float64)
    return GroupDays(
        group=group,
        people=count(days.sessions),
        total=add(np.where(known, rows.value, 0.0)),
        told=add(known.astype(np.float64) - listed) + count(whole)[..., None],
    )
