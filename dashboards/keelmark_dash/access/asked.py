"""What a question to the pages names: the page, the callback, and the athletes, wherever they stand in it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qs

__all__ = ["athletes_named", "page_asked"]

_NAMING = frozenset({"athlete", "athlete_id", "athletes", "who"})


def athletes_named(value: Any, *, naming: bool = False) -> Iterator[str]:
    """Every athlete that a value names: in an address, under a key called so, or in a list under one.

    Parameters
    ----------
    value : anything JSON can say
        The values of a callback's question, or a part of them.
    naming : bool
        Whether the value itself stands where an athlete is named.
    """
    if isinstance(value, dict):
        for key, held in value.items():
            yield from athletes_named(held, naming=key in _NAMING)
    elif isinstance(value, list):
        for held in value:
            yield from athletes_named(held, naming=naming)
    elif isinstance(value, str) and value:
        if naming:
            yield value
        elif "=" in value:
            for key in _NAMING:
                yield from parse_qs(value.lstrip("?")).get(key, [])


def page_asked(question: dict[str, Any]) -> str | None:
    """The path that a question about a page names."""
    for held in question.get("inputs", []):
        if isinstance(held, dict) and held.get("property") == "pathname":
            return str(held.get("value") or "/")
    return None
