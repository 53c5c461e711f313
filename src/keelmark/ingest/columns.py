"""Every column of the data rows turned into values, each distinct cell parsed once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from keelmark.catalogue import Catalogue
from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell, as_text, is_empty
from keelmark.ingest.evidence import FileMarks
from keelmark.ingest.header import ColumnUse, Header
from keelmark.ingest.options import LogOptions
from keelmark.ingest.people import People
from keelmark.ingest.values.counts import parse_count, parse_rating, parse_reps, parse_volume
from keelmark.ingest.values.dates import DateRule, parse_date
from keelmark.ingest.values.loads import parse_load
from keelmark.ingest.values.measures import TO_CM, TO_KG, TO_M, parse_amount, parse_duration
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.words import cell_words, empty_marks, plain

__all__ = ["Column", "Reader", "constant_column", "parse_column", "parse_columns"]

PLAIN_TEXT = ("session", "slot", "block", "note")


@dataclass(slots=True)
class Column:
    """One kind of value for all data rows: None where the cell is empty, reasons and notes by position."""

    kind: str
    title: str
    values: list[Any]
    faults: dict[int, tuple[str, ...]] = field(default_factory=dict)
    notes: dict[int, tuple[str, ...]] = field(default_factory=dict)
    cells: list[Cell] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Reader:
    """What parsing a column may need to know of the file."""

    options: LogOptions
    dates: DateRule
    marks: FileMarks
    people: People
    catalogue: Catalogue


def parse_columns(header: Header, body: Body, reader: Reader) -> dict[str, Column]:
    """Values of every used column, for the data rows in order."""
    columns = {}
    for kind, use in header.columns.items():
        cells = [body.rows[index][use.index] for index in body.data]
        columns[kind] = parse_column(kind, use.title, cells, _parser(kind, use, reader))
    _mark_uncomputed(header, body, columns)
    return columns


def _mark_uncomputed(header: Header, body: Body, columns: dict[str, Column]) -> None:
    """An empty cell means nothing was done or carried; a formula without its result does not say so."""
    kinds = {use.index: kind for kind, use in header.columns.items()}
    positions = {index: position for position, index in enumerate(body.data)}
    for row, place in body.uncomputed:
        columns[kinds[place]].faults[positions[row]] = ("formula_without_result",)


def constant_column(kind: str, text: str, count: int, reader: Reader) -> Column:
    """A column that the file does not have, with the same cell in every row."""
    cells: list[Cell] = [text] * count
    return parse_column(kind, kind, cells, _parser(kind, ColumnUse(-1, kind, None, frozenset()), reader))


def parse_column(kind: str, title: str, cells: list[Cell], parse: Callable[[Cell], Parsed[Any]]) -> Column:
    """One column; equal cells are parsed once."""
    known: dict[tuple[type, Cell], Parsed[Any] | None] = {}
    column = Column(kind, title, [], cells=cells)
    for position, cell in enumerate(cells):
        key = (type(cell), cell)
        if key not in known:
            known[key] = None if _nothing(cell) else parse(cell)
        parsed = known[key]
        if parsed is None:
            column.values.append(None)
            continue
        column.values.append(parsed.value)
        if parsed.reasons:
            column.faults[position] = parsed.reasons
        if parsed.notes:
            column.notes[position] = parsed.notes
    return column


def _nothing(cell: Cell) -> bool:
    return is_empty(cell) or (isinstance(cell, str) and cell.strip().lower() in empty_marks())


def _parser(kind: str, use: ColumnUse, reader: Reader) -> Callable[[Cell], Parsed[Any]]:
    """How a cell of this kind is read."""
    mark = reader.marks.of(kind)
    unit = use.unit
    table: dict[str, Callable[[Cell], Parsed[Any]]] = {
        "date": lambda cell: parse_date(cell, reader.dates),
        "athlete": lambda cell: _athlete(cell, reader.people),
        "movement": lambda cell: _movement(cell, reader.catalogue),
        "sets": lambda cell: _named(parse_count(cell, mark), "non_numeric_sets"),
        "set_number": lambda cell: _named(parse_count(cell, mark), "non_numeric_sets"),
        "reps": lambda cell: _named(parse_reps(cell, mark), "non_numeric_reps"),
        "reps_low": lambda cell: _named(parse_count(cell, mark), "non_numeric_reps"),
        "reps_high": lambda cell: _named(parse_count(cell, mark), "non_numeric_reps"),
        "volume": lambda cell: _named(parse_volume(cell), "non_numeric_reps"),
        "load": lambda cell: parse_load(cell, unit, mark),
        "load_unit": _load_unit,
        "height": lambda cell: _named(parse_amount(cell, unit, TO_CM, mark), "non_numeric_height"),
        "distance": lambda cell: _named(parse_amount(cell, unit, TO_M, mark), "non_numeric_distance"),
        "duration": lambda cell: _named(parse_duration(cell, unit, mark, long=False), "non_numeric_duration"),
        "calories": lambda cell: _named(parse_amount(cell, unit, {"kcal": 1.0}, mark), "non_numeric_calories"),
        "rpe": lambda cell: _named(parse_rating(cell, mark), "non_numeric_rpe"),
        "session_rpe": lambda cell: _named(parse_rating(cell, mark), "non_numeric_session_rpe"),
        "session_min": lambda cell: _minutes(cell, unit, reader),
        "version": lambda cell: _word(cell, "versions", "unknown_version"),
        "side": lambda cell: _word(cell, "sides", "unknown_side"),
    }
    return table.get(kind, lambda cell: Parsed(" ".join(_label(cell).split())))


def _athlete(cell: Cell, people: People) -> Parsed[str]:
    if as_text(cell).lstrip().startswith("="):
        return Parsed(reasons=("formula_as_text",))
    found = people.find(as_text(cell))
    return Parsed(found) if found else Parsed(reasons=("unknown_athlete",))


def _movement(cell: Cell, catalogue: Catalogue) -> Parsed[str]:
    found = catalogue.names.find(as_text(cell))
    return Parsed(found) if found and found in catalogue else Parsed(reasons=("unknown_movement",))


def _word(cell: Cell, table: str, reason: str) -> Parsed[str]:
    found = cell_words(table).get(plain(as_text(cell).strip().rstrip(".")))
    return Parsed(found) if found else Parsed(reasons=(reason,))


def _load_unit(cell: Cell) -> Parsed[str]:
    found = _word(cell, "units", "unknown_unit")
    return found if found.value in TO_KG else Parsed(reasons=("unknown_unit",))


def _minutes(cell: Cell, unit: str | None, reader: Reader) -> Parsed[float]:
    seconds = parse_duration(cell, unit or "min", reader.marks.of("session_min"), long=True)
    named = _named(seconds, "non_numeric_session_min")
    return Parsed(None if named.value is None else named.value / 60.0, named.reasons, named.notes)


def _named(parsed: Parsed[Any], reason: str) -> Parsed[Any]:
    """Give a general fault the code of the column it stands in."""
    if not parsed.reasons:
        return parsed
    general = {"not_a_number", "not_a_volume"}
    return Parsed(parsed.value, tuple(reason if code in general else code for code in parsed.reasons), parsed.notes)


def _label(cell: Cell) -> str:
    if isinstance(cell, dt.time):
        return cell.strftime("%H:%M")
    return as_text(cell)
