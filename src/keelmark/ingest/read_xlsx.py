"""Reading the sheets of a workbook into cells."""

from __future__ import annotations

import io
import zipfile
from xml.etree import ElementTree

import openpyxl  # type: ignore[import-untyped]
import python_calamine

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import Cell, CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.source import Source

__all__ = ["read_xlsx"]

WORKBOOK_NAMESPACE = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def read_xlsx(source: Source, options: LogOptions) -> list[CellTable]:
    """Every sheet as cells; row numbers are those of the sheet.

    Values are read by calamine. Only when a sheet holds formulas or error cells is it read again, by openpyxl, to find
    formulas whose result was never stored and to keep the text of errors.

    Raises
    ------
    RefusedInput
        When the workbook is damaged, or the sheet asked for is not there, or a sheet is too large.
    """
    try:
        workbook = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(source.data))
        names = [
            sheet.name for sheet in workbook.sheets_metadata if sheet.typ == python_calamine.SheetTypeEnum.WorkSheet
        ]
        wanted = _wanted_sheets(names, options.sheet, source.name)
        epoch_1904 = _counts_from_1904(source.data)
        tables = [_read_sheet(workbook, name, options, source.name, epoch_1904) for name in wanted]
        _complete(source.data, tables)
    except RefusedInput:
        raise
    except BaseException as error:
        if isinstance(error, (KeyboardInterrupt, SystemExit, MemoryError)):
            raise
        raise RefusedInput(
            f"the workbook cannot be read ({type(error).__name__})",
            where=source.name,
            wanted="an XLSX workbook as spreadsheet programs save it",
            remedy="open it in a spreadsheet program and save it again as .xlsx or .csv",
        ) from error
    return tables


def _wanted_sheets(names: list[str], sheet: str | None, file: str) -> list[str]:
    if sheet is None:
        return names
    if sheet not in names:
        raise RefusedInput(
            f"there is no sheet named {sheet!r}",
            where=file,
            wanted=f"one of {', '.join(names)}",
            remedy="correct the sheet option",
        )
    return [sheet]


def _read_sheet(
    workbook: python_calamine.CalamineWorkbook, name: str, options: LogOptions, file: str, epoch_1904: bool
) -> CellTable:
    sheet = workbook.get_sheet_by_name(name)
    if sheet.end is not None and (sheet.end[0] >= options.max_rows or sheet.end[1] >= options.max_columns):
        raise RefusedInput(
            f"sheet {name} reaches row {sheet.end[0] + 1:,}, column {sheet.end[1] + 1:,}",
            where=file,
            wanted=f"at most {options.max_rows:,} rows and {options.max_columns} columns",
            remedy="delete the empty rows and columns at the end, or split the sheet",
        )
    rows: list[list[Cell]] = [list(row) for row in sheet.to_python(skip_empty_area=False)]
    spans = [(top, left, bottom, right) for (top, left), (bottom, right) in sheet.merged_cell_ranges or []]
    return CellTable(
        name,
        rows,
        list(range(1, len(rows) + 1)),
        numbered_by_sheet=True,
        spans=spans,
        epoch_1904=epoch_1904,
    )


def _counts_from_1904(data: bytes) -> bool:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        tree = ElementTree.fromstring(archive.read("xl/workbook.xml"))
    properties = tree.find(f"{WORKBOOK_NAMESPACE}workbookPr")
    return properties is not None and properties.get("date1904", "0") in {"1", "true"}


def _complete(data: bytes, tables: list[CellTable]) -> None:
    """Add what calamine leaves out: the text of error cells, and which formulas have no stored result."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheets = [name for name in archive.namelist() if name.startswith("xl/worksheets/") and name.endswith(".xml")]
        texts = [archive.read(name) for name in sheets]
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
