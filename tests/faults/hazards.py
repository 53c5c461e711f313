"""What is known to trip programs, one kind at a time, brought through every door where it could come in."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path

import polars as pl

from keelmark.service import Squad
from tests.faults import hostile
from tests.faults.doors import DOORS, brought, crew, tables
from tests.faults.tally import Case, Tally, unseen_in

__all__ = ["HAZARDS"]

_CELLS: dict[str, tuple[str, ...]] = {
    "formulas in cells": (
        "=1+1", '=HYPERLINK("http://x","y")', "@SUM(A1)", "+cmd|' /C calc'!A0", "-2+3", "\t=1", "\r=1",
    ),
    "path tricks in names": ("../../etc/passwd", "..\\..\\boot.ini", "/dev/zero", "C:\\x", "CON", "file:///x"),
    "huge numbers": ("1e308", "1e309", "-1e308", "9" * 400, "9" * 5_000, "1e1000000000", "9223372036854775808"),
    "no numbers": ("nan", "NaN", "inf", "-inf", "Infinity", "∞", "1/0", "#DIV/0!"),
    "signs that turn text or are not seen": (
        "\u202egnp.exe", "A\u200bled", "\ufeffAled", "\u2066Aled\u2069", "Al\u00aded", "Aled\u200d", "\u2028Aled",
        "Aled\u0000",
    ),
}  # fmt: skip
_NAMED: dict[str, tuple[str, ...]] = {
    "zip bombs": ("bomb", "few bytes that become"),
    "10 million columns": ("10 million",),
    "deep nesting": ("nest",),
    "files of a kind they do not say": (" as ",),
}
_SHORT = 6


def _cells(kind: str, *, full: bool) -> Tally:
    """Each odd text in each cell of the first row of each table."""
    with crew() as opened, tempfile.TemporaryDirectory() as folder:
        cases = list(_one_cell(kind, opened, Path(folder)))
        return Tally(kind).add_all(cases if full else islice(cases, 0, None, max(1, len(cases) // _SHORT)))


def _one_cell(kind: str, opened: Squad, folder: Path) -> Iterator[Case]:
    for door in DOORS:
        if door.kind != "table":
            continue
        rows = tables(door.good.decode())
        for column, title in enumerate(rows[0]):
            for text in _CELLS[kind]:
                odd = [*rows[1][:column], text, *rows[1][column + 1 :]]
                content = hostile.as_csv([rows[0], odd, *rows[2:]])
                words = f"{door.name}: {text[:20]!a} as {title}"
                yield Case(words, brought(door, opened, folder, content), check=_clean(opened))


def _clean(opened: Squad) -> Callable[[object], str | None]:
    """No figure in the store is none, none is beyond all sense, and no name holds signs that nobody sees."""
    figures = hostile.no_strange_figure(opened)

    def look(given: object) -> str | None:
        people = opened._store.athletes().select(pl.col("athlete_id"), pl.col("name")).rows()
        unseen = [text for row in people for text in row if unseen_in(text)]
        return figures(given) or (f"unseen signs in the name {unseen[0]!a}" if unseen else None)

    return look


def _by_name(kind: str, *, full: bool) -> Tally:
    """The cases of the other kinds whose name says that they are of this one."""
    words, tally = _NAMED[kind], Tally(kind)
    with crew() as opened, tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        found = [
            case
            for cases in (hostile.any_door, hostile.workbooks, hostile.parquets, hostile.tomls, hostile.archives)
            if (cases is hostile.any_door) == (words == (" as ",))
            for case in cases(opened, place)
            if any(word in case.name for word in words)
        ]
        if words != (" as ",):
            found += [one for one in hostile.tables_of_text(opened, place, large=full) if _is_shape(one.name, words)]
        return tally.add_all(found if full else islice(found, 0, None, max(1, len(found) // _SHORT)))


def _is_shape(name: str, words: tuple[str, ...]) -> bool:
    return "odd cells" not in name and any(word in name for word in words)


HAZARDS: dict[str, Callable[..., Tally]] = {
    **{kind: partial(_by_name, kind) for kind in _NAMED},
    **{kind: partial(_cells, kind) for kind in _CELLS},
}
"""Kind to the function that tries it; `full=True` tries every case."""
