"""Times on the clock that go on: `at 2:00, 4:00, 6:00 and so on` is every two minutes."""

from __future__ import annotations

import itertools

from keelmark.notation.items import Item

__all__ = ["read_clock_series"]

_ON = frozenset(["and_so_on", "ellipsis"])
_BETWEEN = frozenset(["comma", "and", "slash", "sdash", "dash"])
_BEFORE = frozenset(
    ["newline", "stop", "semicolon", "comma", "open", "colon", "minute", "time", "at", "for_word", "plus"]
)
_SHORTEST = 30.0


def read_clock_series(items: list[Item]) -> list[Item]:
    """The items with each series of evenly spaced times that goes on put as one time that comes again and again."""
    if not any(item.kind in _ON for item in items):
        return items
    out: list[Item] = []
    at = 0
    while at < len(items):
        times, end = _series(items, at)
        if times:
            if out and out[-1].kind in ("at", "minute"):
                out.pop()
            out += _every(items, at, end, times)
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _series(items: list[Item], at: int) -> tuple[list[float], int]:
    """Times in seconds and the place behind them; nothing where they are not even or do not go on."""
    minutes = at > 0 and items[at - 1].kind == "minute"
    if items[at].kind != "clock" and not (minutes and items[at].kind == "number"):
        return [], at
    if at and items[at - 1].kind not in _BEFORE:
        return [], at
    kind, factor = items[at].kind, 60.0 if minutes else 1.0
    times, here, goes_on = [items[at].value * factor], at + 1, False
    while here < len(items):
        item = items[here]
        if item.kind in _ON:
            goes_on, here = True, here + 1
            break
        if item.kind == kind:
            times.append(item.value * factor)
        elif item.kind not in _BETWEEN:
            break
        here += 1
    steps = {later - before for before, later in itertools.pairwise(times)}
    even = len(steps) == 1 and min(steps) >= _SHORTEST and times[0] in (0.0, *steps)
    ends = here >= len(items) or items[here].kind in ("colon", "comma", "newline", "close", "sdash", "number", "stop")
    return (times, here) if goes_on and even and ends else ([], at)


def _every(items: list[Item], at: int, end: int, times: list[float]) -> list[Item]:
    start, behind, step = items[at].start, items[end - 1].end, times[1] - times[0]
    made = [
        Item("every", start, behind, None, "every", ("every",), True),
        Item("clock", start, behind, step, "", (), True),
    ]
    if times[0]:
        made += [
            Item("start_at", start, behind, None, "start at", ("start_at",), True),
            Item("clock", start, behind, step, "", (), True),
        ]
    return made
