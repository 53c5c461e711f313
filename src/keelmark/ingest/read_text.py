"""Reading delimited text into cells, with the physical line of each row."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from itertools import islice

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import Cell, CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.sniffing import TextForm, decode, find_delimiter, find_newline
from keelmark.ingest.source import Source

__all__ = ["read_text"]

MAX_LINES_IN_ROW = 40
MAX_OPEN_QUOTES = 1_000


def read_text(source: Source, options: LogOptions) -> tuple[CellTable, TextForm]:
    """A delimited text file as cells; an empty line is a row without cells.

    A quotation mark that is never closed would swallow the lines after it. So a row over several lines is believed only
    when it is as wide as the others, has no more lines than a remark would, and none of them is a whole row of its own;
    else its first line stands alone, marked `open_quote`, and reading goes on with the next line.
    """
    text, encoding, guessed = decode(source.data, where=source.name, encoding=options.encoding)
    delimiter = options.delimiter or find_delimiter(text)
    form = TextForm(encoding, delimiter, find_newline(text), guessed)
    table = CellTable(source.name, [], [], semicolons=delimiter == ";")
    lines = _physical_lines(text)
    width = _usual_width(lines, delimiter)
    if width > options.max_columns:
        raise RefusedInput(
            f"most rows have {width} cells",
            where=source.name,
            wanted=f"at most {options.max_columns} columns",
            remedy="keep the columns that describe the training, or name the right delimiter with the option",
        )
    start = 0
    while start < len(lines):
        start = _read_run(lines, start, delimiter, width, table)
        if len(table.rows) > options.max_rows:
            raise _too_many(source.name, options)
        if len(table.odd) > MAX_OPEN_QUOTES:
            raise RefusedInput(
                f"more than {MAX_OPEN_QUOTES:,} lines open a quotation mark that is not closed",
                where=f"{source.name}, line {start}",
                wanted="quotation marks in pairs",
                remedy="export the table again, or name the right delimiter with the option",
            )
    return table, form


def _physical_lines(text: str) -> list[str]:
    """Lines with their ends kept; only CR, LF and CRLF end a line, as the csv module has it."""
    if "\r" not in text:
        return [line + "\n" for line in text.split("\n")[:-1]] + ([tail] if (tail := text.rpartition("\n")[2]) else [])
    unified = text.replace("\r\n", "\n").replace("\r", "\n")
    return _physical_lines(unified)


def _usual_width(lines: list[str], delimiter: str) -> int:
    widths: Counter[int] = Counter()
    for fields in islice(_rows(lines, delimiter), 2000):
        if len(fields) > 1:
            widths[len(fields)] += 1
    return widths.most_common(1)[0][0] if widths else 1


def _rows(lines: list[str], delimiter: str) -> Iterator[list[str]]:
    try:
        yield from csv.reader(iter(lines), delimiter=delimiter)
    except csv.Error:
        return


def _read_run(lines: list[str], start: int, delimiter: str, width: int, table: CellTable) -> int:
    """Read rows until a row over several lines cannot be believed; return the index of the next line to read."""
    reader = csv.reader(islice(lines, start, None), delimiter=delimiter)
    done = 0
    while True:
        try:
            fields = next(reader)
        except StopIteration:
            return len(lines)
        except csv.Error:
            return _lone_line(lines, start + done, delimiter, table)
        spanned = reader.line_num - done
        if spanned > 1 and not _believable(fields, lines[start + done + 1 : start + reader.line_num], width, delimiter):
            return _lone_line(lines, start + done, delimiter, table)
        row: list[Cell] = list(fields)
        table.rows.append(row)
        table.lines.append(start + done + 1)
        done = reader.line_num


def _believable(fields: list[str], continued: list[str], width: int, delimiter: str) -> bool:
    """False when a row over several lines has swallowed rows: too many lines, other width, or whole rows inside."""
    if len(fields) != width or len(continued) >= MAX_LINES_IN_ROW:
        return False
    return width == 1 or all(len(next(csv.reader([line], delimiter=delimiter), [])) < width for line in continued)


def _lone_line(lines: list[str], index: int, delimiter: str, table: CellTable) -> int:
    row: list[Cell] = list(lines[index].rstrip("\n").split(delimiter))
    table.odd[len(table.rows)] = "open_quote"
    table.rows.append(row)
    table.lines.append(index + 1)
    return index + 1


def _too_many(name: str, options: LogOptions) -> RefusedInput:
    return RefusedInput(
        f"the file has more than {options.max_rows:,} rows",
        where=name,
        wanted=f"at most {options.max_rows:,} rows",
        remedy="split the file by year or by athlete and read the parts one after another",
    )
