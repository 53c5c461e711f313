"""Reading the sheets of a workbook into cells."""

from __future__ import annotations

import io

import python_calamine

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import Cell, CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.sheet_parts import counts_from_1904, fill_gaps, refuse_false_counts, refuse_sprawl
from keelmark.ingest.source import Source

__all__ = ["read_xlsx"]

MAX_SHEETS = 100
_VISIBLE = python_calamine.SheetVisibleEnum.Visible


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
        refuse_false_counts(source)
        refuse_sprawl(source, options)
        workbook = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(source.data))
        names = [
            sheet.name for sheet in workbook.sheets_metadata if sheet.typ == python_calamine.SheetTypeEnum.WorkSheet
        ]
        if len(names) > MAX_SHEETS:
            raise RefusedInput(
                f"the workbook has {len(names):,} sheets",
                where=source.name,
                wanted=f"at most {MAX_SHEETS} sheets",
                remedy="copy the sheets that hold the log into a new workbook",
            )
        wanted = _wanted_sheets(names, options.sheet, source.name)
        epoch_1904 = counts_from_1904(source.data)
        tables = [_read_sheet(workbook, name, options, source.name, epoch_1904) for name in wanted]
        shown = {sheet.name for sheet in workbook.sheets_metadata if sheet.visible == _VISIBLE}
        for table in tables:
            table.hidden = table.name not in shown
        fill_gaps(source.data, tables)
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
    if sheet.end is not None and sheet.end[1] >= options.max_columns:
        raise RefusedInput(
            f"sheet {name} has {sheet.end[1] + 1} columns",
            where=file,
            wanted=f"at most {options.max_columns} columns",
            remedy="keep the columns that describe the training",
        )
    rows: list[list[Cell]] = [list(row) for row in sheet.to_python(skip_empty_area=False)]
    spans = [
        (top, left, bottom, right)
        for (top, left), (bottom, right) in sheet.merged_cell_ranges or []
        if top < len(rows) and left < len(rows[top])
    ]
    return CellTable(
        name,
        rows,
        list(range(1, len(rows) + 1)),
        numbered_by_sheet=True,
        spans=spans,
        epoch_1904=epoch_1904,
    )
