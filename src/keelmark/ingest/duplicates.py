"""Rows that say again what an earlier row said."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from keelmark.ingest.cells import Cell, as_text

__all__ = ["DuplicateKind", "find_duplicates"]

DuplicateKind = Literal["exact", "normalised"]


def find_duplicates(rows: Iterable[tuple[int, list[Cell], str]]) -> dict[int, tuple[int, DuplicateKind]]:
    """Index of each repeated row to the index of the first one, and how alike they are.

    Each row comes as its index, its cells and its cells in one line.

    `exact`: the same cells; `normalised`: the same after trimming, joining spaces and ignoring case.
    """
    first: dict[str, tuple[int, list[Cell], str]] = {}
    found: dict[int, tuple[int, DuplicateKind]] = {}
    for index, row, text in rows:
        key = " ".join(text.casefold().split())
        earlier = first.setdefault(key, (index, row, text))
        if earlier[0] != index and _normalised(earlier[1]) == _normalised(row):
            found[index] = (earlier[0], "exact" if earlier[2] == text else "normalised")
    return found


def _normalised(row: list[Cell]) -> list[str]:
    return [" ".join(as_text(cell).casefold().split()) for cell in row]
