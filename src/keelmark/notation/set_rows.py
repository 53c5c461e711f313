"""Sets of one movement in a row on one line, and counts that were left open."""

from __future__ import annotations

import itertools

from keelmark.notation.items import Item

__all__ = ["sets_in_a_row", "without_blank"]


def sets_in_a_row(items: list[Item]) -> list[list[Item]]:
    """`squat 3 @ 70 % 3 @ 75 % 2 @ 80 %`: cut before each further count that has a load of its own."""
    if sum(item.kind == "load" for item in items) < 2 or sum(item.kind == "movement" for item in items) > 1:
        return [items]
    cuts = [
        at
        for at in range(1, len(items) - 2)
        if items[at].kind == "amount"
        and items[at - 1].kind == "load"
        and items[at + 1].kind == "at"
        and items[at + 2].kind == "load"
    ] or _pairs_in_a_row(items)
    edges = [0, *cuts, len(items)]
    return [items[start:end] for start, end in itertools.pairwise(edges)]


def _pairs_in_a_row(items: list[Item]) -> list[int]:
    """`squat 5 @ 80 5 @ 90 3 @ 100`: a count and a load, again and again; where each further pair begins."""
    figures = [at for at, item in enumerate(items) if item.kind in ("amount", "load")]
    if len(figures) < 4 or figures[-1] - figures[0] != len(figures) - 1 or len(figures) % 2:
        return []
    counts, loads = figures[::2], figures[1::2]
    paired = all(items[at].kind == "amount" for at in counts)
    return counts[1:] if paired and all(items[at].kind == "load" for at in loads) else []


def without_blank(items: list[Item]) -> list[Item]:
    """`5 x ?`, `3 x __`: a count left open is no count."""
    for at, item in enumerate(items):
        if (
            item.kind in ("query", "blank")
            and at > 1
            and items[at - 1].kind == "times"
            and items[at - 2].kind == "amount"
        ):
            return items[: at - 2] + items[at + 1 :]
    return items
