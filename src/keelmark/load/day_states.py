"""What is known of each athlete's days: trained, rest, or not known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.calendar import monday_of
from keelmark.load.settings import LoadSettings

__all__ = ["DayTable", "day_table"]


@dataclass(frozen=True, slots=True)
class DayTable:
    """Days of all athletes, time-major.

    Parameters
    ----------
    athletes : tuple of str
        Athletes with a record, sorted.
    first : date
        The Monday that day 0 is.
    efforts, sessions, rest, assumed : bool arrays, shape (day, athlete)
        Days with efforts; days with any record of training; rest days, stated or assumed; rest days that are assumed.
    first_week, last_week : int arrays, shape (athlete,)
        The weeks from an athlete's first record to the end of the record.
    """

    athletes: tuple[str, ...]
    first: date
    efforts: NDArray[np.bool_]
    sessions: NDArray[np.bool_]
    rest: NDArray[np.bool_]
    assumed: NDArray[np.bool_]
    first_week: NDArray[np.int64]
    last_week: NDArray[np.int64]

    @property
    def weeks(self) -> int:
        """How many weeks the table covers."""
        return len(self.rest) // 7


def day_table(
    daily: pl.DataFrame, athletes: pl.DataFrame, day_states: pl.DataFrame, settings: LoadSettings
) -> DayTable | None:
    """Lay the days of all athletes with a record on one calendar of whole ISO weeks; None when there is no record.

    Parameters
    ----------
    daily, athletes, day_states : DataFrame
        `DAILY_DOSE`, `ATHLETE` and `DAY_STATE` tables.
    settings : LoadSettings
        Says what quiet days mean and where the record ends.
    """
    dates = pl.concat([daily.select("athlete_id", "date"), day_states.select("athlete_id", "date")])
    if settings.until is not None:
        dates = dates.filter(pl.col("date") <= settings.until)
    if dates.is_empty():
        return None
    names = tuple(dates["athlete_id"].unique().sort())
    earliest, latest = dates["date"].min(), settings.until or dates["date"].max()
    assert isinstance(earliest, date)
    assert isinstance(latest, date)
    first = monday_of(earliest)
    shape = (((latest - first).days // 7 + 1) * 7, len(names))

    def cells(frame: pl.DataFrame) -> NDArray[np.bool_]:
        marked = np.zeros(shape, dtype=bool)
        inside = frame.filter(pl.col("date") <= latest)
        day = (inside["date"] - first).dt.total_days().to_numpy()
        marked[day, athlete_codes(inside["athlete_id"], names)] = True
        return marked

    efforts = cells(daily.filter(pl.col("channel") == "tonnage"))
    sessions = cells(daily)
    stated = cells(day_states.filter(pl.col("state").cast(pl.String) != "unlogged"))
    said_rest = cells(day_states.filter(pl.col("state").cast(pl.String) == "rest"))
    assumed = np.zeros(shape, dtype=bool)
    if settings.quiet_days == "rest":
        assumed = _quiet_days(sessions, stated, (latest - first).days)
    week = np.asarray((sessions | stated).reshape(-1, 7, len(names)).any(axis=1))
    return DayTable(
        athletes=names,
        first=first,
        efforts=efforts,
        sessions=sessions,
        rest=(said_rest & ~sessions) | assumed,
        assumed=assumed,
        first_week=week.argmax(axis=0),
        last_week=_last_weeks(names, athletes, first, len(week) - 1),
    )


def athlete_codes(names: pl.Series, athletes: tuple[str, ...]) -> NDArray[np.int64]:
    """Place of each name among the athletes."""
    return names.cast(pl.Enum(athletes)).to_physical().cast(pl.Int64).to_numpy()


def _quiet_days(sessions: NDArray[np.bool_], stated: NDArray[np.bool_], last_day: int) -> NDArray[np.bool_]:
    """Days without a record that lie in a week with one, not before the first record and not after the last day."""
    in_logged_week = np.repeat(sessions.reshape(-1, 7, sessions.shape[1]).any(axis=1), 7, axis=0)
    started = np.maximum.accumulate(sessions, axis=0)
    quiet = in_logged_week & started & ~sessions & ~stated
    quiet[last_day + 1 :] = False
    return quiet


def _last_weeks(names: tuple[str, ...], athletes: pl.DataFrame, first: date, last: int) -> NDArray[np.int64]:
    """The week of the day on which an athlete left, else the last week of the record."""
    left = dict(athletes.select("athlete_id", "left").iter_rows())
    weeks = [(left[name] - first).days // 7 if left.get(name) else last for name in names]
    return np.clip(np.array(weeks, dtype=np.int64), 0, last)


def day_of(first: date, day: int) -> date:
    """The calendar day with a given number."""
    return first + timedelta(days=day)
