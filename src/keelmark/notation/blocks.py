"""Blocks of work that come again: `2 blocks, 4 min rest between` above `1 block = 3 rounds of ...`."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item

__all__ = ["read_blocks"]

_WORDS = frozenset(["blocks", "blocke", "blocken", "bloques", "blocs", "blocos"])
_BEHIND = frozenset(["comma", "colon", "newline", "of", "open", "rest", "with", "sdash", "stop"])


def read_blocks(items: list[Item]) -> list[Item]:
    """The items with so many blocks at the start of a line as rounds, where one of them is told behind."""
    if not any(item.word in _WORDS for item in items) or not any(_defines(items, at) for at in range(len(items))):
        return items
    out: list[Item] = []
    at = 0
    while at < len(items):
        if _defines(items, at):
            at += 3 if items[at].kind == "number" else 2
            continue
        item = items[at]
        counted = bool(out) and out[-1].kind == "number" and (len(out) == 1 or out[-2].kind in ("newline", "colon"))
        behind = items[at + 1].kind if at + 1 < len(items) else "newline"
        if item.word in _WORDS and counted and behind in _BEHIND:
            item = replace(item, kind="rounds", word="rounds", roles=("rounds",))
        out.append(item)
        at += 1
    return out


def _defines(items: list[Item], at: int) -> bool:
    """`1 block = 3 rounds of ...`, `block = ...` at the start of a line."""
    if at and items[at - 1].kind != "newline":
        return False
    trio = items[at : at + 3] if items[at].kind == "number" and items[at].value == 1 else items[at : at + 2]
    return len(trio) > 1 and trio[-2].kind == "part" and trio[-1].kind == "equals"
