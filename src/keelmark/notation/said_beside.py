"""Ways of telling sets, pauses and further rounds beside a movement, put as figures are usually written."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.dealt_out import read_dealt_out
from keelmark.notation.items import Item

__all__ = ["read_said_beside"]

_EACH = frozenset(["each", "each_person", "every"])
_LINKS = frozenset(["of", "word", "a", "wearing", "during"])
_BETWEEN = frozenset(["sdash", "comma", "plus", "slash", "sslash", "and"])
_UNITS = frozenset(["energy", "distance"])


def read_said_beside(items: list[Item]) -> list[Item]:
    """The items with runs of a carry, work in each pause, an open set and rows of figures as usual figures."""
    kinds = {item.kind for item in items}
    if "movement" not in kinds or "number" not in kinds:
        return items
    if any(item.word in _WEEKS for item in items):
        items = _without_numbered_weeks(items)
    if "done" in kinds:
        items = [item for at, item in enumerate(items) if not _says_full(items, at)]
    if "max" in kinds:
        items = [item for at, item in enumerate(items) if not _counts_open_set(items, at)]
    items = [_runs_as_sets(items, at) for at in range(len(items))]
    if "equals" in kinds and "comma" in kinds:
        items = [item for at, item in enumerate(items) if not _parts_from_total(items, at)]
    if "rest" in kinds and not kinds.isdisjoint(_EACH):
        items = _with_work_in_pauses(items)
    if "same" in kinds and "open" in kinds:
        items = _without_bearer_of_load(items)
    if "newline" in kinds:
        items = _with_rows_of_figures(items)
    return read_dealt_out(items) if "slash" in kinds or "sslash" in kinds else items


_WEEKS = frozenset(["week", "wk", "woche", "semana", "semaine", "day", "tag", "dia", "jour"])
_ENDS_WEEK = frozenset(["newline", "comma", "stop", "semicolon", "sdash", "close", "colon"])


def _without_numbered_weeks(items: list[Item]) -> list[Item]:
    """`back squat, week 3 of the cycle`: which week it is, no count."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        end = _behind_week(items, at)
        if not end:
            out.append(items[at])
        at = end or at + 1
    return out


def _behind_week(items: list[Item], at: int) -> int:
    """The place behind `week 3`, `wk 3 of 6`, `week 3 of the cycle`; 0 where a count of work may be meant."""
    if items[at].word not in _WEEKS or items[at].kind != "word" or at + 1 >= len(items):
        return 0
    if items[at + 1].kind != "number" or (at and items[at - 1].kind == "number"):
        return 0
    end = at + 2
    if end < len(items) and items[end].kind in ("of", "slash"):
        end += 1
        while end < len(items) and items[end].kind in ("word", "number", "rounds", "a", "letter", "part"):
            end += 1
    return end if end >= len(items) or items[end].kind in _ENDS_WEEK else 0


def _says_full(items: list[Item], at: int) -> bool:
    """`70 % of your full snatch`: the whole lift, nothing that was done."""
    if items[at].word != "full" or not 0 < at < len(items) - 1:
        return False
    return items[at - 1].word in ("your", "the", "of") and items[at + 1].kind == "movement"


def _counts_open_set(items: list[Item], at: int) -> bool:
    """`one all-out set`: the one is the set, no repetition."""
    item, behind = items[at], items[at + 1] if at + 1 < len(items) else None
    if item.kind != "number" or item.value != 1 or behind is None or behind.kind != "max":
        return False
    return behind.word.endswith(" set")


_OF_WAY = ["of", "number", "distance"]


def _runs_as_sets(items: list[Item], at: int) -> Item:
    """`yoke 3 runs of 15 m`, `16 legs of 150 m row`: ways of what is carried, run or rowed."""
    item = items[at]
    if item.kind == "side" and item.word == "legs" and [other.kind for other in items[at + 1 : at + 4]] == _OF_WAY:
        return replace(item, kind="sets") if at and items[at - 1].kind == "number" else item
    if item.word != "runs" or item.kind != "movement" or not 1 < at < len(items) - 2:
        return item
    told = items[at - 1].kind == "number" and items[at - 2].kind == "movement" and items[at + 1].kind == "of"
    return replace(item, kind="sets", value=None) if told and items[at + 2].kind == "number" else item


_SETS_AND_TOTAL = ["number", "sets", "number", "equals", "number"]


def _parts_from_total(items: list[Item], at: int) -> bool:
    """`sit-ups, 6 sets of 8 = 48 total`: the comma parts the movement from its sets and their total."""
    if items[at].kind != "comma" or not at or items[at - 1].kind != "movement":
        return False
    behind = [item.kind for item in items[at + 1 : at + 8] if item.kind != "of"]
    return behind[:5] in (_SETS_AND_TOTAL, ["times" if kind == "sets" else kind for kind in _SETS_AND_TOTAL])


def _with_work_in_pauses(items: list[Item]) -> list[Item]:
    """`in each of the 5 rests 10 lunges`: five times ten."""
    for at in range(1, len(items) - 3):
        count, pause, figure, named = items[at : at + 4]
        if [count.kind, pause.kind, figure.kind, named.kind] != ["number", "rest", "number", "movement"]:
            continue
        start = at
        while start and items[start - 1].kind in _LINKS:
            start -= 1
        if not start or items[start - 1].kind not in _EACH:
            continue
        start -= 1
        while start and items[start - 1].kind in _LINKS:
            start -= 1
        times = replace(pause, kind="times", word="", value=None)
        return [*items[:start], replace(count, start=items[start].start), times, *items[at + 2 :]]
    return items


def _without_bearer_of_load(items: list[Item]) -> list[Item]:
    """`6 push jerks (same bar as the cleans)`: the load of the movement right before, by its name."""
    for at, item in enumerate(items):
        if item.kind != "same" or not at or items[at - 1].kind != "open":
            continue
        end = next((n for n in range(at, min(at + 7, len(items))) if items[n].kind == "close"), 0)
        named = items[end - 1] if end > at + 1 else None
        before = [other.value for other in items[: at - 1] if other.kind == "movement"]
        if named is None or named.kind != "movement" or len(before) < 2 or not before[-2].endswith(named.value):
            continue
        if any(other.kind not in ("bar", "at", "word", "of") for other in items[at + 1 : end - 1]):
            continue
        kept = [other for other in items[at + 1 : end - 1] if other.kind in ("bar", "at")]
        return [*items[: at + 1], *kept, *items[end:]]
    return items


def _with_rows_of_figures(items: list[Item]) -> list[Item]:
    """`21 cal row - 15 thrusters - 9 pull-ups` above `15 cal - 12 - 6`: further rounds of the same movements."""
    edges = [at for at, item in enumerate(items) if item.kind == "newline"]
    lines = [items[a:b] for a, b in zip([0, *(at + 1 for at in edges)], [*edges, len(items)], strict=True)]
    out: list[Item] = []
    names: list[Item] = []
    for number, line in enumerate(lines):
        if number:
            out.append(items[edges[number - 1]])
        figures = _row(line)
        if figures is not None and names and len(figures) == len(names):
            out.extend(_named(figures, names))
            continue
        names = _names_of_row(line)
        out.extend(line)
    return out


def _names_of_row(line: list[Item]) -> list[Item]:
    """The movements of a line that is only counts with a movement each, three or more; none of any other line."""
    plain = [item for item in line if item.kind not in _UNITS and item.kind not in _BETWEEN]
    kinds = [item.kind for item in plain]
    return plain[1::2] if len(kinds) >= 6 and kinds == ["number", "movement"] * (len(kinds) // 2) else []


def _row(line: list[Item]) -> list[list[Item]] | None:
    """The figures of a line without movements, each with its unit; None where the line holds anything else."""
    figures: list[list[Item]] = [[]]
    for item in line:
        if item.kind in _BETWEEN:
            figures.append([])
        elif item.kind == "number" or item.kind in _UNITS:
            figures[-1].append(item)
        else:
            return None
    told = all(part and part[0].kind == "number" and len(part) < 3 for part in figures)
    return figures if told and all(len(part) == 1 or part[1].kind in _UNITS for part in figures) else None


def _named(figures: list[list[Item]], names: list[Item]) -> list[Item]:
    out: list[Item] = []
    for place, (part, name) in enumerate(zip(figures, names, strict=True)):
        end = part[-1].end
        if place:
            out.append(Item("comma", part[0].start, part[0].start, None, "", (), False))
        out += [*part, replace(name, start=end, end=end)]
    return out
