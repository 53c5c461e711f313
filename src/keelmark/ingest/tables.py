"""From a file's bytes to its tables of cells, whatever kind of file it is."""

from __future__ import annotations

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.read_parquet import read_parquet
from keelmark.ingest.read_text import read_text
from keelmark.ingest.read_xlsx import read_xlsx
from keelmark.ingest.source import Source

__all__ = ["open_tables"]

LONGEST_CELL = 100_000


def open_tables(source: Source, options: LogOptions) -> tuple[list[CellTable], dict[str, str]]:
    """The tables of a file, and how the file is written (kind; for text also encoding, delimiter and line end)."""
    if source.kind == "xlsx":
        sheets, form_of_sheets = _shown(read_xlsx(source, options))
        return [_within_reason(sheet, source.name) for sheet in sheets], form_of_sheets
    if source.kind == "parquet":
        return [_within_reason(read_parquet(source, options), source.name)], {"kind": "parquet"}
    table, form = read_text(source, options)
    _within_reason(table, source.name)
    written = {"kind": "text", "encoding": form.encoding, "delimiter": form.delimiter, "newline": form.newline}
    return [table], {**written, "certain": "no" if form.guessed_encoding else "yes"}


def _within_reason(table: CellTable, file: str) -> CellTable:
    """The table, unless a cell holds more than anybody writes into one."""
    for row, line in zip(table.rows, table.lines, strict=True):
        longest = max((len(cell) for cell in row if type(cell) is str), default=0)
        if longest > LONGEST_CELL:
            raise RefusedInput(
                f"a cell holds {longest:,} signs",
                where=f"{file}, line {line}",
                wanted=f"at most {LONGEST_CELL:,} signs in a cell",
                remedy="shorten the cell, or check that no quotation mark is missing above it",
            )
    return table


def _shown(sheets: list[CellTable]) -> tuple[list[CellTable], dict[str, str]]:
    """The sheets that people see; hidden ones only where there is no other, as when one was asked for by name."""
    shown = [sheet for sheet in sheets if not sheet.hidden]
    if not shown or len(shown) == len(sheets):
        return sheets, {"kind": "xlsx"}
    return shown, {"kind": "xlsx", "hidden": ", ".join(sheet.name for sheet in sheets if sheet.hidden)}
