"""Days that are possible but look wrong beside the rest of the file or of the roster."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from itertools import pairwise

from keelmark.ingest.body import Body
from keelmark.ingest.columns import Column
from keelmark.ingest.people import People
from keelmark.ingest.warnings import FileWarning

__all__ = ["about_days"]

GAP_DAYS = 120
FEW_ROWS = 3
FEW_SHARE = 0.01
SHOWN = 5


def about_days(columns: dict[str, Column], body: Body, people: People) -> list[FileWarning]:
    """Tell of a few rows far from all others in time, and of rows before an athlete joined or after they left."""
    days = columns["date"].values
    told = []
    lonely = _lonely(days)
    far = [position for position, day in enumerate(days) if day in lonely] if lonely else []
    if far:
        where = _rows(body, far)
        text = f"{where}: more than {GAP_DAYS} days from all other rows, counted all the same; check the year."
        told.append(FileWarning("date_far_from_others", text))
    outside = _outside_membership(columns, people)
    if outside:
        text = f"{_rows(body, outside)}: before the athlete joined or after they left, counted all the same."
        told.append(FileWarning("outside_membership", text))
    return told


def _lonely(days: list[dt.date | None]) -> set[dt.date]:
    """Days of small groups that a long gap parts from the rest."""
    rows = Counter(day for day in days if day is not None)
    known = sorted(rows)
    groups = [known[:1]]
    for earlier, later in pairwise(known):
        if (later - earlier).days > GAP_DAYS:
            groups.append([])
        groups[-1].append(later)
    few = min(FEW_ROWS, FEW_SHARE * rows.total())
    return {day for group in groups if len(groups) > 1 and sum(rows[day] for day in group) <= few for day in group}


def _outside_membership(columns: dict[str, Column], people: People) -> list[int]:
    spans = {row[0]: row[1:] for row in people.frame.select("athlete_id", "joined", "left").iter_rows() if any(row[1:])}
    found: list[int] = []
    if not spans:
        return found
    for position, (athlete, day) in enumerate(zip(columns["athlete"].values, columns["date"].values, strict=True)):
        if athlete in spans and day is not None:
            joined, left = spans[athlete]
            if (joined is not None and day < joined) or (left is not None and day > left):
                found.append(position)
    return found


def _rows(body: Body, positions: list[int]) -> str:
    numbers = [str(body.numbers[body.data[position]]) for position in positions[:SHOWN]]
    more = f" and {len(positions) - SHOWN} more" if len(positions) > SHOWN else ""
    return f"Row {numbers[0]}" if len(positions) == 1 else f"Rows {', '.join(numbers)}{more}"
