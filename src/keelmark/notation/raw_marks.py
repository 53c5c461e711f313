"""Marks that are no figures of work, taken out before figures are read: paces, times of day, numbers of a list."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.items import Item

__all__ = ["read_marks"]

_EARLIEST = 5 * 3600.0 / 60
"""A time of day, which a clock item keeps as minutes and seconds: five in the morning."""


def read_marks(items: list[Item]) -> list[Item]:
    """The items with `4:30/km`, `18:10` at the start of a line and `1) ... 2) ...` told apart from figures."""
    kinds = {item.kind for item in items}
    if "clock" in kinds:
        items = _without_times_of_day(_with_paces(items))
    if not kinds.isdisjoint(("close", "stop", "sdash")):
        items = _with_enumerators(items)
    return items


def _with_paces(items: list[Item]) -> list[Item]:
    """`4:30/km`, `1:55 / 500 m`, `2:05 min/km`: how fast, not how long."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        end = _pace_end(items, at) if items[at].kind == "clock" else 0
        if end:
            out.append(Item("pace", items[at].start, items[end - 1].end, None, "", ("pace",), items[at].spaced))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _pace_end(items: list[Item], at: int) -> int:
    here = at + 1
    if here < len(items) and items[here].kind == "time":
        here += 1
    if here >= len(items) or items[here].kind not in ("slash", "sslash", "per"):
        return 0
    here += 1
    if here < len(items) and items[here].kind == "number":
        here += 1
    if here < len(items) and (items[here].kind == "distance" or items[here].word in ("km", "k", "mile", "mi", "m")):
        return here + 1
    return 0


def _without_times_of_day(items: list[Item]) -> list[Item]:
    """`0:00 run` / `6:00 bench press`: when each part begins, where at least two lines begin so and the times rise."""
    places = [at for at, item in enumerate(items) if item.kind == "clock" and _starts_line(items, at)]
    times = [items[at].value for at in places]
    rising = len(times) > 1 and all(one < other for one, other in itertools.pairwise(times))
    if not rising or not (times[0] == 0 or (times[0] >= _EARLIEST and times[-1] < 24 * 60)):
        return items
    chosen = set(places)
    spans = {
        at for at in places if [item.kind for item in items[at + 1 : at + 3]] in (["dash", "clock"], ["sdash", "clock"])
    }
    return [replace(item, kind="timespan") if at in chosen - spans else item for at, item in enumerate(items)]


def _starts_line(items: list[Item], at: int) -> bool:
    return at == 0 or items[at - 1].kind == "newline"


def _with_enumerators(items: list[Item]) -> list[Item]:
    """`(1) ... (2) ...`, `1. ... 2. ...` in one line: numbers that count the items of a list."""
    places = _enumerated(items)
    if not places:
        return items
    out: list[Item] = []
    skipped = -1
    for at, item in enumerate(items):
        if at in places:
            out.append(replace(item, kind="enumerator"))
            skipped = at + 1
        elif at != skipped and not (item.kind == "open" and at + 1 in places):
            out.append(item)
    return out


def _enumerated(items: list[Item]) -> set[int]:
    """Places of the numbers of lists within a line; each list counts up from one and has at least two."""
    found: set[int] = set()
    run: list[int] = []
    for at, item in enumerate(items):
        if item.kind == "newline":
            found.update(run if len(run) > 1 else [])
            run = []
        elif item.kind == "number" and item.value == len(run) + 1 and _has_mark(items, at, inside=bool(run)):
            run.append(at)
    found.update(run if len(run) > 1 else [])
    found.update(_numbered_lines(items))
    return found


def _numbered_lines(items: list[Item]) -> list[int]:
    """`1 - row`, `2 - burpees`: lines that begin with one number after the other and a dash."""
    run: list[int] = []
    for at, item in enumerate(items):
        if item.kind != "number" or not (at == 0 or items[at - 1].kind == "newline") or item.value != len(run) + 1:
            continue
        if at + 2 < len(items) and items[at + 1].kind == "sdash" and items[at + 2].kind not in ("number", "ellipsis"):
            run.append(at)
    return run if len(run) > 1 else []


def _has_mark(items: list[Item], at: int, inside: bool) -> bool:
    if at + 2 >= len(items) or items[at + 1].spaced or items[at + 1].kind not in ("close", "stop"):
        return False
    if at and items[at - 1].kind in ("times", "dash", "slash", "at", "plus", "ellipsis", "to"):
        return False
    bracketed = at > 0 and items[at - 1].kind == "open"
    if items[at + 1].kind == "close" and not bracketed and _in_bracket(items, at):
        return False
    return bracketed or (items[at + 2].spaced and items[at + 2].kind != "newline")


def _in_bracket(items: list[Item], at: int) -> bool:
    for here in range(at - 1, max(-1, at - 12), -1):
        if items[here].kind in ("close", "newline"):
            return False
        if items[here].kind == "open":
            return True
    return False
