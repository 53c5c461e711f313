"""Patterns over the kinds of items, in the manner of regular expressions.

A pattern is written with the names of kinds, as in `amount (rounds|waves) of?`; every kind stands for one character, so
that Python's own regular expressions do the matching. The kinds with which a rule can begin are worked out beforehand:
most places of a text are passed by with one look.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from keelmark.notation.items import Item

__all__ = ["Builder", "Cascade"]

_CHARACTERS: dict[str, str] = {}
_PARTS = re.compile(r"[a-z_]+|\(\?[=!:]|[()|?*+$]|\{[0-9,]+\}")

Builder = Callable[[list[Item]], list[Item] | None]


def _character(kind: str) -> str:
    found = _CHARACTERS.get(kind)
    if found is None:
        found = _CHARACTERS[kind] = chr(0xE000 + len(_CHARACTERS))
    return found


def _kinds_of(items: list[Item]) -> str:
    known = _CHARACTERS
    return "".join([known.get(item.kind) or _character(item.kind) for item in items])


def _compiled(pattern: str) -> str:
    return re.sub(r"[a-z_]+", lambda found: _character(found.group()), pattern).replace(" ", "")


class _Beginnings:
    """The kinds that a match of a pattern can begin with."""

    def __init__(self, pattern: str) -> None:
        self._parts = _PARTS.findall(pattern)
        self._at = 0

    def kinds(self) -> set[str]:
        """All of them."""
        return self._choices()[0]

    def _choices(self) -> tuple[set[str], bool]:
        kinds, empty = self._sequence()
        while self._at < len(self._parts) and self._parts[self._at] == "|":
            self._at += 1
            more, also = self._sequence()
            kinds, empty = kinds | more, empty or also
        return kinds, empty

    def _sequence(self) -> tuple[set[str], bool]:
        kinds: set[str] = set()
        open_start = True
        while self._at < len(self._parts) and self._parts[self._at] not in ("|", ")"):
            part = self._parts[self._at]
            self._at += 1
            if part in ("(", "(?=", "(?!", "(?:"):
                inner, empty = self._choices()
                self._at += 1
                empty = empty or part in ("(?=", "(?!")
                inner = set() if part in ("(?=", "(?!") else inner
            elif part == "$":
                inner, empty = set(), True
            else:
                inner, empty = {part}, False
            if self._at < len(self._parts) and self._parts[self._at][0] in "?*+{":
                empty = empty or self._parts[self._at] != "+"
                self._at += 1
            if open_start:
                kinds |= inner
            open_start = open_start and empty
        return kinds, open_start


class Cascade:
    """Rules tried left to right at each place; what a builder makes of a match replaces it.

    Parameters
    ----------
    rules : list of (pattern, builder)
        A builder gets the items matched and gives the new ones, or None to leave them as they are.
    """

    def __init__(self, rules: list[tuple[str, Builder]]) -> None:
        self._builders = [builder for _, builder in rules]
        first = "".join(sorted({_character(kind) for pattern, _ in rules for kind in _Beginnings(pattern).kinds()}))
        choices = "|".join(f"(?P<r{n}>{_compiled(pattern)})" for n, (pattern, _) in enumerate(rules))
        self._pattern = re.compile(f"(?=[{first}])(?:{choices})")

    def run(self, items: list[Item]) -> list[Item]:
        """The items with every match replaced."""
        kinds = _kinds_of(items)
        found = self._pattern.search(kinds)
        if found is None:
            return items
        out: list[Item] = []
        at = 0
        while found is not None:
            start, end = found.span()
            builder = self._builders[int((found.lastgroup or "r0")[1:])]
            made = builder(items[start:end]) if end > start else None
            out.extend(items[at:start])
            if made is None:
                out.append(items[start])
                at = start + 1
            else:
                out.extend(made)
                at = end
            found = self._pattern.search(kinds, at)
        out.extend(items[at:])
        return out
