"""Rounds and exercises told line by line under a head, and figures whose brackets and dashes say nothing."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item

__all__ = ["read_sets_at_loads", "read_told_by_line"]

_ROUNDS = frozenset(["rounds", "rounds_for_time", "waves"])
_ENDS_LABEL = frozenset(["colon", "sdash", "close", "stop", "equals"])
_OWN_CLOCK = frozenset(
    [
        "sets",
        "rounds",
        "rounds_for_time",
        "times",
        "emom",
        "amrap",
        "every",
        "every_word",
        "for_time",
        "tabata",
        "waves",
    ]
)
_BETWEEN = frozenset(["comma", "and", "then", "plus", "semicolon", "at"])


def read_told_by_line(items: list[Item]) -> list[Item]:
    """The items with labels of rounds and of exercises as marks of a list, where a head above counts them all."""
    kinds = {item.kind for item in items}
    if "times_word" in kinds and "dash" in kinds:
        items = [item for at, item in enumerate(items) if not _is_dash_of_times(items, at)]
    if "dots" in kinds and "open" in kinds:
        items = _without_brackets_of_dots(items)
    if "number" in kinds and "open" in kinds and "times" in kinds:
        items = [_with_tied_cluster(items, at) for at in range(len(items))]
    if "total" in kinds and "per_side" in kinds:
        items = _without_denied_sides(items)
    if {"newline", "stop"} <= kinds and any(item.word == "b" for item in items):
        items = _with_letters_and_stops(items)
    if kinds.isdisjoint(("rounds", "rounds_for_time", "sets", "waves")):
        return items
    return _with_listed_exercises(_with_told_rounds(items))


def _is_dash_of_times(items: list[Item], at: int) -> bool:
    """`1,5-fachem`: the dash ties the word to its number."""
    if items[at].kind != "dash" or not 0 < at < len(items) - 1:
        return False
    return items[at - 1].kind == "number" and items[at + 1].kind == "times_word"


def _with_tied_cluster(items: list[Item], at: int) -> Item:
    """`3 x (2.2)`: two and two in a set, no broken number."""
    item = items[at]
    framed = 1 < at < len(items) - 1 and items[at - 1].kind == "open" and items[at + 1].kind == "close"
    if item.kind != "number" or not framed or items[at - 2].kind != "times":
        return item
    one, other = divmod(round(item.value * 10), 10)
    if item.end - item.start != 3 or one != other or not 0 < one <= 5:
        return item
    return replace(item, kind="dots", value=(float(one), float(other)))


def _without_brackets_of_dots(items: list[Item]) -> list[Item]:
    """`5 sets of (1.1.1.1)`: the brackets only hold the figure together."""
    dropped: set[int] = set()
    for at in range(2, len(items) - 1):
        framed = items[at - 1].kind == "open" and items[at + 1].kind == "close"
        if items[at].kind == "dots" and framed and items[at - 2].kind == "of":
            dropped.update((at - 1, at + 1))
    return [item for at, item in enumerate(items) if at not in dropped]


_NOT = frozenset(["not", "nicht", "no", "non", "pas", "nao"])


def _without_denied_sides(items: list[Item]) -> list[Item]:
    """`10 in total, not per leg`: the total says it all."""
    out: list[Item] = []
    for item in items:
        behind = [other.kind for other in out[-3:]]
        denied = item.kind == "per_side" and bool(out) and out[-1].word in _NOT
        if denied and "total" in behind:
            out.pop()
            if out[-1].kind == "comma":
                out.pop()
            continue
        out.append(item)
    return out


def _lines(items: list[Item]) -> list[tuple[int, int]]:
    """Where each line begins and ends."""
    edges = [at for at, item in enumerate(items) if item.kind == "newline"]
    return list(zip([0, *(at + 1 for at in edges)], [*edges, len(items)], strict=True))


def _with_letters_and_stops(items: list[Item]) -> list[Item]:
    """`a. 5 box jumps`, `b. 8 thrusters` on lines under a clock: numbers of its minutes."""
    lines = _lines(items)
    out = list(items)
    for place in range(1, len(lines)):
        above = {item.kind for item in items[slice(*lines[place - 1])]}
        if above.isdisjoint(("emom", "every", "every_word")) or "movement" in above:
            continue
        count = 0
        while place + count < len(lines) and _is_letter_and_stop(items, lines[place + count], "abcdefgh"[count]):
            count += 1
            if count == 8:
                break
        for number, (first, _) in enumerate(lines[place : place + count] if count > 1 else [], 1):
            out[first] = replace(items[first], kind="number", value=float(number), word="")
            out[first + 1] = replace(items[first + 1], kind="close")
    return out


def _is_letter_and_stop(items: list[Item], line: tuple[int, int], letter: str) -> bool:
    start, end = line
    return end - start > 2 and items[start].word == letter and items[start + 1].kind == "stop"


def _with_told_rounds(items: list[Item]) -> list[Item]:
    """`3 rounds` above `r1 30 DU`, `r2 60 DU`, `r3 90 DU`: each line is a round, and none is done three times."""
    lines = _lines(items)
    first = next((n for n, line in enumerate(lines) if _round_label(items, line, 1)), None)
    if first is None:
        return items
    told = 1
    while first + told < len(lines) and _round_label(items, lines[first + told], told + 1):
        told += 1
    if told < 2:
        return items
    out = list(items)
    for at in range(lines[first][0] - 1, 0, -1):
        if items[at].kind in _ROUNDS and items[at - 1].kind == "number":
            if items[at - 1].value != told:
                return items
            out[at - 1] = replace(items[at - 1], value=1.0)
            break
    for number in range(told, 0, -1):
        start, behind = lines[first + number - 1]
        end = _round_label(items, lines[first + number - 1], number)
        bare = number > 1 and _is_row(items[end:behind])
        out[start:end] = [] if bare else [merged_item("bullet", items[start:end])]
    return out


def _is_row(line: list[Item]) -> bool:
    """`16 + 8`: only figures, tied by signs: as many of each movement of the line before."""
    figures, signs = line[::2], line[1::2]
    tied = all(item.kind in ("plus", "sdash", "cell", "slash", "sslash", "comma", "dash") for item in signs)
    return len(figures) == len(signs) + 1 > 1 and tied and all(item.kind == "number" for item in figures)


def _round_label(items: list[Item], line: tuple[int, int], number: int) -> int:
    """`Round 2:`, `r2` in front of work with a count: the place behind it; 0 where there is none."""
    start, end = line
    if end - start < 4 or not (items[start].kind in ("rounds", "waves") or items[start].word == "r"):
        return 0
    if items[start + 1].kind != "number" or items[start + 1].value != number:
        return 0
    behind = start + 2 + (items[start + 2].kind in _ENDS_LABEL)
    kinds = {item.kind for item in items[behind:end]}
    worked = "movement" in kinds or (items[start].kind == "waves" and "at" in kinds) or _is_row(items[behind:end])
    counted = "number" in kinds and worked and items[behind].kind in ("number", "movement")
    return behind if counted and "newline" not in kinds else 0


def _with_listed_exercises(items: list[Item]) -> list[Item]:
    """`4 sets` above `A) 6 push press`, `B) 8 rows`: the letters only list what each of the sets is made of."""
    lines = _lines(items)
    for place, (start, end) in enumerate(lines[:-2]):
        head = items[start:end]
        counted = any(
            item.kind in ("rounds", "sets") and at and head[at - 1].kind == "number" for at, item in enumerate(head)
        )
        if not counted or any(item.kind in ("movement", "label") for item in head):
            continue
        letters = 0
        while place + 1 + letters < len(lines) and _letter_label(items, lines[place + 1 + letters], letters):
            letters += 1
        if letters < 2:
            continue
        out = list(items)
        for number in range(letters, 0, -1):
            at = lines[place + number][0]
            out[at : at + 2] = [merged_item("bullet", items[at : at + 2])]
        return out
    return items


def _letter_label(items: list[Item], line: tuple[int, int], number: int) -> bool:
    """`B) 8 rows`: the letter whose turn it is, in front of work that has no sets or clock of its own."""
    start, end = line
    if end - start < 4 or items[start].word != "abcdefgh"[min(number, 7)] or items[start + 1].kind not in _ENDS_LABEL:
        return False
    kinds = {item.kind for item in items[start:end]}
    return "movement" in kinds and "number" in kinds and kinds.isdisjoint(_OWN_CLOCK)


def read_sets_at_loads(items: list[Item]) -> list[Item]:
    """The items with `2 sets @ 60, 2 sets @ 65, 1 set @ 75` as five sets with the load of each."""
    if sum(item.kind == "nsets" for item in items) < 2:
        return items
    for start, end in _lines(items):
        line = items[start:end]
        pairs = _pairs(line)
        if pairs:
            return [*items[:start], *pairs, *items[end:]]
    return items


def _pairs(line: list[Item]) -> list[Item]:
    """Sets and their load, again and again to the end of a line, as one row of loads; none where anything else is."""
    told = [item for item in line if item.kind not in _BETWEEN]
    size = next((at for at, item in enumerate(told) if item.kind not in ("nsets", "load")), len(told))
    sets, loads, behind = told[:size:2], told[1:size:2], told[size:]
    if len(sets) < 2 or len(sets) != len(loads) or any(item.kind not in ("open", "word", "close") for item in behind):
        return []
    if any(item.kind != "nsets" or not isinstance(item.value, int) or item.value > 20 for item in sets):
        return []
    if any(item.kind != "load" or len(item.value.steps) != 1 for item in loads):
        return []
    steps = tuple(load.value.steps[0] for one, load in zip(sets, loads, strict=True) for _ in range(one.value))
    whole = sum(one.value for one in sets)
    row = replace(loads[0], start=loads[0].start, end=loads[-1].end, value=replace(loads[-1].value, steps=steps))
    return [replace(sets[0], value=whole), row, *behind]
