"""Rows that hold for a day, or from a first day to a last."""

from __future__ import annotations

import datetime as dt

from keelmark.ingest.cells import as_text
from keelmark.ingest.columns import Column
from keelmark.ingest.options import LogOptions
from keelmark.ingest.reasons import Finding

__all__ = ["period_days", "period_findings"]

LONGEST_DAYS = 366


def period_findings(columns: dict[str, Column], position: int, options: LogOptions) -> list[Finding]:
    """What is wrong with the day, or the first and last day, of a row; at most one year, up to one year ahead."""
    found = []
    for kind in ("date", "first", "last"):
        if kind not in columns:
            continue
        column = columns[kind]
        cell = as_text(column.cells[position]).strip()
        found += [Finding(position, code, column.title, cell) for code in column.faults.get(position, ())]
        day = column.values[position]
        latest = options.latest + dt.timedelta(days=LONGEST_DAYS)
        if day is not None and not options.earliest <= day <= latest:
            found.append(Finding(position, "date_out_of_range", column.title, cell, f"{options.earliest} to {latest}"))
    if found:
        return found
    first, last = period_days(columns, position)
    title = (columns["date"] if "date" in columns else columns["first"]).title
    if first is None or last is None:
        return [Finding(position, "bad_date", title)]
    if last < first or (last - first).days >= LONGEST_DAYS:
        return [Finding(position, "bad_period", title, f"{first} to {last}")]
    return []


def period_days(columns: dict[str, Column], position: int) -> tuple[dt.date | None, dt.date | None]:
    """First and last day of a row; a single day is both."""
    values = {kind: columns[kind].values[position] if kind in columns else None for kind in ("date", "first", "last")}
    first = values["date"] or values["first"]
    return first, values["last"] or first
