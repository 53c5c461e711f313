"""The weeks before a planned one, as far as plans are held against them: worked out once, whatever is planned."""

from __future__ import annotations

import datetime as dt
from functools import cached_property

import polars as pl

from keelmark.plan import history_before, marked_weeks
from keelmark.service.season import Season

__all__ = ["WeeksBefore"]


class WeeksBefore:
    """What the squad did before a Monday.

    Parameters
    ----------
    season : Season
        All figures as of the last write.
    monday : date
        First day of the planned week.
    """

    def __init__(self, season: Season, monday: dt.date) -> None:
        self._season = season
        self._monday = monday
        self._amounts: dict[int | None, dict[str, dict[str, float]]] = {}

    @cached_property
    def marked(self) -> pl.DataFrame:
        """Figures with a mark, and whether they lay above it: columns of `marked_weeks`."""
        return marked_weeks(self._season.weekly, self._season.marks, self._monday)

    def amounts(self, weeks: int | None) -> dict[str, dict[str, float]]:
        """Known amounts by athlete and opposing channel over so many weeks, over all when there is no number."""
        if weeks not in self._amounts:
            self._amounts[weeks] = history_before(self._season.weekly, self._monday, weeks)
        return self._amounts[weeks]
