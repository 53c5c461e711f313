"""What words around the figures of a score do to them: sums left out, misses, rounds short of some, rough counts."""

from __future__ import annotations

import re
from dataclasses import replace

from keelmark.notation.items import Item
from keelmark.notation.score_kinds import Score
from keelmark.notation.trade import trade

__all__ = ["as_clock", "is_rough", "short_of", "without_misses"]

_CLOCK = re.compile(r"\s*([0-9]{1,2})[.,]([0-5][0-9])\s*(?:min|h)?\.?\s*")


def as_clock(text: str) -> float:
    """`14.30` as seconds, for a score that is a time; nought where it is none."""
    found = _CLOCK.fullmatch(text)
    return 60.0 * int(found[1]) + int(found[2]) if found else 0.0


def is_rough(items: list[Item]) -> bool:
    """`about 7 rounds`, `7 rounds and a bit`: a count that nobody can be sure of."""
    return any(item.kind == "about" or "about" in item.roles or "vague" in item.roles for item in items)


def short_of(items: list[Item]) -> Score | None:
    """`8 rounds minus 3 squats`, `3 short of 8 rounds`: so many rounds but the last few of the last."""
    numbers = [(at, item.value) for at, item in enumerate(items) if item.kind == "number"]
    if len(numbers) != 2:
        return None
    first, second = numbers
    rounds_behind = any("rounds" in item.roles for item in items[second[0] + 1 : second[0] + 3])
    left = next((at for at, item in enumerate(items) if "remaining" in item.roles or item.word in _SHY), None)
    if left is not None and first[0] < left < second[0] and rounds_behind:
        return Score("rounds", rounds=int(second[1]), reps=-first[1])
    place = next((at for at, item in enumerate(items) if "less" in item.roles or item.word in _MINUS), None)
    if place is None or not first[0] < place < second[0]:
        return None
    if not any("rounds" in item.roles for item in items[: second[0]]):
        return None
    return Score("rounds", rounds=int(first[1]), reps=-second[1])


_SHY = frozenset(["shy", "off", "vor"])
_MINUS = frozenset(["minus", "menos", "moins", "weniger"])


def _marked_as_missed(items: list[Item]) -> set[int]:
    """Places of figures with a mark behind them, `165(f)`, `55x miss`, and of the marks."""
    found: set[int] = set()
    if sum(item.kind == "number" for item in items) < 2:
        return found
    for at, item in enumerate(items):
        here = at + 1
        while here < len(items) and items[here].kind in ("times", "open") and item.kind == "number":
            here += 1
        mark = items[here] if here < len(items) else None
        lettered = mark is not None and mark.kind == "letter" and mark.word == "f" and not mark.spaced
        behind = items[here + 1].kind if here + 1 < len(items) else ""
        said = mark is not None and "deduct" in mark.roles and here > at + 1 and behind != "number"
        if item.kind == "number" and (lettered or said):
            found.update(range(at, here + 1 + (here + 1 < len(items) and items[here + 1].kind == "close")))
    return found


def without_misses(items: list[Item]) -> tuple[list[Item], int]:
    """The items without each figure that was missed, `125, missed 130`, and how many were."""
    last = _last_missed(items) if any("deduct" in item.roles for item in items) else None
    if last is not None:
        return last
    dropped = _marked_as_missed(items)
    for at, item in enumerate(items):
        if "deduct" in item.roles and at not in dropped:
            dropped |= {at, *_figure_missed(items, at)}
    kept = [item for at, item in enumerate(items) if at not in dropped]
    return kept, sum(items[at].kind == "number" for at in dropped)


def _figure_missed(items: list[Item], at: int) -> list[int]:
    """The figure beside a word for a miss, and the count of the misses in `two misses at 65`."""
    behind = at + 1
    while behind < len(items) and (items[behind].kind in ("word", "at", "of") or "at" in items[behind].roles):
        behind += 1
    if behind < len(items) and items[behind].kind == "number":
        counted = at - 1 if behind > at + 1 and at and items[at - 1].kind == "number" else None
        told = counted is not None and (at < 2 or items[at - 2].kind in ("comma", "semicolon", "open"))
        return [*range(at + 1, behind + 1), *([counted] if told and counted is not None else [])]
    return [n for n in (at - 1,) if n >= 0 and items[n].kind == "number"]


def _last_missed(items: list[Item]) -> tuple[list[Item], int] | None:
    """`80, 85, 90 (last one missed)`, `missed the last two`: the last figures of the list go."""
    lasts = trade()["ends_of_sets"]["last"]
    at = next((at for at, item in enumerate(items) if "deduct" in item.roles), 0)
    near = range(max(0, at - 4), min(len(items), at + 5))
    last = next((n for n in near if items[n].word in lasts or "last_set" in items[n].roles), None)
    if last is None:
        return None
    start = min(at, last)
    several = next(
        (i.value for i in items[last + 1 : last + 2] if i.kind == "number" and i.value in (1.0, 2.0, 3.0)), 1.0
    )
    ahead = [n for n, item in enumerate(items[:start]) if item.kind in ("number", "commas", "dots")]
    if not ahead or any("reps_word" in item.roles for item in items[start:]):
        return None
    count, kept = int(several), items[: _end_of_list(items, start)]
    for n in reversed(ahead):
        if kept[n].kind != "number":
            values = list(kept[n].value)
            if len(values) <= count:
                return None
            kept[n] = replace(kept[n], value=type(kept[n].value)(values[: len(values) - count]))
            return kept, int(several)
        if count:
            kept, count = kept[:n] + kept[n + 1 :], count - 1
    return (kept, int(several)) if not count and len(ahead) > several else None


def _end_of_list(items: list[Item], start: int) -> int:
    """Where the list ends in front of a remark: its bracket and its words go with it."""
    while start and items[start - 1].kind in ("open", "comma", "sdash", "semicolon", "word"):
        start -= 1
    return start
