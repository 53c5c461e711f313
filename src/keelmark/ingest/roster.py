"""Reading the list of people, and what each of them can lift once."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import ATHLETE, REP_MAXIMUM
from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell, as_text
from keelmark.ingest.columns import Column
from keelmark.ingest.header import ColumnUse
from keelmark.ingest.names import column_names
from keelmark.ingest.opened import open_file
from keelmark.ingest.options import LogOptions
from keelmark.ingest.people import seen
from keelmark.ingest.rep_maxima import MaximumColumn, maximum_columns
from keelmark.ingest.roster_rows import REMEDY, RosterRows
from keelmark.ingest.values.dates import parse_date
from keelmark.ingest.values.measures import TO_CM, TO_KG, parse_amount
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.warnings import FileWarning, counted
from keelmark.ingest.words import plain
from keelmark.mechanics.anthropometry import (
    BODY_MASS_LIMITS_KG,
    BODY_MASS_REMEDY,
    STATURE_LIMITS_CM,
    STATURE_REMEDY,
)

__all__ = ["RosterReading", "read_roster"]


@dataclass(frozen=True, slots=True)
class RosterReading:
    """The ATHLETE and REP_MAXIMUM tables of a roster, and what should be known about how it was read."""

    file: str
    sha256: str
    athletes: pl.DataFrame
    rep_maxima: pl.DataFrame
    warnings: tuple[FileWarning, ...]


def read_roster(
    path: Path | str,
    catalogue: Catalogue,
    *,
    mapping: Path | str | None = None,
    options: LogOptions | None = None,
) -> RosterReading:
    """Read a roster from CSV, XLSX or Parquet.

    Only a column of names is needed. Maxima stand in columns such as `1RM deadlift (kg)`; without a column for the
    day of the test they count from the day the athlete joined, or else from the first plausible day, and that is told.

    Parameters
    ----------
    path : path
        The file.
    catalogue : Catalogue
        Where the movements of maxima are looked up.
    mapping : path, optional
        A TOML file that says which column means what.
    options : LogOptions, optional
        Units and orders that the file leaves open.

    Raises
    ------
    RefusedInput
        When the file cannot be used, a name stands twice, or cells cannot be read, each of which is told: a roster is
        taken whole or not at all.
    """
    options = options or LogOptions()
    opened = open_file(path, column_names("roster"), (("name",),), options, mapping)
    source, header, body = opened.source, opened.header, opened.body
    _refuse_broken(body, source.name)
    reading = RosterRows(header, body, options, source.name)
    lifts = maximum_columns(header, catalogue, source.name)
    tested, lifted = _lifted(reading, lifts)
    athletes = _athletes(reading)
    maxima, warnings = _maxima(reading, tested, lifted, athletes)
    unused = [title for title in header.unused if title not in {lift.title for lift in lifts}]
    if unused:
        warnings.insert(0, FileWarning("column_not_used", f"These columns are not used: {', '.join(unused)}."))
    return RosterReading(source.name, source.sha256, athletes, maxima, (*reading.warnings, *warnings))


def _refuse_broken(body: Body, file: str) -> None:
    if body.other:
        raise RefusedInput(
            "the row is nobody's",
            where=f"{file}, line {body.lines[body.other[0]]}",
            wanted="one row for each person and nothing else",
            remedy=REMEDY,
        )
    if body.broken:
        finding = next(iter(body.broken.values()))
        raise RefusedInput(
            f"the row has {finding.cell} cells, the header {finding.hint}",
            where=f"{file}, line {body.lines[finding.index]}",
            wanted="as many cells as the header has",
            remedy=REMEDY,
        )
    if not body.data:
        raise RefusedInput(
            "there is a header but nobody below it", where=file, wanted="one row for each person", remedy=REMEDY
        )


def _text(cell: Cell) -> Parsed[str]:
    text = seen(as_text(cell))
    return Parsed(text) if text else Parsed(reasons=("unknown",))


def _athletes(rows: RosterRows) -> pl.DataFrame:
    names = rows.kind("name", _text, "a name")
    for position, name in enumerate(names):
        if name is None:
            rows.refuse(position, rows.header.columns["name"].title, "", "a name")
    ids = [own or plain(name or "") for own, name in zip(rows.kind("athlete_id", _text, "an id"), names, strict=True)]
    day = "a day such as 2026-03-14"
    table = {
        "athlete_id": ids,
        "name": names,
        "group": rows.kind("group", _text, "a group"),
        "sex": rows.words("sex", "sexes", "female or male, or an empty cell"),
        "body_mass_kg": rows.measure("body_mass", TO_KG, "kg", BODY_MASS_LIMITS_KG, BODY_MASS_REMEDY),
        "stature_cm": rows.measure("stature", TO_CM, "cm", STATURE_LIMITS_CM, STATURE_REMEDY),
        "standard": rows.words("standard", "standards", "heavier or lighter"),
        "joined": rows.kind("joined", lambda cell: parse_date(cell, rows.dates), day),
        "left": rows.kind("left", lambda cell: parse_date(cell, rows.dates), day),
    }
    for position, (joined, left) in enumerate(zip(table["joined"], table["left"], strict=True)):
        if joined and left and left < joined:
            rows.refuse(position, rows.header.columns["left"].title, str(left), f"a day on or after {joined}")
    rows.check()
    _refuse_twice(rows, names, ids)
    return ATHLETE.check(pl.DataFrame(table, schema=ATHLETE.polars), where=rows.file)


def _refuse_twice(rows: RosterRows, names: list[str], ids: list[str]) -> None:
    """A name or id that stands twice refuses the roster, because nobody could tell whose row is whose."""
    seen: dict[str, int] = {}
    by_id = "athlete_id" in rows.header.columns
    for position, (name, athlete_id) in enumerate(zip(names, ids, strict=True)):
        for key, what in (
            (" ".join(name.casefold().split()), f"the name {name}"),
            (f"\0{athlete_id}", f"the id {athlete_id}"),
        ):
            first = seen.setdefault(key, position)
            if first == position:
                continue
            same = f"lines {rows.lines(first)} and {rows.lines(position)}"
            if key.startswith("\0") and not by_id:
                what = f"the names {names[first]} and {name}, which differ only in marks,"
            raise RefusedInput(
                f"{what} {'stand' if 'names' in what else 'stands'} twice, in {same}",
                where=rows.file,
                wanted="every person once, under a name of their own",
                remedy="remove one of the rows, or tell the two apart, such as Anna B and Anna K"
                + ("" if by_id else ", or add a column id"),
            )


def _lifted(
    rows: RosterRows, lifts: list[MaximumColumn]
) -> tuple[list[dt.date | None], list[tuple[MaximumColumn, Column]]]:
    """Days of the tests, and the column of each lift, with what is out of bounds refused."""
    tested = rows.kind("tested", lambda cell: parse_date(cell, rows.dates), "a day such as 2026-03-14")
    lifted = []
    for lift in lifts:
        use = ColumnUse(lift.index, lift.title, lift.unit, frozenset())
        read = partial(parse_amount, unit=lift.unit, factors=TO_KG, mark=rows.marks.of_file)
        column = rows.column(use, read, "kilograms or pounds")
        for position, value in enumerate(column.values):
            if value is not None and not 0 < _kilograms(rows, column, position) <= rows.options.max_load_kg:
                most = f"up to {rows.options.max_load_kg:g} kg"
                rows.refuse(position, lift.title, as_text(column.cells[position]), most)
        lifted.append((lift, column))
    return tested, lifted


def _kilograms(rows: RosterRows, column: Column, position: int) -> float:
    bare = "no_unit" in column.notes.get(position, ())
    return float(column.values[position] * (TO_KG[rows.options.load_unit] if bare else 1))


def _maxima(
    rows: RosterRows,
    tested: list[dt.date | None],
    lifted: list[tuple[MaximumColumn, Column]],
    athletes: pl.DataFrame,
) -> tuple[pl.DataFrame, list[FileWarning]]:
    found: list[dict[str, object]] = []
    warnings, undated = [], 0
    for lift, column in lifted:
        if column.notes:
            unit = rows.options.load_unit
            text = f"Column {lift.title} has no unit and is read as {unit}. Write {lift.title} ({unit}) to be sure."
            warnings.append(FileWarning("load_unit_assumed", text))
        for position, value in enumerate(column.values):
            if value is None:
                continue
            day = tested[position]
            undated += day is None
            found.append(
                {
                    "athlete_id": athletes["athlete_id"][position],
                    "movement": lift.movement,
                    "date": day or athletes["joined"][position] or rows.options.earliest,
                    "load_kg": _kilograms(rows, column, position),
                    "state": "stated" if day is None else "tested",
                }
            )
    if undated:
        text = (
            f"{counted(undated, 'maximum', 'maxima')} without a day: counted from the day the athlete joined, "
            f"or from {rows.options.earliest} where that is not known. "
            "Add a column 1RM date to say when they were tested."
        )
        warnings.append(FileWarning("maxima_without_day", text))
    return REP_MAXIMUM.build(found), warnings
