"""Reading what is known of days without training: rest, illness, travel."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import polars as pl

from keelmark.contracts.frames import DAY_STATE
from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell, as_text
from keelmark.ingest.columns import Column, parse_column
from keelmark.ingest.duplicates import find_duplicates
from keelmark.ingest.evidence import date_rule
from keelmark.ingest.header import Header
from keelmark.ingest.names import column_names
from keelmark.ingest.opened import open_file
from keelmark.ingest.options import LogOptions
from keelmark.ingest.people import People
from keelmark.ingest.periods import period_days, period_findings
from keelmark.ingest.reasons import Finding
from keelmark.ingest.values.dates import parse_date
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.verdicts import VERDICTS, verdict_rows
from keelmark.ingest.warnings import FileWarning, counted
from keelmark.ingest.words import cell_words, plain

__all__ = ["DayStateReading", "read_day_states"]

REQUIRED = (("athlete", "date", "state"), ("athlete", "first", "last", "state"))


@dataclass(frozen=True, slots=True)
class DayStateReading:
    """The DAY_STATE table of a list of days, and the verdict on every row."""

    file: str
    sha256: str
    day_states: pl.DataFrame
    rows: pl.DataFrame
    warnings: tuple[FileWarning, ...]

    @property
    def counts(self) -> dict[str, int]:
        """Rows read and how many ended in each way."""
        found = Counter(self.rows["verdict"].to_list())
        return {"rows": self.rows.height, **{verdict: found[verdict] for verdict in VERDICTS}}


def read_day_states(
    path: Path | str,
    athletes: pl.DataFrame,
    *,
    mapping: Path | str | None = None,
    options: LogOptions | None = None,
) -> DayStateReading:
    """Read a list of day states from CSV, XLSX or Parquet.

    A row names an athlete, or everybody (`all`, `alle`, `todos`, `tous`), a day or a first and last day, a state in
    any of the five languages, and perhaps a note. Where rows give different states for one day of one athlete, the
    later row counts and that is told. Days up to one year ahead are taken, for travel that is planned.

    Parameters
    ----------
    path : path
        The file.
    athletes : ATHLETE frame
        Who is known.
    mapping : path, optional
        A TOML file that says which column means what.
    options : LogOptions, optional
        Orders that the file leaves open.

    Raises
    ------
    RefusedInput
        When the file cannot be used at all.
    """
    options = options or LogOptions()
    opened = open_file(path, column_names("day_states"), REQUIRED, options, mapping)
    source, header, body = opened.source, opened.header, opened.body
    people = People(athletes)
    columns = _columns(header, body, people, options)
    findings = _findings(columns, len(body.data), people, options)
    kept = [at for at in range(len(body.data)) if at not in findings]
    duplicates = find_duplicates(
        (index, body.rows[index], body.texts[index]) for index in (body.data[at] for at in kept)
    )
    accepted = [at for at in kept if body.data[at] not in duplicates]
    states, overruled = _states(columns, accepted, people)
    rows = verdict_rows(body, set(kept), findings, duplicates, {})
    warnings = []
    if overruled:
        text = f"{counted(overruled, 'day')} with more than one state; the row further down counts."
        warnings.append(FileWarning("state_given_twice", text))
    return DayStateReading(source.name, source.sha256, states, rows, tuple(warnings))


def _columns(header: Header, body: Body, people: People, options: LogOptions) -> dict[str, Column]:
    columns = {}
    for kind, use in header.columns.items():
        cells = [body.rows[index][use.index] for index in body.data]
        columns[kind] = parse_column(kind, use.title, cells, _parser(kind, header, body, people, options))
    return columns


def _parser(
    kind: str, header: Header, body: Body, people: People, options: LogOptions
) -> Callable[[Cell], Parsed[Any]]:
    if kind == "athlete":
        return partial(_athlete, people=people)
    if kind == "state":
        return _state
    if kind == "note":
        return lambda cell: Parsed(" ".join(as_text(cell).split()))
    return partial(parse_date, rule=date_rule(header, body, options, kind))


def _athlete(cell: Cell, people: People) -> Parsed[tuple[str, ...]]:
    if plain(as_text(cell)) in cell_words("everyone"):
        return Parsed(tuple(people.frame["athlete_id"]))
    found = people.find(as_text(cell))
    return Parsed((found,)) if found else Parsed(reasons=("unknown_athlete",))


def _state(cell: Cell) -> Parsed[str]:
    found = cell_words("states").get(plain(as_text(cell)))
    return Parsed(found) if found else Parsed(reasons=("unknown_state",))


def _findings(columns: dict[str, Column], count: int, people: People, options: LogOptions) -> dict[int, list[Finding]]:
    findings: dict[int, list[Finding]] = {}
    for position in range(count):
        found = [*_missing(columns, position, people), *period_findings(columns, position, options)]
        if found:
            findings[position] = found
    return findings


def _missing(columns: dict[str, Column], position: int, people: People) -> list[Finding]:
    found = []
    for kind in ("athlete", "state"):
        column = columns[kind]
        cell = as_text(column.cells[position]).strip()
        if position in column.faults:
            hint = people.suggestion(cell) if kind == "athlete" else ""
            found += [Finding(position, code, column.title, cell, hint) for code in column.faults[position]]
        elif column.values[position] is None:
            code = "missing_athlete" if kind == "athlete" else "unknown_state"
            found.append(Finding(position, code, column.title, cell))
    return found


def _states(columns: dict[str, Column], accepted: list[int], people: People) -> tuple[pl.DataFrame, int]:
    days: dict[tuple[str, dt.date], tuple[str, str | None]] = {}
    overruled = 0
    for position in accepted:
        first, last = period_days(columns, position)
        if first is None or last is None:
            continue
        state = columns["state"].values[position]
        note = columns["note"].values[position] if "note" in columns else None
        for athlete_id in columns["athlete"].values[position]:
            for offset in range((last - first).days + 1):
                key = (athlete_id, first + dt.timedelta(days=offset))
                overruled += key in days and days[key][0] != state
                days[key] = (state, note)
    rows: list[dict[str, object]] = [
        {"athlete_id": athlete_id, "date": day, "state": state, "note": note}
        for (athlete_id, day), (state, note) in days.items()
    ]
    return DAY_STATE.build(rows), overruled
