"""Rungs of ladders written in rows, in pairs or by name, and sets written as `5er-Sätze` or in brackets."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item

__all__ = ["read_rung_marks"]


def read_rung_marks(items: list[Item], kinds: set[str], words: set[str]) -> list[Item]:
    """The items with rungs in rows, pairs and by name, and sums in brackets, as the figures that they are."""
    if "number" not in kinds:
        return items
    if "time" in kinds or not words.isdisjoint(("em", "en", "in")):
        items = _without_rungs_by_name(items)
    if "open" in kinds or "er" in words:
        items = _with_sets_of(items)
    if "newline" in kinds and not kinds.isdisjoint(("sdash", "plus", "cell")):
        items = _with_rows(items)
    if "reps_word" in kinds and "comma" in kinds:
        items = _with_reps_in_a_row(items)
    if "plus" in kinds:
        items = _with_tied_pairs(items)
    return _with_pairs(items) if not kinds.isdisjoint(("dash", "plus")) else items


def _with_reps_in_a_row(items: list[Item]) -> list[Item]:
    """`5 reps, 5 reps, 3 reps`: one list, its word said with each."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        run = at
        while [item.kind for item in items[run : run + 4]] == ["number", "reps_word", "comma", "number"]:
            run += 3
        ended = [item.kind for item in items[run : run + 2]] == ["number", "reps_word"]
        if run - at >= 6 and ended:
            for place in range(at, run, 3):
                out += [items[place], replace(items[place + 2], kind="dash", spaced=False)]
                items[place + 3] = replace(items[place + 3], spaced=False)
            at = run
            continue
        out.append(items[at])
        at += 1
    return out


def _with_tied_pairs(items: list[Item]) -> list[Item]:
    """`3 burpees + 3 snatches, 6 + 6, 9 + 9`: the further rungs, written with blanks."""
    out = list(items)
    for at in range(3, len(items) - 2):
        pair = items[at : at + 3]
        if [item.kind for item in pair] != ["number", "plus", "number"] or items[at - 1].kind not in (
            "comma",
            "newline",
        ):
            continue
        if pair[0].value == pair[2].value and pair[1].spaced and _stations_before(items, at):
            out[at + 1], out[at + 2] = replace(pair[1], spaced=False), replace(pair[2], spaced=False)
    return out


def _without_rungs_by_name(items: list[Item]) -> list[Item]:
    """`de 2 en 2` and `the 8s`: how a ladder climbs and where somebody got to, no counts of their own."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        before = out[-1].kind if out else ""
        if item.kind == "number" and _is_step_by_step(items, at) and before in ("of", "start_at", "by"):
            out[-1:] = [Item("manner", out[-1].start, items[at + 2].end, None, "", ("manner",), True)]
            at += 3
            continue
        if item.kind == "number" and _is_rung_behind(items, at, out):
            out.append(Item("after_rung", item.start, items[at + 1].end, item.value, "", (), item.spaced))
            at += 2
            continue
        plural = at + 1 < len(items) and items[at + 1].kind == "time" and items[at + 1].word == "s"
        if item.kind == "number" and plural and not items[at + 1].spaced and out and out[-1].word in _ARTICLES:
            out.append(Item("remark", item.start, items[at + 1].end, None, "", ("remark",), item.spaced))
            at += 2
            continue
        out.append(item)
        at += 1
    return out


def _is_rung_behind(items: list[Item], at: int, out: list[Item]) -> bool:
    """`200 m run after the 21s and again after the 15s`: a rung named, after which something is done."""
    tied = at + 1 < len(items) and items[at + 1].word == "s" and not items[at + 1].spaced
    before = " ".join(item.word for item in out[-2:])
    return tied and before.endswith("after the")


_ARTICLES = frozenset(["the", "those", "these", "through the", "finished the"])


def _is_step_by_step(items: list[Item], at: int) -> bool:
    if at + 2 >= len(items) or items[at + 2].kind != "number" or items[at + 2].value != items[at].value:
        return False
    return items[at + 1].word in ("em", "en", "in")


def _with_sets_of(items: list[Item]) -> list[Item]:
    """`5er-Sätze` as sets of five; `4 sets of [2+2+2]` without its brackets."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        if items[at].kind not in ("number", "of"):
            out.append(items[at])
            at += 1
            continue
        kinds = [item.kind for item in items[at : at + 4]]
        if kinds[:2] == ["number", "word"] and items[at + 1].word == "er" and "sets" in kinds[2:4]:
            sets = items[at + kinds.index("sets")]
            out += [sets, Item("of", items[at + 1].start, items[at + 1].end, None, "er", ("of",)), items[at]]
            at += kinds.index("sets") + 1
            continue
        if kinds == ["number", "times", "open", "number"] and _is_nested(items, at):
            whole = items[at].value * items[at + 3].value
            out += [replace(items[at], value=whole, end=items[at + 3].end), *items[at + 4 : at + 7]]
            at += 8
            continue
        closer = _close_of_sum(items, at) if kinds[:2] == ["of", "open"] else 0
        if closer:
            values = tuple(item.value for item in items[at + 2 : closer] if item.kind == "number")
            out += [items[at], Item("dots", items[at + 1].start, items[closer].end, values, "", (), True)]
            at = closer + 1
            continue
        out.append(items[at])
        at += 1
    return out


def _is_nested(items: list[Item], at: int) -> bool:
    """`2 x (4 x 500 m)`."""
    kinds = [item.kind for item in items[at + 4 : at + 8]]
    return kinds in (["times", "number", unit, "close"] for unit in ("distance", "time", "energy"))


def _close_of_sum(items: list[Item], at: int) -> int:
    here = at + 2
    while here + 1 < len(items) and items[here].kind == "number" and items[here + 1].kind == "plus":
        here += 2
    ends = here + 1 < len(items) and items[here].kind == "number" and items[here + 1].kind == "close"
    return here + 1 if ends and here > at + 2 else 0


def _with_rows(items: list[Item]) -> list[Item]:
    """`9 cleans - 1 muscle-up` / `8 - 2` / `7 - 3`: a line of bare figures is the next rung for each in turn."""
    if not any(_is_row(items, at) for at in range(1, len(items)) if items[at - 1].kind == "newline"):
        return items
    out: list[Item] = []
    at = 0
    while at < len(items):
        end = _is_row(items, at) if at and items[at - 1].kind == "newline" else 0
        if end:
            values = tuple(item.value for item in items[at:end] if item.kind == "number")
            out.append(Item("commas", items[at].start, items[end - 1].end, values, "", (), True))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _is_row(items: list[Item], at: int) -> int:
    """The place after two to four figures that are all there is on a line, tied by spaced dashes or plus signs."""
    here = at
    while here + 1 < len(items) and items[here].kind == "number" and items[here + 1].kind in ("sdash", "plus", "cell"):
        if not items[here + 1].spaced:
            return 0
        here += 2
    if here == at or here >= len(items) or items[here].kind != "number" or here - at > 6:
        return 0
    return here + 1 if here + 1 == len(items) or items[here + 1].kind == "newline" else 0


def _with_pairs(items: list[Item]) -> list[Item]:
    """`3-3, 6-6, 9-9`: the rungs of a ladder that two movements climb together."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        here = at
        values: list[float] = []
        while _is_pair(items, here) and items[here].value not in values and len(values) < 40:
            values.append(items[here].value)
            here += 4
            if here >= len(items) or items[here - 1].kind != "comma":
                break
        if len(values) >= 2 and not _stations_before(items, at):
            end = here - 1
            out.append(Item("commas", items[at].start, items[end - 1].end, tuple(values), "", (), items[at].spaced))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _stations_before(items: list[Item], at: int) -> bool:
    """`3 cleans + 3 dips, 6+6`: two movements with the count of their first rung stand before on the line."""
    counted = 0
    for place in range(at - 1, max(-1, at - 40), -1):
        if items[place].kind in ("newline", "colon"):
            break
        counted += items[place].kind == "movement" and place > 0 and items[place - 1].kind == "number"
    return counted == 2


def _is_pair(items: list[Item], at: int) -> bool:
    if at + 2 >= len(items) or items[at].kind != "number" or items[at + 1].kind not in ("dash", "plus"):
        return False
    other = items[at + 2]
    return other.kind == "number" and other.value == items[at].value and not other.spaced and not items[at + 1].spaced
