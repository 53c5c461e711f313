"""Rungs told round by round: `1st round 5 of each, 2nd round 10, 3rd 15 ...` is the ladder 5-10-15-..."""

from __future__ import annotations

from keelmark.notation.items import Item

__all__ = ["read_ordinals", "read_rungs_by_round"]

_ENDINGS = {1: ("st", "er", "ere", "a", "o"), 2: ("nd", "e", "eme", "a", "o"), 3: ("rd", "e", "eme", "a", "o")}
_ANY = ("th", "e", "eme", "a", "o")
_ROUND = frozenset(["rounds", "waves", "sets"])
_IDLE = frozenset(
    ["reps_word", "each", "of", "word", "at", "wearing", "in", "for_word", "a", "during", "equals", "colon"]
)
_BETWEEN = frozenset(["comma", "semicolon", "arrow", "and", "then", "slash", "sslash", "newline"])


def read_ordinals(items: list[Item]) -> list[Item]:
    """The items with `1st`, `2nd`, `3ème` as ordinals, where the ending is tied to its number."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item, behind = items[at], items[at + 1] if at + 1 < len(items) else None
        if item.kind == "number" and behind is not None and _is_ending(items, at, behind):
            out.append(Item("nth", item.start, behind.end, item.value, "", ("nth",), item.spaced))
            at += 2
        else:
            out.append(item)
            at += 1
    return out


def _is_ending(items: list[Item], at: int, behind: Item) -> bool:
    """The letters of an ordinal right behind its number: English ones anywhere, others in front of a round."""
    number = int(items[at].value) if items[at].value.is_integer() else 0
    if not number or behind.spaced or behind.kind in ("comma", "newline") or not behind.word:
        return False
    last = number if number < 20 else number % 10
    if behind.word not in _ENDINGS.get(last, _ANY):
        return False
    following = items[at + 2].kind if at + 2 < len(items) else ""
    english = behind.word in ("st", "nd", "rd", "th")
    return following in _ROUND or (english and behind.kind in ("word", "mass", "rounds") and following != "mass")


def read_rungs_by_round(items: list[Item]) -> list[Item]:
    """The items with rounds that each tell their count, from the first on, as one ladder."""
    if not any(item.kind in ("nth", "rounds") for item in items):
        return items
    for at in range(len(items)):
        values, end = _rungs(items, at)
        if values:
            made = Item("commas", items[at].start, items[end - 1].end, tuple(values), "", (), items[at].spaced)
            return [*items[:at], made, *items[end:]]
    return items


def _rungs(items: list[Item], at: int) -> tuple[list[float], int]:
    """The counts of the rounds, counted up from the first, and the place behind the last of them."""
    values: list[float] = []
    here, end = at, at
    while True:
        told = _rung(items, here, len(values) + 1)
        if told is None:
            break
        values.append(told[0])
        here = end = told[1]
        while here < len(items) and items[here].kind in _BETWEEN:
            here += 1
    return (values, end) if len(values) > 2 or (len(values) == 2 and _goes_on(items, end)) else ([], at)


def _goes_on(items: list[Item], at: int) -> bool:
    return any(item.kind in ("ellipsis", "and_so_on") for item in items[at : at + 3])


def _rung(items: list[Item], at: int, number: int) -> tuple[float, int] | None:
    """`2nd round 10 of each`, `round 2: 10`, `3rd 15`: the count of one round and the place behind it."""
    here = at
    while here < len(items) and here < at + 2 and items[here].kind in ("at", "wearing", "of", "during", "word"):
        here += 1
    if here >= len(items):
        return None
    if items[here].kind == "nth" and items[here].value == number:
        here += 1
        while here < len(items) and items[here].kind in _ROUND:
            here += 1
    elif items[here].kind in _ROUND and here + 1 < len(items) and items[here + 1].value == float(number):
        here += 2
    else:
        return None
    while here < len(items) and items[here].kind in ("colon", "equals", "word", "dash", "sdash", "of"):
        here += 1
    if here >= len(items) or items[here].kind != "number":
        return None
    count, here = items[here].value, here + 1
    while here < len(items) and items[here].kind in _IDLE and items[here].kind not in ("colon", "equals"):
        here += 1
    ends = here >= len(items) or items[here].kind in (*_BETWEEN, "ellipsis", "and_so_on", "close", "stop", "colon")
    return (count, here) if ends else None
