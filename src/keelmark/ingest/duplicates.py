"""Rows that say again what an earlier row said."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from keelmark.ingest.cells import Cell, as_text

__all__ = ["DuplicateKind", "find_duplicates"]

DuplicateKind = Literal["exact", "normalised"]


def find_duplicates(rows: Iterable[tuple[int, list[Cell]]]) -> dict[int, tuple[int, DuplicateKind]]:
    """Index of each repeated row to the index of the first one, and how alike they are.

    `exact`: the same cells; `normalised`: the same after trimming, joining spaces and ignoring case.
    """
    first: dict[tuple[str, ...], tuple[int, tuple[str, ...]]] = {}
    found: dict[int, tuple[int, DuplicateKind]] = {}
    known: dict[str, str] = {}
    for index, row in rows:
        written = tuple(map(as_text, row))
        key = tuple(known.get(text) or known.setdefault(text, _normalised(text)) for text in written)
        earlier = first.setdefault(key, (index, written))
        if earlier[0] != index:
            found[index] = (earlier[0], "exact" if earlier[1] == written else "normalised")
    return found


def _normalised(text: str) -> str:
    return " ".join(text.casefold().split())
