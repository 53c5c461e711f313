"""Ladders told by their ends and their step: `12 down to 2 by twos`, `de 2 en 2`, `in Zweierschritten`."""

from __future__ import annotations

import itertools
from functools import cache

from keelmark.notation.items import Item
from keelmark.notation.terms import filled
from keelmark.notation.trade import trade

__all__ = ["read_stepped_ladders"]

_TO = frozenset(["to", "ellipsis", "dash", "at", "arrow"])
_UNITS = frozenset(["mass", "percent", "length", "feet", "distance", "times", "slash"])
_LONGEST_TAIL = 4


def read_stepped_ladders(items: list[Item]) -> list[Item]:
    """The items with each ladder written out whose step is told beside it, or on a line for all of them."""
    items = _without_pairs_told_again(_with_far_ends(items))
    steps = _steps_told(items)
    if not steps:
        return items
    ends = _ends(items)
    chosen = {at: step for at in ends if (step := _step_for(items, at, steps)) is not None}
    used = {found for at in chosen for found in steps if steps[found][1] == chosen[at]}
    out: list[Item] = []
    at = 0
    while at < len(items):
        if at in chosen:
            values = filled([items[at].value, items[at].value + _toward(items, at, chosen[at])], items[at + 2].value)
            out.append(
                Item("commas", items[at].start, items[at + 2].end, tuple(values or ()), "", (), items[at].spaced)
            )
            at += 3
        elif at in used:
            end = steps[at][0]
            out.append(Item("manner", items[at].start, items[end - 1].end, None, "", ("manner",), True))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _ends(items: list[Item]) -> list[int]:
    """Where a ladder begins that is told by its first and its last rung."""
    found = []
    for at in range(len(items) - 2):
        first, sign, last = items[at : at + 3]
        if first.kind != "number" or last.kind != "number" or sign.kind not in _TO or first.value == last.value:
            continue
        if sign.kind == "dash" and (sign.spaced or last.spaced):
            continue
        if at + 3 < len(items) and items[at + 3].kind in _UNITS and _step_at(items, at + 3) is None:
            continue
        if not (at and items[at - 1].kind in ("dash", "times", "slash", "at")) and not _goes_on(items, at + 3):
            found.append(at)
    return found


def _goes_on(items: list[Item], at: int) -> bool:
    """Dots, or one more number behind the same sign."""
    if at >= len(items):
        return False
    further = (
        at + 1 < len(items) and items[at + 1].kind in ("number", "ellipsis") and items[at].kind in ("dash", "arrow")
    )
    return items[at].kind == "ellipsis" or further


def _toward(items: list[Item], at: int, step: float) -> float:
    return step if items[at + 2].value > items[at].value else -step


def _step_for(items: list[Item], at: int, steps: dict[int, tuple[int, float]]) -> float | None:
    """The step told on the line of a ladder, or on a line of its own; None where it does not lead from end to end."""
    way = abs(items[at + 2].value - items[at].value)
    lines = [_line(items, place) for place in (at, *steps)]
    same = [step for line, (_, step) in zip(lines[1:], steps.values(), strict=True) if line == lines[0]]
    alone = [step for line, (_, step) in zip(lines[1:], steps.values(), strict=True) if _is_bare(items, line)]
    step = next(iter(same or alone), None)
    return step if step is not None and 0 < step <= way and (way / step).is_integer() else None


def _line(items: list[Item], at: int) -> tuple[int, int]:
    start, end = at, at
    while start and items[start - 1].kind not in ("newline", "semicolon"):
        start -= 1
    while end < len(items) and items[end].kind not in ("newline", "semicolon"):
        end += 1
    return start, end


def _is_bare(items: list[Item], line: tuple[int, int]) -> bool:
    return not any(item.kind == "movement" for item in items[line[0] : line[1]]) and line[1] - line[0] <= 8


def _steps_told(items: list[Item]) -> dict[int, tuple[int, float]]:
    """Where a step is told, the place behind it, and how long it is."""
    found: dict[int, tuple[int, float]] = {}
    at = 0
    while at < len(items):
        told = _step_at(items, at)
        if told is not None:
            found[at] = told
            at = told[0]
        else:
            at += 1
    return found


_STARTS = frozenset(["number", "less", "add"])


def _step_at(items: list[Item], at: int) -> tuple[int, float] | None:
    first = items[at]
    if first.kind not in _STARTS and first.word not in _words("leads") and first.word not in _words("steps"):
        return None
    here = at
    while here < len(items) and here < at + 3 and items[here].word in _words("leads"):
        here += 1
    if here >= len(items):
        return None
    led = here > at
    return (
        (_again(items, here) if led else None)
        or _named(items, here, led)
        or _numbered(items, here, led)
        or _of_so_many(items, here)
    )


def _again(items: list[Item], at: int) -> tuple[int, float] | None:
    """`2 en 2`, `dois em dois`."""
    trio = items[at : at + 3]
    if [item.kind for item in trio[::2]] != ["number", "number"] or trio[0].value != trio[2].value:
        return None
    return (at + 3, trio[0].value) if trio[1].word in ("en", "em", "in") else None


def _named(items: list[Item], at: int, led: bool) -> tuple[int, float] | None:
    """`twos`, `Zweierschritten`, `2er-Schritten`, `2s`."""
    named = trade()["ladder_steps"]["named"]
    if items[at].word in named and led:
        return at + 1, float(named[items[at].word])
    words = [item.word for item in items[at : at + 4] if item.kind != "dash"]
    if items[at].kind != "number" or len(words) < 2:
        return None
    if words[1] == "s" and led and not items[at + 1].spaced:
        return at + 2, items[at].value
    if words[1] == "er" and len(words) > 2 and words[2] in _words("steps"):
        return at + 3 + (items[at + 2].kind == "dash"), items[at].value
    return None


def _numbered(items: list[Item], at: int, led: bool) -> tuple[int, float] | None:
    """`by 2`, `par 4`, `2 less each round`, `dropping 2 each round`, `two at a time`."""
    item = items[at]
    if item.kind in ("less", "add") and at + 1 < len(items) and items[at + 1].kind == "number":
        end = _behind_step(items, at + 2)
        return (end, items[at + 1].value) if end else None
    if item.kind != "number" or at + 1 >= len(items):
        return None
    following = items[at + 1]
    if following.kind in ("less", "add") or following.word in _words("behind"):
        return _behind_step(items, at + 2) or at + 2, item.value
    strict = led and items[at - 1].word in _words("strict_leads")
    ends = following.kind in ("newline", "comma", "colon", "movement", "close", "stop")
    before = next((other.kind for other in reversed(items[max(0, at - 2) : at - 1]) if other.kind != "comma"), "")
    return (at + 1, item.value) if strict and ends and before in ("number", "movement", "") else None


def _behind_step(items: list[Item], at: int) -> int:
    """The place behind `each round`, or behind a figure that ends there."""
    if at >= len(items) or items[at].kind in ("newline", "comma", "colon", "close", "stop", "semicolon"):
        return at
    if items[at].kind in ("per_round", "per_set", "each"):
        return at + 1
    return 0


def _of_so_many(items: list[Item], at: int) -> tuple[int, float] | None:
    """`steps of 2`, `pasos de 2`, `pas de deux`."""
    if items[at].word not in _words("steps"):
        return None
    here = at + 1
    while here < len(items) and here < at + 3 and items[here].kind in ("of", "at", "word"):
        here += 1
    told = here > at + 1 or " " in items[at].word
    counted = told and here < len(items) and items[here].kind == "number"
    return (here + 1, items[here].value) if counted else None


@cache
def _words(of: str) -> frozenset[str]:
    return frozenset(trade()["ladder_steps"][of])


def _with_far_ends(items: list[Item]) -> list[Item]:
    """`20, 18, 16 all the way down to 2`: the rungs up to the last."""
    if not any(item.kind == "to" for item in items):
        return items
    out: list[Item] = []
    at = 0
    while at < len(items):
        run = _run(items, at)
        tail = _tail(items, at + 2 * len(run) - 1) if len(run) > 1 else 0
        full = filled(run, items[tail].value) if tail else None
        if full is not None and len(full) > len(run):
            out.append(Item("commas", items[at].start, items[tail].end, tuple(full), "", (), items[at].spaced))
            at = tail + 1
        else:
            out.append(items[at])
            at += 1
    return out


def _run(items: list[Item], at: int) -> list[float]:
    """Evenly spaced numbers tied by commas or dashes."""
    if items[at].kind != "number" or (at and items[at - 1].kind in ("comma", "dash")):
        return []
    values = [items[at].value]
    here = at + 1
    while here + 1 < len(items) and items[here].kind in ("comma", "dash") and items[here + 1].kind == "number":
        values.append(items[here + 1].value)
        here += 2
    steps = {after - before for before, after in itertools.pairwise(values)}
    return values if len(steps) == 1 and 0 not in steps else []


def _tail(items: list[Item], at: int) -> int:
    """The place of the last rung behind `..., all the way down to`."""
    here = at
    told = False
    while here < len(items) and here - at <= _LONGEST_TAIL + 1:
        item = items[here]
        if item.kind == "number":
            ends = here + 1 < len(items) and items[here + 1].kind in _UNITS
            return here if told and not ends else 0
        told = told or item.kind == "to"
        if item.kind not in ("to", "word", "done", "comma", "ellipsis", "dash", "and_so_on"):
            return 0
        here += 1
    return 0


def _without_pairs_told_again(items: list[Item]) -> list[Item]:
    """`1+12, 2+11, ... 12+1` behind two opposing ladders: the same told once more."""
    if not any(item.kind == "plus" for item in items):
        return items
    at, tries = 0, 0
    runs: list[list[float]] = []
    while at < len(items) - 6 and tries < _MOST_LADDERS:
        end, pairs, dots = _pairs(items, at)
        tries += len(pairs) > 1
        if len(pairs) > 1 and _are_of_ladders_ahead(items[:at], runs, pairs, dots):
            made = Item("manner", items[at].start, items[end - 1].end, None, "", ("manner",), True)
            return [*items[:at], made, *items[end:]]
        if not pairs:
            run = _run_tied(items, at)
            runs += [run] if len(run) > 2 and len(runs) < _MOST_LADDERS else []
        at = max(at + 1, end)
    return items


_MOST_LADDERS = 8
"""Ladders, and rows of pairs, that are looked at in one text."""


def _are_of_ladders_ahead(
    ahead: list[Item], runs: list[list[float]], pairs: list[tuple[float, float]], dots: bool
) -> bool:
    """Do the pairs begin and end as two ladders in front of them do?"""
    if dots and _oppose(pairs) and len(_ends(ahead)) >= 2:
        return True
    (one, other), (last, end) = pairs[0], pairs[-1]
    first = [run for run in runs if run[0] == one and run[-1] == last]
    return bool(first) and any(run[0] == other and run[-1] == end and run is not first[0] for run in runs)


def _oppose(pairs: list[tuple[float, float]]) -> bool:
    """Pairs of one sum, as two ladders give that are climbed against each other."""
    return len({one + other for one, other in pairs}) == 1 and any(one != other for one, other in pairs)


def _run_tied(items: list[Item], start: int) -> list[float]:
    """The rungs of a ladder written out from here, tied by dashes or commas; none in the middle of one."""
    ties = ("dash", "comma", "sdash")
    if items[start].kind == "commas":
        return list(items[start].value)
    if items[start].kind != "number" or (start and items[start - 1].kind in (*ties, "plus")):
        return []
    values, here = [items[start].value], start + 1
    while here + 1 < len(items) and items[here].kind in ties and items[here + 1].kind == "number":
        values.append(items[here + 1].value)
        here += 2
    return values


def _pairs(items: list[Item], at: int) -> tuple[int, list[tuple[float, float]], bool]:
    """The place behind pairs tied by plus signs, the pairs, and whether there are dots among them."""
    here, pairs, dots = at, list[tuple[float, float]](), False
    while here < len(items):
        kinds = [item.kind for item in items[here : here + 3]]
        if kinds == ["number", "plus", "number"]:
            pairs.append((items[here].value, items[here + 2].value))
            here += 3
        elif pairs and items[here].kind in ("comma", "ellipsis", "and_so_on", "to"):
            dots = dots or items[here].kind == "ellipsis"
            here += 1
        else:
            break
    return here, pairs, dots
