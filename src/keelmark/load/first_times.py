"""What an athlete did for the first time in a long while: a movement, or so many reps in one set at such a load.

No history stands behind new work, whatever its amount; so it is said beside the figures.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

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
    started = own["date"].min()
    if not isinstance(started, date) or monday - started < timedelta(days=HISTORY_DAYS):
        return []
    earlier: dict[str, list[_Set]] = {}
    now: dict[str, list[_Set]] = {}
    for movement, *done in own.select("movement", "date", "reps", "load_kg").iter_rows():
        one = _Set(*done)
        (now if one.day >= monday else earlier).setdefault(movement, []).append(one)
    since = monday - timedelta(weeks=FIRST_WEEKS)
    lately = {movement: [one for one in sets if one.day >= since] for movement, sets in earlier.items()}
    new = [FirstTime(name, _weeks_since(earlier.get(name, []), monday)) for name in now if not lately.get(name)]
    longest = [_longest(name, now[name], lately[name], earlier[name]) for name in now if lately.get(name)]
    return new + [found for found in longest if found is not None]


class _Set(NamedTuple):
    day: date
    reps: float | None
    load_kg: float | None


def _weeks_since(earlier: list[_Set], monday: date) -> int | None:
    return (monday - max(one.day for one in earlier)).days // 7 + 1 if earlier else None


def _longest(movement: str, now: list[_Set], lately: list[_Set], earlier: list[_Set]) -> FirstTime | None:
    """The longest set of a movement in the week, if it lies in a range of reps that such a load has not seen lately."""
    heaviest = max((one.load_kg for one in (*now, *earlier) if one.load_kg is not None), default=0.0) or 1.0
    past = [(_load_class(one, heaviest), one.reps) for one in lately if one.reps is not None]
    this = [(one.reps, one) for one in now if one.reps is not None]
    for reps, one in sorted(this, key=_longest_first):
        most = max((before for held, before in past if held >= _load_class(one, heaviest)), default=0.0)
        if _range(reps) > max(_range(most), 1) and reps >= LONGER * most:
            return FirstTime(movement, None, int(reps), int(most) if most else None, one.load_kg)
    return None


def _longest_first(held: tuple[float, _Set]) -> tuple[float, bool, float]:
    """Longest sets first; of equally long ones that without a load on record, then the heaviest."""
    reps, one = held
    return -reps, one.load_kg is not None, -(one.load_kg or 0.0)


def _load_class(one: _Set, heaviest: float) -> int:
    share = (one.load_kg or 0.0) / heaviest
    return sum(share >= edge for edge in LOAD_CLASSES)


def _range(reps: float) -> int:
    return 0 if reps <= 0 else 1 + sum(reps > last for last in REP_RANGES)
