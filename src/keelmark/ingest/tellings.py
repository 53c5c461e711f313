"""What is told about accepted rows and about the file as a whole."""

from __future__ import annotations

from collections.abc import Callable

from keelmark.catalogue import Catalogue
from keelmark.ingest.body import Body
from keelmark.ingest.cells import as_text
from keelmark.ingest.columns import Column, Reader
from keelmark.ingest.header import Header
from keelmark.ingest.lonely_days import about_days
from keelmark.ingest.movement_words import about_generic_words
from keelmark.ingest.people import look_alikes
from keelmark.ingest.reasons import Finding
from keelmark.ingest.warnings import FileWarning, counted

__all__ = ["file_warnings", "row_notes"]

SILENT = {"no_unit", "serial_date"}
REPAIRED = {"lb_in_kg_column": "converted", "kg_in_lb_column": "converted", "date_without_year": "year_filled"}


def row_notes(
    columns: dict[str, Column], accepted: list[int], findings: dict[int, list[Finding]], catalogue: Catalogue
) -> dict[int, list[str]]:
    """Codes told beside accepted rows, by position."""
    notes: dict[int, list[str]] = {}

    def add(position: int, code: str) -> None:
        known = notes.setdefault(position, [])
        if code not in known:
            known.append(code)

    for column in columns.values():
        for position, codes in column.notes.items():
            for code in codes:
                if code not in SILENT:
                    add(position, code)
    for position, found in findings.items():
        for finding in found:
            if finding.code in REPAIRED:
                add(position, REPAIRED[finding.code])
    _load_notes(columns, accepted, catalogue, add)
    _set_notes(columns, accepted, add)
    return notes


def _load_notes(
    columns: dict[str, Column], accepted: list[int], catalogue: Catalogue, add: Callable[[int, str], None]
) -> None:
    if "load" not in columns or "movement" not in columns:
        return
    loads, movements = columns["load"].values, columns["movement"].values
    for position in accepted:
        load = loads[position]
        if load is None or load.kg is None:
            continue
        if load.kg == 0:
            add(position, "zero_load")
        elif movements[position] and catalogue[movements[position]].load == "never":
            add(position, "load_on_body_weight")


def _set_notes(columns: dict[str, Column], accepted: list[int], add: Callable[[int, str], None]) -> None:
    sets = columns.get("sets")
    movements = columns.get("movement")
    if sets is None or movements is None:
        return
    for position in accepted:
        if sets.values[position] is None and movements.values[position] is not None:
            add(position, "sets_taken_as_one")


def file_warnings(
    header: Header,
    body: Body,
    columns: dict[str, Column],
    reader: Reader,
    form: dict[str, str],
    accepted: list[int],
    *,
    without_roster: bool,
    duplicates: int,
) -> list[FileWarning]:
    """What a coach should know about how the file was read."""
    told = []
    if header.unused:
        text = f"These columns are not used: {', '.join(header.unused)}."
        told.append(FileWarning("column_not_used", text))
    if form.get("certain") == "no":
        text = f"The file does not say its encoding; it is read as {form['encoding']}. Check names with accents."
        told.append(FileWarning("encoding_inferred", text))
    if "movement" in columns and not {"sets", "volume"} & set(columns):
        told.append(FileWarning("no_sets_column", "There is no column for sets; each row counts as one set."))
        if duplicates:
            text = (
                f"Rows that repeat an earlier one are counted once ({duplicates} left out). "
                "If each row is a set of its own, read the file again with --identical-rows separate."
            )
            told.append(FileWarning("identical_rows", text))
    if without_roster:
        told += _about_names(columns)
    if "movement" in columns:
        column = columns["movement"]
        names = (as_text(column.cells[at]) for at in accepted if column.values[at] is not None)
        told += about_generic_words(names, reader.catalogue)
    if form.get("hidden"):
        told.append(FileWarning("hidden_sheet", f"Hidden sheets are not read: {form['hidden']}."))
    told += _about_formulas(header, body)
    told += about_days(columns, body, reader.people)
    if any("serial_date" in notes for notes in columns["date"].notes.values()):
        count = sum("serial_date" in notes for notes in columns["date"].notes.values())
        start = 1904 if reader.dates.epoch_1904 else 1900
        text = f"{counted(count, 'date')} written as plain numbers, read as spreadsheet days counted from {start}."
        told.append(FileWarning("serial_dates", text))
    return told


def _about_names(columns: dict[str, Column]) -> list[FileWarning]:
    column = columns["athlete"]
    names = [as_text(cell).strip() for cell, found in zip(column.cells, column.values, strict=True) if found]
    text = f"No roster was given: every name counts as a person, {len(set(column.values) - {None})} in all."
    told = [FileWarning("no_roster", text)]
    for rare, frequent in look_alikes(names):
        text = f"The name {rare} looks like {frequent}, which is far more frequent."
        told.append(FileWarning("name_looks_like", text))
    return told


def _about_formulas(header: Header, body: Body) -> list[FileWarning]:
    titles = {use.index: use.title for use in header.columns.values()}
    places = [f"row {body.numbers[row]}, column {titles[column]}" for row, column in body.uncomputed]
    if not places:
        return []
    more = f" and {len(places) - 5} more" if len(places) > 5 else ""
    text = (
        f"{counted(len(places), 'cell')} with a formula whose result was never stored: "
        f"{'; '.join(places[:5])}{more}. Open the file in a spreadsheet program and save it again."
    )
    return [FileWarning("formula_without_result", text)]
