"""Times that are no figures of work: paces, times of day, tempos, and seconds of work and rest written as a pair."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache

from keelmark.notation.items import Item
from keelmark.notation.trade import trade

__all__ = ["read_time_marks"]


def read_time_marks(items: list[Item], kinds: set[str], words: set[str]) -> list[Item]:
    """The items with `4:30/km`, `18:10` at the start of a line, `3-0-1-0` and `20/10 x 8` told apart from figures."""
    if "number" in kinds and (
        not words.isdisjoint(("am", "pm")) or any(item.kind == "number" and item.value in _AND_A_HALF for item in items)
    ):
        items = _without_hours(items)
    if "clock" in kinds:
        items = _without_times_of_day(_with_paces(items))
    if "work" in kinds and not kinds.isdisjoint(("off", "rest")):
        items = _with_bare_seconds(items)
    if "slash" in kinds:
        items = _with_interval_pairs(items)
    return _with_tempos(items, "tempo" in kinds) if "dash" in kinds else items


_AND_A_HALF = (1.25, 1.5)


_EARLIEST = 5 * 3600.0 / 60
"""A time of day, which a clock item keeps as minutes and seconds: five in the morning."""


def _without_hours(items: list[Item]) -> list[Item]:
    """`6am`, `5 pm`: when people meet; `1¼ front squats`: a way to squat."""
    items = [
        replace(item, kind="manner")
        if item.kind == "number"
        and item.end - item.start == 2
        and item.value in (1.25, 1.5)
        and not _has_unit(items, at + 1)
        else item
        for at, item in enumerate(items)
    ]
    places = {at for at in range(1, len(items)) if items[at].word in ("am", "pm") and items[at - 1].kind == "number"}
    if not places:
        return items
    return [
        replace(item, kind="word") if at + 1 in places else item
        for at, item in enumerate(items)
        if at not in places or item.kind == "word"
    ]


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


def _with_interval_pairs(items: list[Item]) -> list[Item]:
    """`20/10 x 8`, `8 x 20/10`, `3 rounds 40/20: ...`: seconds of work and rest."""
    known = _pairs_known()
    out: list[Item] = []
    at = 0
    while at < len(items):
        if items[at].kind != "number":
            out.append(items[at])
            at += 1
            continue
        kinds = [item.kind for item in items[at : at + 6]]
        here = at + 2 if kinds[:2] == ["number", "times"] else at
        pair = _pair_of_seconds(items, here, known)
        if pair and here == at and kinds[3:5] == ["times", "number"] and not _has_unit(items, at + 5):
            out.append(_interval_item(items, at, at + 5, int(items[at + 4].value), pair))
            at += 5
        elif pair and here > at and not _has_unit(items, here + 3):
            out.append(_interval_item(items, at, here + 3, int(items[at].value), pair))
            at = here + 3
        elif pair and _names_circuit(items, at):
            out.append(_interval_item(items, at, at + 3, 0, pair))
            at += 3
        else:
            out.append(items[at])
            at += 1
    return out


def _with_bare_seconds(items: list[Item]) -> list[Item]:
    """`20 on / 10 off`: seconds, though nobody says so."""
    known, out, at = _pairs_known(), list[Item](), 0
    while at < len(items):
        kinds = [item.kind for item in items[at : at + 5]]
        told = (
            len(kinds) == 5 and kinds[:2] == ["number", "work"] and kinds[3] == "number" and kinds[4] in ("off", "rest")
        )
        if told and (items[at].value, items[at + 3].value) in known:
            pair = (items[at].value, items[at + 3].value)
            out.append(_interval_item(items, at, at + 5, 0, pair))
            at += 5
        else:
            out.append(items[at])
            at += 1
    return out


@cache
def _pairs_known() -> frozenset[tuple[float, float]]:
    return frozenset((float(work), float(rest)) for work, rest in trade()["interval_pairs"]["seconds"])


def _pair_of_seconds(items: list[Item], at: int, known: frozenset[tuple[float, float]]) -> tuple[float, float] | None:
    if at + 2 >= len(items) or [item.kind for item in items[at : at + 3]] != ["number", "slash", "number"]:
        return None
    pair = (items[at].value, items[at + 2].value)
    return pair if pair in known else None


def _has_unit(items: list[Item], at: int) -> bool:
    return at < len(items) and items[at].kind in (
        "mass",
        "length",
        "feet",
        "distance",
        "energy",
        "percent",
        "slash",
        "times",
    )


def _names_circuit(items: list[Item], at: int) -> bool:
    """A pair of seconds behind rounds, a circuit or a tabata, with names and no counts behind it."""
    before = [item.kind for item in items[max(0, at - 3) : at]]
    after = next(
        (n for n in range(at + 3, len(items)) if items[n].kind not in ("colon", "comma", "newline", "of", "bullet")), 0
    )
    headed = not {"rounds", "interval", "work"}.isdisjoint(before)
    if before[-1:] == ["rounds"] and items[at + 3 : at + 4] and items[at + 3].kind in ("comma", "newline"):
        return "number" not in before
    return (
        headed
        and bool(after)
        and items[after].kind == "movement"
        and items[at + 3].kind in ("colon", "comma", "newline")
    )


def _interval_item(items: list[Item], at: int, end: int, sets: int, pair: tuple[float, float]) -> Item:
    value = (sets or None, pair[0], pair[1])
    return Item("interval_figure", items[at].start, items[end - 1].end, value, "", (), items[at].spaced)


def _with_tempos(items: list[Item], named: bool) -> list[Item]:
    """`5-1-X-1`, `3-0-1-0`, and `3-1-1` on a line that speaks of tempo: how fast, not how many."""
    out: list[Item] = []
    at, told = 0, False
    while at < len(items):
        item = items[at]
        told = named and (item.kind == "tempo" or (told and item.kind != "newline"))
        end = _tempo_end(items, at, told) if item.kind == "number" else 0
        if end:
            out.append(Item("tempo_mark", item.start, items[end - 1].end, None, "", ("tempo",), item.spaced))
            at, told = end, False
        else:
            out.append(item)
            at += 1
    return out


def _tempo_end(items: list[Item], at: int, told: bool) -> int:
    """The place after three or four small figures tied by dashes; an X, a nought or the word tempo makes them one."""
    parts = 0
    sure = told
    here = at
    while here < len(items) and parts < 5:
        item = items[here]
        if item.kind == "number" and item.value <= 9 and item.value.is_integer():
            sure = sure or item.value == 0
        elif item.kind == "times" and parts:
            sure = True
        else:
            return 0
        parts += 1
        here += 1
        if here + 1 >= len(items) or items[here].kind != "dash" or items[here].spaced or items[here + 1].spaced:
            break
        here += 1
    if at and items[at - 1].kind in ("dash", "times") and not items[at].spaced:
        return 0
    return here if sure and parts in (3, 4) else 0
