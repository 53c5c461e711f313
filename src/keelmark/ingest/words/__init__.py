"""The words that clubs write above columns and inside cells, kept as data."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["LANGUAGES", "cell_words", "column_words", "date_words", "empty_marks", "plain", "spoken"]

LANGUAGES = ("en", "de", "es", "fr", "pt")


def plain(text: str) -> str:
    """Text as words are compared: lower case, no accents, hyphens and underscores as spaces, other marks kept."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    return re.sub(r"[\s\-_‐-―]+", " ", bare).strip()


def _load(name: str) -> dict[str, Any]:
    text = (files("keelmark.ingest.words") / f"{name}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def column_words(table: str) -> dict[str, Any]:
    """Column names of `columns` (a log), `roster` or `day_states`, by language.

    `weak` names count only when nothing else claims the meaning.
    """
    return _load(table)


@cache
def date_words() -> dict[str, Any]:
    """Months, weekdays and joining words."""
    return _load("dates")


@cache
def cell_words(table: str) -> dict[str, str]:
    """Plain word to meaning, for one table: units, sides, versions, states, everyone, sexes, standards, lines."""
    return {plain(word): meaning for meaning, words in _load("cells")[table].items() for word in words}


@cache
def spoken(name: str) -> frozenset[str]:
    """Plain words of one plain list."""
    return frozenset(plain(word) for word in _load("cells")[name])


@cache
def empty_marks() -> frozenset[str]:
    """Marks that people write for `nothing here`, as typed in lower case."""
    return frozenset(_load("cells")["empty"])
