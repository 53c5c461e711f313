"""Kinds of values that a page may send: whether a value is of a kind, and what the kind is called."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

__all__ = [
    "ADDRESS", "CHOICE", "COUNT", "DAY", "FACTS", "FEW", "FLAG", "LONG_TEXT", "NUMBER", "PAPER", "ROWS_ASKED", "SHOWN",
    "TEXT", "TYPED_DAYS", "UPLOAD", "VERSIONS", "WEEK", "WRITTEN", "Kind", "each", "facts", "or_nothing", "whole",
]  # fmt: skip

_LONGEST, _LONGEST_TEXT, _LARGEST = 4_000, 400_000, 10**12
_MANY_WEEKS = 520
_FIRST_YEAR, _LAST_YEAR = 1900, 2199
_WEEK = re.compile(r"\d{4}-W\d{2}")
_UPLOAD = re.compile(r"data:[\w.+-]*/?[\w.+-]*(;[\w.=+ -]*)*,[A-Za-z0-9+/]*={0,2}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Kind:
    """What a value has to be: the test, and words for whoever is refused."""

    holds: Callable[[Any], bool] = field(repr=False)
    wanted: str


def _is_text(value: Any, longest: int = _LONGEST) -> bool:
    return isinstance(value, str) and len(value) <= longest


def _is_whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _LARGEST


def _is_number(value: Any) -> bool:
    if isinstance(value, str) and len(value) <= 40:
        try:
            value = float(value) if value.strip() else 0
        except ValueError:
            return False
    if not isinstance(value, (int, float)) or isinstance(value, bool) or abs(value) > _LARGEST:
        return False
    return math.isfinite(value)


def _is_day(value: Any) -> bool:
    if value == "":
        return True
    if not isinstance(value, str) or len(value) > 40:
        return False
    try:
        return _FIRST_YEAR <= date.fromisoformat(value[:10]).year <= _LAST_YEAR
    except ValueError:
        return False


def _is_week(value: Any) -> bool:
    if value in ("", "planned"):
        return True
    if not isinstance(value, str) or not _WEEK.fullmatch(value):
        return False
    try:
        return _FIRST_YEAR <= date.fromisocalendar(int(value[:4]), int(value[6:]), 1).year <= _LAST_YEAR
    except ValueError:
        return False


def _is_upload(value: Any) -> bool:
    # Looked at by its head and its tail: a pattern over 50 MB takes a second.
    if not isinstance(value, str):
        return False
    head, comma, packed = value[:300].partition(",")
    return bool(comma) and bool(_UPLOAD.fullmatch(f"{head},")) and len(value.partition(",")[2]) % 4 == 0 and (
        bool(_UPLOAD.fullmatch(f"data:,{packed}")) or len(value) > 300
    )  # fmt: skip


def _are_facts(value: Any, *needed: str) -> bool:
    simple = (str, bool, int, float, type(None))
    return (
        isinstance(value, dict)
        and len(value) <= 40
        and all(
            isinstance(one, simple) and (not isinstance(one, str) or len(one) <= _LONGEST) for one in value.values()
        )
        and all(_is_text(value.get(key)) for key in needed)
    )


def _is_shown(value: Any) -> bool:
    if not isinstance(value, dict) or not _is_text(value.get("path")):
        return False
    return all(_are_facts(value[key]) for key in ("address", "defaults") if key in value) and "address" in value


def _are_versions(value: Any) -> bool:
    return isinstance(value, dict) and all(
        isinstance(texts, dict) and all(_is_text(text, _LONGEST_TEXT) for text in texts.values())
        for texts in value.values()
    )


def _are_typed_days(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(row, list) and len(row) == 3 and all(map(_is_text, row)) and row[1] != "" and _is_day(row[1])
        for row in value
    )


def _are_rows_asked(value: Any) -> bool:
    if not isinstance(value, dict) or not all(_is_whole(value.get(key)) for key in ("startRow", "endRow")):
        return False
    chosen = value.get("filterModel")
    return chosen is None or (isinstance(chosen, dict) and all(_are_facts(one) for one in chosen.values()))


COUNT = Kind(_is_whole, "a whole number from 0")
FLAG = Kind(lambda value: isinstance(value, bool), "yes or no")
TEXT = Kind(_is_text, f"a text of at most {_LONGEST:,} signs")
LONG_TEXT = Kind(lambda value: _is_text(value, _LONGEST_TEXT), f"a text of at most {_LONGEST_TEXT:,} signs")
NUMBER = Kind(_is_number, "a number")
FEW = Kind(
    lambda value: _is_number(value) and 0 <= float(value or 0) <= _MANY_WEEKS, f"a number from 0 to {_MANY_WEEKS}"
)
DAY = Kind(_is_day, f"a day such as 2026-03-02, from {_FIRST_YEAR} to {_LAST_YEAR}")
WEEK = Kind(_is_week, "a week such as 2026-W10")
CHOICE = Kind(lambda value: isinstance(value, str) and value.isascii() and value.isdecimal() and len(value) < 9,
              "the number of a choice")  # fmt: skip
UPLOAD = Kind(_is_upload, "a file as a browser sends it")
ADDRESS = Kind(lambda value: isinstance(value, dict | str) and (isinstance(value, str) or _are_facts(value)), "an id")
WRITTEN = Kind(lambda value: _are_facts(value, "said"), "what was written, in words")
SHOWN = Kind(_is_shown, "what the page shows")
VERSIONS = Kind(_are_versions, "versions with their sessions")
TYPED_DAYS = Kind(_are_typed_days, "rows of athlete, day and state")
PAPER = Kind(
    lambda value: _are_facts(value, "week", "athlete") and isinstance(value.get("squad"), bool), "which paper is shown"
)
ROWS_ASKED = Kind(_are_rows_asked, "the first and the last row")
FACTS = Kind(_are_facts, "names with a text each")


def facts(*needed: str) -> Kind:
    """A record that holds a text under each of these names."""
    return Kind(lambda value: _are_facts(value, *needed), "names with a text each: " + ", ".join(needed))


def or_nothing(kind: Kind) -> Kind:
    """That kind, or an empty field."""
    return Kind(lambda value: value is None or kind.holds(value), f"{kind.wanted}, or nothing")


def each(kind: Kind, most: int = 2_000, least: int = 0) -> Kind:
    """A list of that kind."""
    return Kind(
        lambda value: isinstance(value, list) and least <= len(value) <= most and all(map(kind.holds, value)),
        f"a list, each {kind.wanted}",
    )


def whole(pattern: str, wanted: str) -> Kind:
    """A text that follows a pattern throughout."""
    compiled = re.compile(pattern, re.ASCII)
    return Kind(lambda value: _is_text(value) and bool(compiled.fullmatch(value)), wanted)
