"""What lies in the parts of a workbook beside the values: its extent, its calendar, its formulas and errors."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from xml.etree import ElementTree

import openpyxl  # type: ignore[import-untyped]

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.source import Source

__all__ = ["counts_from_1904", "fill_gaps", "refuse_false_counts", "refuse_sprawl"]

WORKBOOK_NAMESPACE = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
MAX_CELLS = 20_000_000
_FILLED_CELL = re.compile(rb"<(?:\w+:)?c\s[^>]*?\br\s*=\s*[\"']([A-Za-z]+)(\d+)[\"'][^>]*(?<!/)>")

_CELL_WITHOUT_PLACE = re.compile(rb"<(?:\w+:)?c(?:\s(?![^>]*?\br\s*=)[^>]*)?(?<!/)>")
_FAR_OUT = re.compile(rb"\br\s*=\s*[\"'](?:[A-Za-z]{3}|[A-Za-z]{2}\d{5}|[A-Za-z]?\d{6})")
"""Without any of these a sheet has at most 26 columns and 99,999 rows, or 702 columns and 9,999 rows."""
_STATED = re.compile(rb"\bcount\s*=\s*[\"'](\d+)")
_STATED_APART = re.compile(rb"\buniqueCount\s*=\s*[\"'](\d+)")
_ROW = re.compile(rb"<(?:\w+:)?row\s[^>]*?\br\s*=\s*[\"'](\d+)[\"']")


def refuse_sprawl(source: Source, options: LogOptions) -> None:
    """Refuse a sheet with a cell far out, before a table as wide and long as that is laid out in memory."""
    for name, text in _sheets(source.data):
        if not _FAR_OUT.search(text):
            continue
        rows, columns = _extent(text)
        if rows > options.max_rows or columns > options.max_columns or rows * columns > MAX_CELLS:
            raise RefusedInput(
                f"a sheet ({name.rpartition('/')[2]}) reaches row {rows:,}, column {columns:,}",
                where=source.name,
                wanted=f"at most {options.max_rows:,} rows, {options.max_columns} columns "
                f"and {MAX_CELLS:,} cells between the first and the last",
                remedy="delete stray cells far from the table, or copy the table into a new workbook",
            )


def refuse_false_counts(source: Source) -> None:
    """Refuse a part that states more items than it has room for: readers lay out memory for what is stated."""
    with zipfile.ZipFile(io.BytesIO(source.data)) as archive:
        for name in archive.namelist():
            if not name.lower().endswith(".xml") or name.startswith("xl/worksheets/"):
                continue
            text = archive.read(name)
            pattern = _STATED if name.endswith("styles.xml") else _STATED_APART  # a text may be used many times
            stated = max((_whole(digits) for digits in pattern.findall(text)), default=0)
            if stated > len(text):
                raise RefusedInput(
                    f"a part of the workbook ({name[-40:]}) states {stated:,} items in {len(text):,} bytes",
                    where=source.name,
                    wanted="an XLSX workbook as spreadsheet programs save it",
                    remedy="open it in a spreadsheet program and save it again as .xlsx or .csv",
                )


def _whole(digits: bytes) -> int:
    return int(digits) if len(digits) < 19 else 10**18


def _extent(sheet: bytes) -> tuple[int, int]:
    """The last row and column with a filled cell; cells that do not say where they are follow their row's number."""
    places = set(_FILLED_CELL.findall(sheet))
    columns = max((_column_number(letters) for letters in {letters for letters, _ in places}), default=1)
    rows = max((int(digits) for digits in {digits for _, digits in places}), default=1)
    if _CELL_WITHOUT_PLACE.search(sheet):
        rows = max([rows, *(int(digits) for digits in _ROW.findall(sheet))])
    return rows, columns


def _column_number(letters: bytes) -> int:
    number = 0
    for letter in letters.upper():
        number = number * 26 + letter - 64
    return number


def _sheets(data: bytes) -> Iterator[tuple[str, bytes]]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            if name.startswith("xl/worksheets/") and name.endswith(".xml"):
                yield name, archive.read(name)


def counts_from_1904(data: bytes) -> bool:
    """True when the workbook counts its days from 1904."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        tree = ElementTree.fromstring(archive.read("xl/workbook.xml"))  # nosec B314 (document types are refused before)
    properties = tree.find(f"{WORKBOOK_NAMESPACE}workbookPr")
    return properties is not None and properties.get("date1904", "0") in {"1", "true"}


def fill_gaps(data: bytes, tables: list[CellTable]) -> None:
    """Add what calamine leaves out: the text of error cells, and which formulas have no stored result."""
    texts = [text for _, text in _sheets(data)]
    if any(b't="e"' in text for text in texts):
        _write_errors(data, tables)
    if any(b"<f" in text for text in texts):
        _mark_uncomputed(data, tables)


def _write_errors(data: bytes, tables: list[CellTable]) -> None:
    workbook = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    for table in tables:
        for index, row in enumerate(workbook[table.name].iter_rows(max_row=len(table.rows))):
            for cell in row:
                if getattr(cell, "data_type", None) == "e" and _unknown(table, index, cell.column - 1):
                    table.rows[index][cell.column - 1] = str(cell.value)
    workbook.close()


def _mark_uncomputed(data: bytes, tables: list[CellTable]) -> None:
    workbook = openpyxl.load_workbook(io.BytesIO(data), read_only=True)
    for table in tables:
        for index, row in enumerate(workbook[table.name].iter_rows(max_row=len(table.rows))):
            for cell in row:
                if getattr(cell, "data_type", None) == "f" and _unknown(table, index, cell.column - 1):
                    table.uncomputed.add((index, cell.column - 1))
    workbook.close()


def _unknown(table: CellTable, row: int, column: int) -> bool:
    return column < len(table.rows[row]) and table.rows[row][column] in ("", None)
