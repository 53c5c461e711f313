"""Tables: rows of cells under a header that names the columns, read as one station a row.

A row is put into the order in which a station is written anyway, `movement sets x reps load`, each item keeping its
place in the text; a table without a column of movements takes the movement named beside it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon

__all__ = ["read_tables"]

_UNITS = frozenset(["mass", "length", "feet", "distance", "time", "energy"])
_DELIMITERS = ("cell", "semicolon", "sslash", "slash", "comma", "colon", "sdash", "gap")
_KINDS = {"sets": "sets", "reps_word": "reps", "movement": "movement", "slot": "movement", "rest": "rest", "rpe": "rpe"}

Row = list[list[Item]]


@dataclass(slots=True)
class _Line:
    start: int
    end: int


def read_tables(items: list[Item], text: str, lexicon: Lexicon) -> list[Item]:
    """The items with the rows of every table in the order of a written station; without a table they stay as given."""
    columns = lexicon.columns
    if len([item for item in items if item.kind in _KINDS or item.word in columns]) < 2:
        return items
    lines = _lines(items)
    if len(lines) < 2:
        return items
    out: list[Item] = []
    at = 0
    while at < len(lines):
        line = lines[at]
        made, used = _table(items, lines, at, text, lexicon)
        if made is None:
            out.extend(items[line.start : line.end + 1])
            used = 1
        else:
            out.extend(made)
        at += used
    return out


def _lines(items: list[Item]) -> list[_Line]:
    found: list[_Line] = []
    start = 0
    for at, item in enumerate(items):
        if item.kind == "newline":
            found.append(_Line(start, at))
            start = at + 1
    if start < len(items):
        found.append(_Line(start, len(items)))
    return found


def _table(
    items: list[Item], lines: list[_Line], at: int, text: str, lexicon: Lexicon
) -> tuple[list[Item] | None, int]:
    """The rows of the table whose header is this line, rewritten, and how many lines it takes."""
    head = items[lines[at].start : lines[at].end]
    if not 2 <= len(head) <= 24 or any(_is_count(head, at) for at in range(len(head))):
        return None, 1
    if sum(item.kind in _KINDS or item.word in lexicon.columns for item in head) < 2:
        return None, 1
    for delimiter in _DELIMITERS:
        cells = _cells(head, delimiter, text)
        columns = [_column(cell, lexicon) for cell in cells]
        if len(cells) < 3 or columns.count("") > 1 or len({c for c in columns if c}) < 2 or not _names_amounts(columns):
            continue
        rows: list[Row] = []
        borders = 0
        for line in lines[at + 1 :]:
            if all(item.kind in ("dash", "sdash", "cell", "plus", "equals") for item in items[line.start : line.end]):
                borders += 1
                continue
            row = _cells(items[line.start : line.end], delimiter, text)
            figures = any(item.kind in ("number", "dots", "commas") for cell in row for item in cell)
            if len(row) != len(cells) or not figures:
                break
            rows.append(row)
        if rows:
            beside = None if "movement" in columns else _named_beside(items, lines, at, at + 1 + len(rows) + borders)
            if "movement" not in columns and beside is None:
                continue
            units = [_unit(cell, lexicon) for cell in cells]
            made = [item for row in rows for item in _station(row, columns, units, beside)]
            return made, 1 + len(rows) + borders
    return None, 1


def _is_count(head: list[Item], at: int) -> bool:
    """A number in a header, other than the one of `% 1RM`."""
    behind = head[at + 1].kind if at + 1 < len(head) else ""
    return head[at].kind == "number" and behind != "rep_max"


def _names_amounts(columns: list[str]) -> bool:
    return "reps" in columns or "scheme" in columns


def _cells(items: list[Item], delimiter: str, text: str) -> Row:
    cells: Row = [[]]
    for place, item in enumerate(items):
        if delimiter == "gap":
            if place and "  " in text[items[place - 1].end : item.start]:
                cells.append([])
        elif item.kind == delimiter:
            cells.append([])
            continue
        cells[-1].append(item)
    if delimiter == "cell":
        cells = cells[1:] if not cells[0] else cells
        cells = cells[:-1] if cells and not cells[-1] else cells
    return cells


def _column(cell: list[Item], lexicon: Lexicon) -> str:
    """What a column holds, from the words of its header."""
    words = " ".join(item.word for item in cell if item.word)
    named = lexicon.columns.get(words)
    if named is not None:
        return named
    if any(item.kind == "percent" for item in cell):
        return "load"
    for item in cell:
        for kind in (item.kind, *item.roles):
            if kind in _KINDS:
                return _KINDS[kind]
        if item.word in lexicon.columns:
            return lexicon.columns[item.word]
    return ""


def _unit(cell: list[Item], lexicon: Lexicon) -> Item | None:
    for item in cell:
        if item.kind == "percent":
            return item
        unit = lexicon.units.get(item.word)
        if unit is not None and unit.measure in ("mass", "length"):
            return Item(unit.measure, item.start, item.end, unit, item.word)
    return None


def _named_beside(items: list[Item], lines: list[_Line], head: int, after: int) -> Item | None:
    """The only movement on the line before the table or behind it."""
    for at in (head - 1, after):
        if 0 <= at < len(lines):
            line = items[lines[at].start : lines[at].end]
            named = [item for item in line if item.kind == "movement"]
            if len(named) == 1 and not any(item.kind == "number" for item in line):
                return named[0]
    return None


def _station(row: Row, columns: list[str], units: list[Item | None], beside: Item | None) -> list[Item]:
    """One row as a line: `movement sets x reps load`."""
    cells = dict(zip(columns, row, strict=True))
    named = cells.get("movement") or ([beside] if beside is not None else [])
    if not any(item.kind == "movement" for item in named):
        return [*(item for cell in row for item in cell), _mark("newline", row)]
    made = list(named)
    sets, reps = _figures(cells.get("sets", [])), _figures(cells.get("reps", cells.get("scheme", [])))
    if sets and "number_of_set" not in columns:
        made += [*sets, Item("times", sets[-1].end, sets[-1].end)]
    made += reps
    for column, unit in zip(columns, units, strict=True):
        figures = _figures(cells.get(column, [])) if column in ("load", "height") else []
        if figures:
            made.append(Item("comma", figures[0].start, figures[0].start))
            made += figures
            if unit is not None and not any(item.kind in _UNITS or item.kind == "percent" for item in figures):
                made.append(replace(unit, start=figures[-1].end, end=figures[-1].end))
    return [*made, _mark("newline", row)]


def _figures(cell: list[Item]) -> list[Item]:
    """A cell without a lone dash that says there is nothing in it."""
    return [] if all(item.kind in ("dash", "sdash", "blank") for item in cell) else list(cell)


def _mark(kind: str, row: Row) -> Item:
    last = [item for cell in row for item in cell][-1]
    return Item(kind, last.end, last.end)
