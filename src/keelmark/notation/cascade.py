"""Patterns over the kinds of items, in the manner of regular expressions.

A pattern is written with the names of kinds, as in `amount (rounds|waves) of?`; every kind stands for one character, so
that Python's own regular expressions do the matching. The two kinds with which a rule can begin are worked out
beforehand: most places of a text are passed by with one look.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from keelmark.notation.items import Item

__all__ = ["Builder", "Cascade"]


class _Characters(dict[str, str]):
    """The character that stands for each kind; a kind not met before gets the next one."""

    def __missing__(self, kind: str) -> str:
        self[kind] = chr(0xE000 + len(self))
        return self[kind]


_CHARACTERS = _Characters()
_PARTS = re.compile(r"[a-z_]+|\(\?[=!:]|[()|?*+$]|\{[0-9,]+\}")

Builder = Callable[[list[Item]], list[Item] | None]


def _kinds_of(items: list[Item]) -> str:
    known = _CHARACTERS
    return "".join([known[item.kind] for item in items])


def _compiled(pattern: str) -> str:
    return re.sub(r"[a-z_]+", lambda found: _CHARACTERS[found.group()], pattern).replace(" ", "")


Prefix = tuple[str, ...]


class _Prefixes:
    """The first two kinds of every match of a pattern; shorter where a match may end before."""

    def __init__(self, pattern: str) -> None:
        self._parts = _PARTS.findall(pattern)
        self._at = 0

    def all(self) -> set[Prefix]:
        """All of them."""
        return self._choices()

    def _choices(self) -> set[Prefix]:
        found = self._sequence()
        while self._at < len(self._parts) and self._parts[self._at] == "|":
            self._at += 1
            found = found | self._sequence()
        return found

    def _sequence(self) -> set[Prefix]:
        found: set[Prefix] = {()}
        while self._at < len(self._parts) and self._parts[self._at] not in ("|", ")"):
            found = _joined(found, self._repeated(self._atom()))
        return found

    def _atom(self) -> set[Prefix]:
        part = self._parts[self._at]
        self._at += 1
        if part not in ("(", "(?=", "(?!", "(?:"):
            return {()} if part == "$" else {(part,)}
        inner = self._choices()
        self._at += 1
        return {()} if part in ("(?=", "(?!") else inner

    def _repeated(self, once: set[Prefix]) -> set[Prefix]:
        mark = self._parts[self._at] if self._at < len(self._parts) else ""
        if not mark or mark[0] not in "?*+{":
            return once
        self._at += 1
        found = once if mark[0] == "+" or mark.startswith("{1") else once | {()}
        return found if mark == "?" else found | _joined(once, once)


def _joined(before: set[Prefix], behind: set[Prefix]) -> set[Prefix]:
    return {(one + other)[:2] for one in before for other in behind}


def _beginnings(patterns: list[str]) -> str:
    """A look ahead that passes wherever one of the patterns can begin, by the first two kinds."""
    seconds: dict[str, set[str] | None] = {}
    for pattern in patterns:
        for prefix in _Prefixes(pattern).all():
            known = seconds.setdefault(_CHARACTERS[prefix[0]], set()) if prefix else None
            if len(prefix) == 1:
                seconds[_CHARACTERS[prefix[0]]] = None
            elif known is not None:
                known.add(_CHARACTERS[prefix[1]])
    alike: dict[str, list[str]] = {}
    for first, following in seconds.items():
        alike.setdefault("" if following is None else f"[{''.join(sorted(following))}]", []).append(first)
    choices = [f"[{''.join(sorted(firsts))}]{following}" for following, firsts in sorted(alike.items())]
    return f"(?={'|'.join(choices)})"


class Cascade:
    """Rules tried left to right at each place; what a builder makes of a match replaces it.

    Parameters
    ----------
    rules : list of (pattern, builder)
        A builder gets the items matched and gives the new ones, or None to leave them as they are.
    """

    def __init__(self, rules: list[tuple[str, Builder]]) -> None:
        self._builders = [builder for _, builder in rules]
        choices = "|".join(f"(?P<r{n}>{_compiled(pattern)})" for n, (pattern, _) in enumerate(rules))
        self._pattern = re.compile(f"{_beginnings([pattern for pattern, _ in rules])}(?:{choices})")

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
