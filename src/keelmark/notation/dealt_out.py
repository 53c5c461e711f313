"""Movements and figures told in two rows on one line: `run/row/bike: 400/500/1000 m` deals a figure to each."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item

__all__ = ["read_dealt_out"]

_SIGNS = frozenset(["slash", "sslash"])
_UNITS = frozenset(["distance", "energy"])
_FEWEST = 3
"""Two figures beside two names may be one for each standard."""


def read_dealt_out(items: list[Item]) -> list[Item]:
    """The items with each figure of such a row in front of its movement."""
    if sum(item.kind == "movement" for item in items) < _FEWEST:
        return items
    for at, item in enumerate(items):
        if item.kind != "movement" or (at and items[at - 1].kind in _SIGNS):
            continue
        names, here = _row(items, at, "movement")
        if len(names) < _FEWEST:
            continue
        here += here < len(items) and items[here].kind in ("colon", "equals")
        figures, end = _row(items, here, "number")
        if len(figures) != len(names) or (end < len(items) and items[end].kind in ("movement", "times", "percent")):
            continue
        unit = items[end] if end < len(items) and items[end].kind in _UNITS else None
        if end < len(items) and unit is None and items[end].kind in ("mass", "length", "feet", "time"):
            continue
        return [*items[:at], *_dealt(names, figures, unit), *items[end + (unit is not None) :]]
    return items


def _row(items: list[Item], at: int, kind: str) -> tuple[list[Item], int]:
    """Items of a kind joined by slashes from a place on, and the place behind them."""
    found: list[Item] = []
    while at < len(items) and items[at].kind == kind:
        found.append(items[at])
        at += 1
        if at + 1 >= len(items) or items[at].kind not in _SIGNS or items[at + 1].kind != kind:
            break
        at += 1
    return found, at


def _dealt(names: list[Item], figures: list[Item], unit: Item | None) -> list[Item]:
    out: list[Item] = []
    for place, (name, figure) in enumerate(zip(names, figures, strict=True)):
        if place:
            out.append(Item("comma", name.start, name.start, None, "", (), False))
        out.append(replace(figure, start=name.start, end=name.start, spaced=True))
        if unit is not None:
            out.append(replace(unit, start=name.start, end=name.start))
        out.append(name)
    return out
