"""Recognising what a column means from the name above it."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from keelmark.ingest.words import LANGUAGES, cell_words, column_words, plain

__all__ = ["UNITS_OF", "ColumnNames", "Meaning", "column_names", "own_column_names"]

UNITS_OF: dict[str, tuple[str, ...]] = {
    "load": ("kg", "lb"),
    "height": ("cm", "in", "m", "ft"),
    "distance": ("m", "km", "mi", "yd", "ft"),
    "duration": ("s", "min", "h"),
    "session_min": ("min", "h", "s"),
    "calories": ("kcal",),
    "body_mass": ("kg", "lb"),
    "stature": ("cm", "in", "m", "ft"),
    "rep_maximum": ("kg", "lb"),
}
# a column that is named by its unit alone
BARE_UNITS = {"kg": "load", "lb": "load", "km": "distance", "m": "distance", "kcal": "calories"}
JOINING = {"in", "en", "em", "per", "each"}


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a column's name says: a kind, perhaps a unit, how firmly, and in which languages."""

    kind: str
    unit: str | None
    weak: bool
    languages: frozenset[str]


class ColumnNames:
    """Every known name of a column, folded, with its kind and languages."""

    def __init__(self, words: Mapping[str, Any]) -> None:
        self._strong: dict[str, tuple[str, set[str]]] = {}
        self._weak: dict[str, tuple[str, set[str]]] = {}
        self._with_unit: dict[str, tuple[str, set[str]]] = {}
        for language in LANGUAGES:
            table = words.get(language, {})
            firm = {kind: names for kind, names in table.items() if isinstance(names, list)}
            self._add(self._strong, firm, language)
            self._add(self._weak, table.get("weak", {}), language)
            self._add(self._with_unit, table.get("with_unit", {}), language)

    @staticmethod
    def _add(into: dict[str, tuple[str, set[str]]], table: Mapping[str, list[str]], language: str) -> None:
        for kind, names in table.items():
            for name in names:
                into.setdefault(plain(name), (kind, set()))[1].add(language)

    def kinds(self) -> list[str]:
        """Every kind of column there is."""
        return list(dict.fromkeys(kind for table in (self._strong, self._weak) for kind, _ in table.values()))

    def written(self, kind: str, count: int = 4) -> list[str]:
        """A few names that are understood for a kind."""
        return [name for name, (known, _) in self._strong.items() if known == kind][:count]

    def all_written(self) -> dict[str, list[str]]:
        """Kind to every firm name, for documentation and tests."""
        found: dict[str, list[str]] = defaultdict(list)
        for name, (kind, _) in self._strong.items():
            found[kind].append(name)
        return dict(found)

    def meaning(self, text: str) -> Meaning | None:
        """What one column name means, or None."""
        name = re.sub(r"[()\[\]{}:.,]", " ", plain(text))
        name = " ".join(name.split())
        if not name:
            return None
        if (known := self._known(name, None)) is not None:
            return known
        words = name.replace("/", " ").split()
        unit = cell_words("units").get(words[-1]) if words else None
        if unit is None:
            return None
        rest = words[:-1]
        while rest and rest[-1] in JOINING:
            rest = rest[:-1]
        if not rest:
            kind = BARE_UNITS.get(unit)
            return Meaning(kind, unit, True, frozenset(LANGUAGES)) if kind else None
        known = self._known(" ".join(rest), unit)
        return known if known is not None and unit in UNITS_OF.get(known.kind, ()) else None

    def _known(self, plain: str, unit: str | None) -> Meaning | None:
        for table, weak in ((self._strong, False), (self._weak, True), (self._with_unit, True)):
            if plain in table and (unit or table is not self._with_unit):
                kind, languages = table[plain]
                return Meaning(kind, unit, weak, frozenset(languages))
        return None


@cache
def column_names(table: str) -> ColumnNames:
    """The names of the columns of a log (`columns`), a `roster` or a list of `day_states`."""
    return ColumnNames(column_words(table))


@cache
def own_column_names(table: str, of_a_log: tuple[str, ...]) -> ColumnNames:
    """The names of a table of its own, with those of some columns of a log."""
    log, own = column_words("columns"), column_words(table)
    merged: dict[str, Any] = {}
    for language in LANGUAGES:
        shared, added = log.get(language, {}), own.get(language, {})
        merged[language] = {kind: shared[kind] for kind in of_a_log if kind in shared}
        merged[language] |= {kind: names for kind, names in added.items() if isinstance(names, list)}
        weak = {kind: names for kind, names in shared.get("weak", {}).items() if kind in of_a_log}
        merged[language]["weak"] = weak | added.get("weak", {})
    return ColumnNames(merged)
