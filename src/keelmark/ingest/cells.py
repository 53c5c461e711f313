"""A table as it stands in the file: cells with their row number and physical line."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

__all__ = ["Cell", "CellTable", "as_text", "is_empty"]

Cell = str | float | int | bool | dt.date | dt.datetime | dt.time | dt.timedelta | None


@dataclass(slots=True)
class CellTable:
    """Rows of cells before anybody knows what they mean.

    `lines` holds the physical line (or sheet row) of each row. `spans` are merged areas as
    (first row, first column, last row, last column), from 0. `uncomputed` are cells with a formula and no stored
    result. `odd` maps a row to a reason found while splitting lines into cells.
    """

    name: str
    rows: list[list[Cell]]
    lines: list[int]
    numbered_by_sheet: bool = False
    spans: list[tuple[int, int, int, int]] = field(default_factory=list)
    uncomputed: set[tuple[int, int]] = field(default_factory=set)
    odd: dict[int, str] = field(default_factory=dict)
    epoch_1904: bool = False
    semicolons: bool = False
    hidden: bool = False


def as_text(cell: Cell) -> str:
    """A cell as a person would write it."""
    if cell is None:
        return ""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    return str(cell)


def is_empty(cell: Cell) -> bool:
    """True when a cell holds nothing, or only spaces."""
    return cell is None or (isinstance(cell, str) and not cell.strip())
