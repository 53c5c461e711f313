"""A squad in which nothing changes, drawn from what that squad itself has logged.

Each drawn day copies a day of the same weekday from the record: who came, and how much of each kind of work each of
them did. All who have the copied day on record share it, since they share their coach's programme; the others draw a
day of their own. Days are drawn independently, so that no week differs from another but by chance.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.calendar import monday_of
from keelmark.load.cube import peak_channels
from keelmark.load.rows import codes, dose_rows

__all__ = ["LEAST_RECORD", "DrawnWeeks", "Pairs", "Record", "draw_weeks", "reference_weeks", "squad_record"]

Array = NDArray[np.float64]

LEAST_RECORD = 8
"""Weeks with training that an athlete must have on record to be drawn from."""


@dataclass(frozen=True, slots=True)
class Pairs:
    """Who did what: `athlete` and `channel`, shape (pair,), are places in the two lists of names."""

    athletes: tuple[str, ...]
    channels: tuple[str, ...]
    athlete: NDArray[np.int64]
    channel: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Record:
    """What a squad did, day by day from a Monday.

    Parameters
    ----------
    pairs : Pairs
        The pairs of athlete and channel that ever occurred with a known amount.
    amounts : array, shape (day, pair)
        Dose of each day, 0 on days without training; a dose that is not known is taken at the mean of the pair's days.
    usable : bool array, shape (day, athlete)
        Days that may be copied.
    """

    pairs: Pairs
    amounts: Array
    usable: NDArray[np.bool_]


@dataclass(frozen=True)
class DrawnWeeks:
    """Weeks of a drawn squad: amounts by day, shape (week, 7, pair), in the unit of each channel."""

    pairs: Pairs
    days: Array

    @cached_property
    def value(self) -> Array:
        """Amounts of the weeks, shape (week, pair)."""
        total = self.days.sum(axis=1)
        peaks = peak_channels(self.pairs.channels)[self.pairs.channel]
        total[:, peaks] = self.days[:, :, peaks].max(axis=1)
        return np.asarray(total)

    @cached_property
    def worked(self) -> NDArray[np.int64]:
        """Days of each week with any of the work, shape (week, pair)."""
        return np.asarray((self.days > 0).sum(axis=1))


def squad_record(daily: pl.DataFrame, left_out: pl.DataFrame, absent: pl.DataFrame) -> Record | None:
    """Lay a squad's days out to be drawn from.

    Only weeks with training count; days without a record in such a week are days off here. Athletes with fewer than
    `LEAST_RECORD` such weeks are left out.

    Parameters
    ----------
    daily : DataFrame
        `DAILY_DOSE` table.
    left_out : DataFrame
        Columns `athlete_id`, `week`: weeks that are not drawn from, since something was planned or stood out in them.
    absent : DataFrame
        Columns `athlete_id`, `date`: days of illness, travel and the like.

    Returns
    -------
    Record, or None when nobody has enough on record.
    """
    trained = daily.select("athlete_id", "date", week=pl.col("date").dt.strftime("%G-W%V"))
    kept = trained.join(left_out, on=["athlete_id", "week"], how="anti").unique(["athlete_id", "week"])
    names = tuple(kept.group_by("athlete_id").len().filter(pl.col("len") >= LEAST_RECORD)["athlete_id"].sort())
    own = daily.filter(pl.col("athlete_id").is_in(names))
    first, last = own["date"].min(), own["date"].max()
    if not isinstance(first, date) or not isinstance(last, date):
        return None
    monday = monday_of(first)
    rows = dose_rows(own, names, monday)
    amounts = np.zeros((((last - monday).days // 7 + 1) * 7, len(names), len(rows.channels)))
    amounts[rows.day, rows.athlete, rows.channel] = rows.value
    athlete, channel = np.nonzero((amounts > 0).any(axis=0))
    of_pairs = amounts[:, athlete, channel]
    mean = np.nansum(of_pairs, axis=0) / (of_pairs > 0).sum(axis=0)
    pairs = Pairs(names, rows.channels, athlete, channel)
    usable = _usable(kept.filter(pl.col("athlete_id").is_in(names)), absent, names, monday, len(amounts))
    return Record(pairs, np.where(np.isnan(of_pairs), mean, of_pairs), usable)


def _usable(
    weeks: pl.DataFrame, absent: pl.DataFrame, names: tuple[str, ...], monday: date, days: int
) -> NDArray[np.bool_]:
    usable = np.zeros((days, len(names)), dtype=bool)
    at = (weeks["date"] - monday).dt.total_days().to_numpy() // 7 * 7
    usable[at[:, None] + np.arange(7), codes(weeks["athlete_id"], names).to_numpy()[:, None]] = True
    last = monday + timedelta(days=days - 1)
    gone = absent.filter(pl.col("athlete_id").is_in(names), pl.col("date").is_between(monday, last))
    usable[(gone["date"] - monday).dt.total_days().to_numpy(), codes(gone["athlete_id"], names).to_numpy()] = False
    return usable


def draw_weeks(record: Record, weeks: int, random: np.random.Generator) -> DrawnWeeks:
    """Weeks of a squad in which nothing changes.

    Parameters
    ----------
    record : Record
        What to draw from.
    weeks : int
        How many weeks to draw.
    random : Generator
        The source of chance; the same state gives the same weeks.
    """
    source = np.stack([_sources(record, weekday, weeks, random) for weekday in range(7)], axis=1)
    pairs = np.arange(record.amounts.shape[1])
    return DrawnWeeks(record.pairs, record.amounts[source[:, :, record.pairs.athlete], pairs])


def _sources(record: Record, weekday: int, weeks: int, random: np.random.Generator) -> NDArray[np.int64]:
    """Day that each athlete copies on a weekday of each drawn week, shape (week, athlete)."""
    days = np.arange(weekday, len(record.usable), 7)
    usable = record.usable[days]
    shared = days[usable.sum(axis=1) * 2 >= usable.any(axis=0).sum()]
    common = random.choice(shared if len(shared) else days, weeks)
    source = np.repeat(common[:, None], usable.shape[1], axis=1)
    for place, may in enumerate(usable.T):
        own = days[may] if may.any() else days
        source[:, place] = np.where(record.usable[common, place], common, random.choice(own, weeks))
    return source


def reference_weeks(weeks: int, random: np.random.Generator, people: int = 24, scatter: float = 0.35) -> DrawnWeeks:
    """Weeks of a made-up squad that does four kinds of work, on one, two, three and five fixed days a week.

    Every session is kept; its amount scatters alone, by `scatter` on the log scale.

    Parameters
    ----------
    weeks : int
        How many weeks to draw.
    random : Generator
        The source of chance.
    people : int
        Athletes.
    scatter : float
        Standard deviation of the logarithm of a session's amount.
    """
    kinds = {"jump_contacts": (1,), "vertical_pull": (0, 3), "hip_hinge_reps": (0, 2, 4), "tonnage": (0, 1, 2, 4, 5)}
    athlete, channel = (places.ravel() for places in np.indices((people, len(kinds))))
    done = np.array([np.isin(np.arange(7), days) for days in kinds.values()]).T[:, channel]
    amounts = 100.0 * random.lognormal(0.0, scatter, (weeks, 7, len(channel)))
    names = tuple(f"athlete {number + 1}" for number in range(people))
    return DrawnWeeks(Pairs(names, tuple(kinds), athlete, channel), np.where(done, amounts, 0.0))
