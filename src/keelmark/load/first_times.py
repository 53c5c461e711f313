"""What an athlete did for the first time in a long while: a movement, or so many reps in one set at such a load.

No history stands behind new work, whatever its amount; so it is said beside the figures.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import polars as pl

from keelmark.load.gates import HISTORY_DAYS

__all__ = ["FIRST_WEEKS", "REP_RANGES", "FirstTime", "first_times"]

FIRST_WEEKS = 26
"""Weeks without it after which something counts as new again (judgement)."""
REP_RANGES = (5, 12, 20, 50)
"""Last rep of each range of reps in one set; beyond the last there is one more range (judgement)."""
LONGER = 1.5
"""A set that is new for its reps has at least this many times as many as before (judgement)."""
LOAD_CLASSES = (0.5, 0.75)
"""Shares of the athlete's heaviest load so far at which a heavier class of loads begins (judgement)."""


@dataclass(frozen=True, slots=True)
class FirstTime:
    """Something new in a week.

    Parameters
    ----------
    movement : str
        Canonical name.
    weeks : int or None
        Weeks since the last time; None where there is none on record.
    reps : int or None
        Reps of the longest set, where the movement is not new but so many reps in one set are.
    before : int or None
        Most reps in one set at such a load or a heavier one in the weeks before.
    load_kg : float or None
        Load of that set, if any was carried.
    """

    movement: str
    weeks: int | None
    reps: int | None = None
    before: int | None = None
    load_kg: float | None = None


def first_times(efforts: pl.DataFrame, athlete_id: str, monday: date) -> list[FirstTime]:
    """What was new for an athlete in a week, new movements first.

    Nothing counts as new before the athlete's record is 28 days old.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table.
    athlete_id : str
        Who.
    monday : date
        First day of the week.
    """
    own = efforts.filter(pl.col("athlete_id") == athlete_id, pl.col("date") < monday + timedelta(days=7))
    own = own.select("movement", "date", "reps", "load_kg")
    started = own["date"].min()
    if not isinstance(started, date) or monday - started < timedelta(days=HISTORY_DAYS):
        return []
    earlier, now = own.filter(pl.col("date") < monday), own.filter(pl.col("date") >= monday)
    lately = earlier.filter(pl.col("date") >= monday - timedelta(weeks=FIRST_WEEKS))
    done = now["movement"].unique(maintain_order=True).to_list()
    known = set(lately["movement"])
    new = [FirstTime(name, _weeks_since(earlier, name, monday)) for name in done if name not in known]
    sets = [_longest(own, now, lately, name) for name in done if name in known]
    return new + [found for found in sets if found is not None]


def _weeks_since(earlier: pl.DataFrame, movement: str, monday: date) -> int | None:
    last = earlier.filter(pl.col("movement") == movement)["date"].max()
    return (monday - last).days // 7 + 1 if isinstance(last, date) else None


def _longest(own: pl.DataFrame, now: pl.DataFrame, lately: pl.DataFrame, movement: str) -> FirstTime | None:
    """The longest set of a movement in the week, if it lies in a range of reps that such a load has not seen lately."""
    heaviest = own.filter(pl.col("movement") == movement)["load_kg"].max()
    this, past = (_classed(rows, movement, heaviest) for rows in (now, lately))
    for row in this.sort("reps", "load_kg", descending=True).iter_rows(named=True):
        before = past.filter(pl.col("load_class") >= row["load_class"])["reps"].max()
        most = before if isinstance(before, float) else 0.0
        if _range(row["reps"]) > max(_range(most), 1) and row["reps"] >= LONGER * most:
            return FirstTime(movement, None, int(row["reps"]), int(most) if most else None, row["load_kg"])
    return None


def _classed(rows: pl.DataFrame, movement: str, heaviest: object) -> pl.DataFrame:
    most = heaviest if isinstance(heaviest, float) and heaviest > 0 else 1.0
    share = pl.col("load_kg").fill_null(0.0) / most
    classes = pl.sum_horizontal((share >= edge).cast(pl.Int64) for edge in LOAD_CLASSES)
    some = rows.filter(pl.col("movement") == movement, pl.col("reps").is_not_null())
    return some.with_columns(load_class=classes)


def _range(reps: float) -> int:
    return 0 if reps <= 0 else 1 + sum(reps > last for last in REP_RANGES)
