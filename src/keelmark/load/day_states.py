"""What is known of each athlete's days: trained, rest, or not known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.rows import DoseRows, codes
from keelmark.load.settings import LoadSettings

__all__ = ["DayTable", "day_table"]

Days = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class DayTable:
    """Days of all athletes, time-major.

    Parameters
    ----------
    athletes : tuple of str
        Athletes with a record, sorted.
    first : date
        The Monday that day 0 is.
    efforts, sessions, rest, assumed, partly : bool arrays, shape (day, athlete)
        Days with efforts; days with any record of training; rest days, stated or assumed; rest days that are assumed;
        days on which more was done than is on record.
    first_week, last_week : int arrays, shape (athlete,)
        The weeks from an athlete's first record to the end of the record.
    """

    athletes: tuple[str, ...]
    first: date
    efforts: Days
    sessions: Days
    rest: Days
    assumed: Days
    partly: Days
    first_week: NDArray[np.int64]
    last_week: NDArray[np.int64]

    @property
    def weeks(self) -> int:
        """How many weeks the table covers."""
        return len(self.rest) // 7

    def monday(self, week: int) -> date:
        """First day of a week with a given number."""
        return self.first + timedelta(days=7 * week)

    def of_athletes(self, first: int, last: int) -> DayTable:
        """The days of athletes from `first` up to but not including `last`."""
        some = slice(first, last)
        return DayTable(
            self.athletes[some],
            self.first,
            self.efforts[:, some],
            self.sessions[:, some],
            self.rest[:, some],
            self.assumed[:, some],
            self.partly[:, some],
            self.first_week[some],
            self.last_week[some],
        )


def day_table(
    rows: DoseRows,
    athletes: tuple[str, ...],
    first: date,
    latest: date,
    people: pl.DataFrame,
    day_states: pl.DataFrame,
    settings: LoadSettings,
    *,
    begun: Days | None = None,
) -> DayTable:
    """Lay the days of all athletes with a record on one calendar of whole ISO weeks.

    Parameters
    ----------
    rows : DoseRows
        Daily doses.
    athletes : tuple of str
        Athletes in the order of their numbers.
    first, latest : date
        The Monday of day 0, and the last day of the record.
    people, day_states : DataFrame
        `ATHLETE` table; `DAY_STATE` table of these athletes and days.
    settings : LoadSettings
        Says what quiet days mean.
    begun : bool array, shape (athlete,), optional
        Who has a record of training before the first day, where the calendar does not begin with the record.
    """
    last_day = (latest - first).days
    shape = ((last_day // 7 + 1) * 7, len(athletes))
    sessions = _marked(shape, rows.day, rows.athlete)
    of_efforts = rows.channel == rows.channels.index("tonnage") if "tonnage" in rows.channels else slice(0)
    efforts = _marked(shape, rows.day[of_efforts], rows.athlete[of_efforts])
    state = day_states["state"].cast(pl.String)
    day = (day_states["date"] - first).dt.total_days().to_numpy()
    athlete = codes(day_states["athlete_id"], athletes).to_numpy()
    which = (state != "unlogged", state == "rest", state == "partly")
    stated, said_rest, partly = (_marked(shape, day[some], athlete[some]) for some in (one.to_numpy() for one in which))
    assumed = np.zeros(shape, dtype=bool)
    if settings.quiet_days == "rest":
        assumed = _quiet_days(sessions, stated, last_day, begun)
    in_week = np.asarray((sessions | stated).reshape(-1, 7, len(athletes)).any(axis=1))
    return DayTable(
        athletes=athletes,
        first=first,
        efforts=efforts,
        sessions=sessions,
        rest=(said_rest & ~sessions) | assumed,
        assumed=assumed,
        partly=partly,
        first_week=np.where(False if begun is None else begun, 0, in_week.argmax(axis=0)),
        last_week=_last_weeks(athletes, people, first, in_week),
    )


def _marked(shape: tuple[int, int], day: NDArray[np.int64], athlete: NDArray[np.int64]) -> Days:
    marked = np.zeros(shape, dtype=bool)
    marked[day, athlete] = True
    return marked


def _quiet_days(sessions: Days, stated: Days, last_day: int, begun: Days | None) -> Days:
    """Days without a record that lie in a week with one, not before the first record and not after the last day."""
    in_logged_week = np.repeat(sessions.reshape(-1, 7, sessions.shape[1]).any(axis=1), 7, axis=0)
    started = np.maximum.accumulate(sessions, axis=0) | (False if begun is None else begun)
    quiet = in_logged_week & started & ~sessions & ~stated
    quiet[last_day + 1 :] = False
    return quiet


def _last_weeks(athletes: tuple[str, ...], people: pl.DataFrame, first: date, in_week: Days) -> NDArray[np.int64]:
    """The week of the day on which an athlete left, or of a later record; else the last week of all records."""
    last, recorded = len(in_week) - 1, len(in_week) - 1 - in_week[::-1].argmax(axis=0)
    left = dict(people.select("athlete_id", "left").iter_rows())
    weeks = [(left[name] - first).days // 7 if left.get(name) else last for name in athletes]
    return np.clip(np.array(weeks, dtype=np.int64), recorded, last)
