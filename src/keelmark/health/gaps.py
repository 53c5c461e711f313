"""Stretches of days without training on record that are long enough to ease in again afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import polars as pl

from keelmark.contracts.frames import DAILY_DOSE, DAY_STATE
from keelmark.load.gates import GAP_DAYS

__all__ = ["Gap", "gaps"]


@dataclass(frozen=True, slots=True)
class Gap:
    """Days in a row without training on record.

    `states` counts the days by what is known of them; `unlogged` days may have held training that nobody wrote down.
    `over` tells whether training stands on record after it.
    """

    athlete_id: str
    first: date
    last: date
    states: dict[str, int]
    over: bool

    @property
    def days(self) -> int:
        """How long it is, in days."""
        return (self.last - self.first).days + 1

    @property
    def unlogged(self) -> int:
        """Days of it of which nothing is known."""
        return self.states.get("unlogged", 0)


def gaps(daily: pl.DataFrame, day_states: pl.DataFrame, until: date, athlete_id: str) -> list[Gap]:
    """An athlete's gaps of `GAP_DAYS` days or more, oldest first, the one still open among them.

    Parameters
    ----------
    daily, day_states : DataFrame
        DAILY_DOSE and DAY_STATE tables.
    until : date
        The last day of the record.
    athlete_id : str
        Whose gaps.
    """
    own = DAILY_DOSE.check(daily, where="gaps").filter(pl.col("athlete_id") == athlete_id, pl.col("date") <= until)
    trained: list[date] = own["date"].unique().sort().to_list()
    told = DAY_STATE.check(day_states, where="gaps").filter(pl.col("athlete_id") == athlete_id)
    states: dict[date, str] = dict(told.select("date", pl.col("state").cast(pl.String)).iter_rows())
    after = [*trained[1:], until + timedelta(days=1)] if trained else []
    return [
        _gap(athlete_id, before + timedelta(days=1), again - timedelta(days=1), states, over=again <= until)
        for before, again in zip(trained, after, strict=True)
        if (again - before).days - 1 >= GAP_DAYS
    ]


def _gap(athlete_id: str, first: date, last: date, states: dict[date, str], *, over: bool) -> Gap:
    counted: dict[str, int] = {}
    for number in range((last - first).days + 1):
        state = states.get(first + timedelta(days=number), "unlogged")
        counted[state] = counted.get(state, 0) + 1
    return Gap(athlete_id, first, last, counted, over)
