"""From a file's bytes to its tables of cells, whatever kind of file it is."""

from __future__ import annotations

from keelmark.ingest.cells import CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.read_parquet import read_parquet
from keelmark.ingest.read_text import read_text
from keelmark.ingest.read_xlsx import read_xlsx
from keelmark.ingest.source import Source

__all__ = ["open_tables"]


def open_tables(source: Source, options: LogOptions) -> tuple[list[CellTable], dict[str, str]]:
    """The tables of a file, and how the file is written (kind; for text also encoding, delimiter and line end)."""
    if source.kind == "xlsx":
        return _shown(read_xlsx(source, options))
    if source.kind == "parquet":
        return [read_parquet(source, options)], {"kind": "parquet"}
    table, form = read_text(source, options)
    written = {"kind": "text", "encoding": form.encoding, "delimiter": form.delimiter, "newline": form.newline}
    return [table], {**written, "certain": "no" if form.guessed_encoding else "yes"}


def _shown(sheets: list[CellTable]) -> tuple[list[CellTable], dict[str, str]]:
    """The sheets that people see; hidden ones only where there is no other, as when one was asked for by name."""
    shown = [sheet for sheet in sheets if not sheet.hidden]
    if not shown or len(shown) == len(sheets):
        return sheets, {"kind": "xlsx"}
    return shown, {"kind": "xlsx", "hidden": ", ".join(sheet.name for sheet in sheets if sheet.hidden)}
