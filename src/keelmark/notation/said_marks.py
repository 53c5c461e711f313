"""Ways of saying that hide figures: `AMRAP 16 -> 3 burpees`, `goes 20, 16, 12`, `sets 1-3: 5 reps @ 65 %`."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.items import Item

__all__ = ["read_said"]

_CLOCKS = frozenset(["amrap", "emom", "cap", "tabata", "rounds", "time", "close"])
_GOES = frozenset(["goes", "go", "going", "geht", "gehen", "va", "van", "vai", "vao", "vont"])
_BEFORE_GOES = frozenset(["movement", "mass", "height", "close"])
_UNTIL_FIGURE = frozenset(["colon", "comma", "at", "equals", "close", "sdash", "of", "open"])
_AFTER_RUN = frozenset(["newline", "comma", "semicolon", "then", "stop", "sslash", "slash", "and", "close"])


def read_said(items: list[Item], kinds: set[str], words: set[str]) -> list[Item]:
    """The items with such ways of saying made plain.

    Parameters
    ----------
    items : list of Item
        As they were told apart, before figures are read.
    kinds, words : set of str
        Those of the items.
    """
    if "body_weight" in kinds and "slash" in kinds:
        items = _with_fractions(items)
    if "each" in kinds and "distance" in kinds:
        items = [_each_so_far(items, at) for at in range(len(items))]
    if "letter" in kinds and "p" in words:
        items = _with_partners(items)
    if "arrow" in kinds and not kinds.isdisjoint(("amrap", "emom", "cap")):
        items = [_clock_before_arrow(items, at) for at in range(len(items))]
    if not words.isdisjoint(_GOES):
        items = [_goes(items, at) for at in range(len(items))]
    if "tabata" in kinds and "times" in kinds:
        items = [_rounds_of_each(items, at) for at in range(len(items))]
    if ("sets" in kinds and "colon" in kinds) or ("sets" in kinds and "at" in kinds):
        items = _with_numbered_sets(items)
    return items


def _with_fractions(items: list[Item]) -> list[Item]:
    """`1/2 BW`: half the body mass, for the heavier standard stands first in a pair."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        kinds = [item.kind for item in items[at : at + 4]]
        tight = at + 2 < len(items) and not items[at + 1].spaced and not items[at + 2].spaced
        if kinds == ["number", "slash", "number", "body_weight"] and tight:
            above, below = items[at].value, items[at + 2].value
            if 0 < above < below <= 4 and float(below).is_integer() and float(above).is_integer():
                out.append(replace(items[at], end=items[at + 2].end, value=above / below))
                at += 3
                continue
        out.append(items[at])
        at += 1
    return out


_CLAUSE = frozenset(["comma", "newline", "semicolon", "stop", "word", "colon", "then", "and", "sdash", "open"])


def _each_so_far(items: list[Item], at: int) -> Item:
    """`3 km row, but each 500 m get off: 5 burpees`: as often as every 500 m."""
    item = items[at]
    kinds = [other.kind for other in items[at + 1 : at + 4]]
    ahead = at > 0 and items[at - 1].kind in _CLAUSE
    if item.kind != "each" or item.word not in _EACH_WORDS or kinds[:2] != ["number", "distance"] or not ahead:
        return item
    before = any(items[n].kind == "distance" for n in range(max(0, at - 12), at))
    behind = items[at + 3 : at + 16]
    counted = any(one.kind == "number" and two.kind == "movement" for one, two in itertools.pairwise(behind))
    if before and counted and kinds[2:] != ["movement"]:
        return replace(item, kind="every", roles=("every",))
    return item


_EACH_WORDS = frozenset(["each", "jede", "jeden", "alle", "cada", "chaque", "tous les", "a cada"])


def _with_partners(items: list[Item]) -> list[Item]:
    """`P1 rows while P2 holds a plank`: two people, no parts of the day."""
    places = [at for at in range(len(items) - 1) if _is_partner(items, at)]
    if {items[at + 1].value for at in places} < {1.0, 2.0} or len(places) < 2:
        return items
    out: list[Item] = []
    for at, item in enumerate(items):
        if at in places:
            out.append(Item("team", item.start, items[at + 1].end, None, "partner", ("team",), item.spaced))
        elif at - 1 not in places:
            out.append(item)
    return out


def _is_partner(items: list[Item], at: int) -> bool:
    tight = items[at + 1].kind == "number" and not items[at + 1].spaced and items[at + 1].value in (1.0, 2.0, 3.0, 4.0)
    behind = items[at + 2].kind if at + 2 < len(items) else ""
    return items[at].kind == "letter" and items[at].word == "p" and tight and behind in ("movement", "word", "max")


def _clock_before_arrow(items: list[Item], at: int) -> Item:
    """`AMRAP 16 -> 3 burpees`: the arrow parts the clock from the work."""
    item = items[at]
    ahead = [other.kind for other in items[max(0, at - 2) : at]]
    if item.kind == "arrow" and ahead[-1:] == ["number"] and not _CLOCKS.isdisjoint(ahead):
        return replace(item, kind="colon")
    return item


def _goes(items: list[Item], at: int) -> Item:
    """`swings go 20, 16, 12`: the word says nothing."""
    item = items[at]
    counted = at + 1 < len(items) and items[at + 1].kind in ("number", "commas")
    if item.word in _GOES and at and items[at - 1].kind in _BEFORE_GOES and counted:
        return replace(item, kind="word", roles=())
    return item


def _rounds_of_each(items: list[Item], at: int) -> Item:
    """`Tabata, 8x each`: so many rounds."""
    each = at + 1 < len(items) and "each" in items[at + 1].roles
    if items[at].kind == "times" and each and at and items[at - 1].kind == "number":
        return replace(items[at], kind="rounds", word="rounds", roles=("rounds",))
    return items[at]


def _with_numbered_sets(items: list[Item]) -> list[Item]:
    """`sets 1-3: 5 reps @ 65 %, sets 4-6: 3 reps @ 75 %`: a rung and a load for each set."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        runs, end = _runs(items, at)
        several = len(runs) > 1 and any(run.last > run.first for run in runs)
        if not several or (out and out[-1].kind in ("number", "times")):
            out.append(items[at])
            at += 1
            continue
        out += _as_ladder(runs, items[at].start, items[end - 1].end)
        at = end
    return out


class _Run:
    """Some sets: their first and last number, the reps, and the load with its unit."""

    def __init__(self, first: int, last: int, reps: Item, load: Item | None, unit: Item | None) -> None:
        self.first, self.last, self.reps, self.load, self.unit = first, last, reps, load, unit


def _runs(items: list[Item], at: int) -> tuple[list[_Run], int]:
    """Sets told by their numbers, one run behind the other from the first set on, and where they end."""
    runs: list[_Run] = []
    end = at
    while at < len(items) and items[at].kind == "sets":
        run, behind = _run(items, at)
        if run is None or run.first != (runs[-1].last + 1 if runs else 1):
            break
        runs.append(run)
        at = end = behind
        while at < len(items) and items[at].kind in _AFTER_RUN:
            at += 1
    alike = len(
        {(run.load is None, run.unit.word if run.unit else "", run.unit.kind if run.unit else "") for run in runs}
    )
    return (runs, end) if alike == 1 else ([], end)


def _run(items: list[Item], at: int) -> tuple[_Run | None, int]:
    numbers = [_whole(items, at + 1)]
    at += 2
    if at < len(items) and items[at].kind in ("dash", "sdash", "to", "and") and _whole(items, at + 1):
        numbers.append(_whole(items, at + 1))
        at += 2
    while at < len(items) and items[at].kind in _UNTIL_FIGURE:
        at += 1
    if not numbers[0] or not _whole(items, at) or not numbers[0] <= (numbers[-1] or 0) <= 30:
        return None, at
    reps = items[at]
    at += 1
    if at < len(items) and items[at].kind == "reps_word":
        at += 1
    load: Item | None = None
    unit: Item | None = None
    if at + 1 < len(items) and items[at].kind in ("at", "of", "with") and items[at + 1].kind == "number":
        load, at = items[at + 1], at + 2
        if at < len(items) and items[at].kind in ("mass", "percent"):
            unit, at = items[at], at + 1
    ends = at >= len(items) or items[at].kind in _AFTER_RUN or items[at].kind == "sets"
    return (_Run(numbers[0], numbers[-1] or 0, reps, load, unit) if ends else None), at


def _whole(items: list[Item], at: int) -> int:
    """The whole number at a place; nought where there is none."""
    item = items[at] if at < len(items) else None
    return int(item.value) if item is not None and item.kind == "number" and float(item.value).is_integer() else 0


def _as_ladder(runs: list[_Run], start: int, end: int) -> list[Item]:
    """Reps joined by dashes, then the loads, which stand for the whole stretch."""
    reps = [run.reps.value for run in runs for _ in range(run.last - run.first + 1)]
    out = _dashed(reps, start, end)
    if runs[0].load is not None:
        loads = [run.load.value for run in runs if run.load is not None for _ in range(run.last - run.first + 1)]
        out += [Item("at", end, end, None, "", (), True), *_dashed(loads, end, end)]
        unit = runs[-1].unit
        if unit is not None:
            out.append(replace(unit, start=end, end=end))
    return out


def _dashed(values: list[float], start: int, end: int) -> list[Item]:
    out: list[Item] = []
    for place, value in enumerate(values):
        if place:
            out.append(Item("dash", end, end, None, "", (), False))
        out.append(Item("number", end if place else start, end, value, "", (), not place))
    return out
