"""Columns of a roster that hold one-repetition maxima."""

from __future__ import annotations

import re
from dataclasses import dataclass

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.header import Header
from keelmark.ingest.words import cell_words, column_words, plain

__all__ = ["MaximumColumn", "maximum_columns"]


@dataclass(frozen=True, slots=True)
class MaximumColumn:
    """A column with maxima of one movement."""

    index: int
    title: str
    movement: str
    unit: str | None


def maximum_columns(header: Header, catalogue: Catalogue, file: str) -> list[MaximumColumn]:
    """Columns such as `1RM deadlift`, `Kreuzheben 1RM (kg)`.

    Raises
    ------
    RefusedInput
        When such a column names a movement that the catalogue does not know, or two name the same one.
    """
    taken = {use.index for use in header.columns.values()}
    found: dict[str, MaximumColumn] = {}
    for index, title in enumerate(header.titles):
        movement = None if index in taken or not title else _movement_text(title)
        if movement is None:
            continue
        words, unit = movement
        name = catalogue.names.find(words)
        if name is None or name not in catalogue:
            near = ", ".join(catalogue.names.label(one) for one in catalogue.names.nearest(words))
            raise RefusedInput(
                f"the column {title!r} gives maxima of a movement that is not known",
                where=file,
                wanted=f"a movement of the catalogue, such as {near}",
                remedy="correct the column's name, or remove the column",
            )
        if name in found:
            raise RefusedInput(
                f"the columns {found[name].title!r} and {title!r} both give maxima of {name}",
                where=file,
                wanted="one column for each movement",
                remedy="remove one of them",
            )
        found[name] = MaximumColumn(index, title, name, unit)
    return list(found.values())


def _movement_text(title: str) -> tuple[str, str | None] | None:
    """The movement's words and the unit of a column of maxima; None for any other column."""
    text = " ".join(re.sub(r"[()\[\],:]", " ", plain(title)).split())
    mark = next((mark for mark in column_words("roster")["maxima"]["marks"] if re.search(rf"\b{mark}\b", text)), None)
    if mark is None:
        return None
    words = re.sub(rf"\b{mark}\b", " ", text).split()
    units = {word: unit for word in words if (unit := cell_words("units").get(word)) in {"kg", "lb"}}
    return " ".join(word for word in words if word not in units), next(iter(units.values()), None)
