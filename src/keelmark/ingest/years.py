"""A missing year, found from the rows around it."""

from __future__ import annotations

import bisect
import datetime as dt

from keelmark.ingest.cells import as_text
from keelmark.ingest.columns import Column
from keelmark.ingest.values.dates import DateRule, with_year

__all__ = ["fill_down", "fill_years"]

WITHIN_DAYS = 60


def fill_years(column: Column, rule: DateRule) -> None:
    """Give dates without a year the day that repair would use: the year must follow from both neighbours.

    The nearest dated rows above and below each point to the year that brings the day closest; where they disagree, or
    the day would lie more than 60 days from them, nothing is filled in.
    """
    dated = [position for position, day in enumerate(column.values) if day is not None]
    for position, codes in column.faults.items():
        if codes != ("date_without_year",) or not dated:
            continue
        place = bisect.bisect(dated, position)
        neighbours = [column.values[at] for at in (*dated[max(place - 1, 0) : place], *dated[place : place + 1])]
        text = as_text(column.cells[position])
        days = {_closest(text, neighbour, rule) for neighbour in neighbours}
        if len(days) == 1:
            column.values[position] = days.pop()


def _closest(text: str, neighbour: dt.date, rule: DateRule) -> dt.date | None:
    years = range(neighbour.year - 1, neighbour.year + 2)
    days = [day for year in years if (day := with_year(text, year, rule)) is not None]
    best = min(days, key=lambda day: abs(day - neighbour), default=None)
    return best if best is not None and abs(best - neighbour).days <= WITHIN_DAYS else None


def fill_down(column: Column) -> None:
    """Repeat the date above in empty cells."""
    last = None
    for position, day in enumerate(column.values):
        if day is None and position not in column.faults:
            column.values[position] = last
        elif position not in column.faults:
            last = day
