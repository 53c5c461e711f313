"""The rows below the header: numbered, with merged cells filled, and sorted into data, blank lines and other lines."""

from __future__ import annotations

import re
from dataclasses import dataclass

from keelmark.ingest.cells import Cell, CellTable, as_text, is_empty
from keelmark.ingest.header import Header
from keelmark.ingest.reasons import Finding
from keelmark.ingest.values.dates import DateRule, parse_date
from keelmark.ingest.words import cell_words, plain

__all__ = ["Body", "read_body", "row_text"]

_ANY_DATE = DateRule(day_first=True, serials_as_text=True)
KEYS = ("date", "athlete", "movement")


@dataclass(slots=True)
class Body:
    """All rows below the header.

    `data`, `blank`, `other` and the keys of `broken` are indices that together name every row once.
    """

    rows: list[list[Cell]]
    numbers: list[int]
    lines: list[int]
    data: list[int]
    blank: list[int]
    other: list[int]
    broken: dict[int, Finding]
    uncomputed: list[tuple[int, int]]
    texts: list[str]


def read_body(header: Header) -> Body:
    """Number the rows below a header and tell data from blank lines, sums, titles and broken rows."""
    table = header.table
    first = header.last_row + 1
    rows = _filled_down(table, first)
    lines = table.lines[first:]
    numbers = lines if table.numbered_by_sheet else list(range(1, len(rows) + 1))
    body = Body(rows, list(numbers), list(lines), [], [], [], {}, [], list(map(row_text, rows)))
    titles = _title_row(header)
    for index, row in enumerate(rows):
        if first + index in table.odd:
            body.broken[index] = Finding(index, table.odd[first + index], cell=body.texts[index])
        elif all(map(is_empty, row)):
            body.blank.append(index)
        elif _is_other(row, header, titles):
            body.other.append(index)
        elif not _fits(row, header.width):
            body.broken[index] = Finding(index, "field_count", cell=str(len(row)), hint=str(header.width))
        else:
            body.data.append(index)
            if len(row) > header.width:
                del row[header.width :]
    used = {use.index for use in header.columns.values()}
    kept = set(body.data)
    body.uncomputed = sorted(
        (row - first, column) for row, column in table.uncomputed if row - first in kept and column in used
    )
    return body


def row_text(row: list[Cell]) -> str:
    """The cells of a row in one line; rows of text files hold text alone and need no conversion."""
    try:
        return " | ".join(row)  # type: ignore[arg-type]
    except TypeError:
        return " | ".join(map(as_text, row))


def _filled_down(table: CellTable, first: int) -> list[list[Cell]]:
    """Rows below the header; a merged area repeats its value down its first column, and not to the right."""
    rows = table.rows[first:]
    for top, left, bottom, _ in table.spans:
        if top < first or bottom == top:
            continue
        value = table.rows[top][left]
        for index in range(top + 1, min(bottom + 1, len(table.rows))):
            table.rows[index][left] = value
    return rows


def _title_row(header: Header) -> dict[int, str]:
    return {use.index: plain(use.title) for use in header.columns.values()}


def _fits(row: list[Cell], width: int) -> bool:
    return len(row) == width or (len(row) > width and all(map(is_empty, row[width:])))


def _is_other(row: list[Cell], header: Header, titles: dict[int, str]) -> bool:
    """Lines that hold no training: sums, a single line of text, the header once more."""
    if _is_plain_data(row, header):
        return False
    filled = [index for index, cell in enumerate(row) if not is_empty(cell)]
    if not any(re.search(r"\w", as_text(row[index])) for index in filled):
        return True
    texts = {index: plain(row[index]) for index in filled if isinstance(row[index], str)}  # type: ignore[arg-type]
    if len(filled) > 1 and sum(titles.get(index) == text for index, text in texts.items()) >= min(3, len(titles)):
        return True
    keys = [header.columns[kind].index for kind in KEYS if kind in header.columns]
    proper = [index for index in keys if index in filled and not _adds_up(texts.get(index, ""))]
    if len(filled) == 1:
        return _is_title(row, filled[0], keys)
    if len(proper) >= min(2, len(keys)):
        return False
    leading = [texts[index] for index in {filled[0], *keys} if index in texts]
    return any(map(_adds_up, leading)) or (not {*keys[1:]} & {*filled} and any(map(_heads, leading)))


def _is_title(row: list[Cell], index: int, keys: list[int]) -> bool:
    """True when the only cell of a row is a line of text: not a day, and not a name or movement left alone."""
    cell = row[index]
    if not isinstance(cell, str) or (index in keys[1:] and index > 0 and not _adds_up(plain(cell))):
        return False
    return not keys or index != keys[0] or parse_date(cell, _ANY_DATE).value is None


def _is_plain_data(row: list[Cell], header: Header) -> bool:
    """A quick look that settles nearly every row: a day that starts with a digit, and all other keys filled."""
    if len(row) < header.width:
        return False
    for kind in KEYS:
        if kind in header.columns:
            cell = row[header.columns[kind].index]
            if not cell or (kind == "date" and isinstance(cell, str) and not cell[0].isdigit()):
                return False
    return True


def _adds_up(text: str) -> bool:
    """True for `Week 3 sum`, `Total`, `Summe KW 7` and the like."""
    return _has_word(text, "sums")


def _heads(text: str) -> bool:
    """True for `Week 3`, `KW 7` and the like."""
    return _has_word(text, "headings")


def _has_word(text: str, kind: str) -> bool:
    words = re.findall(r"[a-z]+", text)
    return 0 < len(words) <= 4 and any(cell_words("lines").get(word) == kind for word in words)
