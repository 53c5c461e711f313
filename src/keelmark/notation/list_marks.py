"""Numbers and letters that count the items of a list: `(1) ... (2) ...`, `(a) 10 burpees (b) 12 wall balls`."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item

__all__ = ["read_list_marks"]

_ROMAN = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x")


_NUMBERED = frozenset(["movement", "rest"])


def read_list_marks(items: list[Item]) -> list[Item]:
    """The items with the numbers of a list told apart from counts, and letters in brackets as labels."""
    kinds = {item.kind for item in items}
    if "open" in kinds and "letter" in kinds:
        items = _with_letters_in_brackets(items)
    if not kinds.isdisjoint(("close", "stop", "sdash", "colon")):
        items = _with_parts(_with_roman_numbers(items))
    if not kinds.isdisjoint(("close", "stop", "sdash", "slot", "work", "emom", "every")):
        items = _with_enumerators(items)
    return items


def _with_roman_numbers(items: list[Item]) -> list[Item]:
    """`I) row`, `II) burpees`: lines that begin with one Roman number after the other, as if they had figures."""
    run: dict[int, float] = {}
    for at in range(len(items) - 1):
        if _begins_line(items, at) and len(run) < len(_ROMAN) and items[at].word == _ROMAN[len(run)]:
            run[at] = len(run) + 1.0
    if len(run) < 2:
        return items
    return [
        Item("number", item.start, item.end, run[at], "", (), item.spaced) if at in run else item
        for at, item in enumerate(items)
    ]


def _with_parts(items: list[Item]) -> list[Item]:
    """`AMRAP 6, rest 3:00, AMRAP 6` above `1st: ...` and `2nd: ...`: each line has a clock of its own."""
    run: list[int] = []
    clocks = 0
    for at, item in enumerate(items[:-1]):
        clocks += item.kind == "amrap" and not run
        if _begins_line(items, at) and item.value == len(run) + 1.0 and item.kind in ("number", "word", "then"):
            run.append(at)
    if clocks < 2 or len(run) != clocks:
        return items
    out: list[Item] = []
    for at, item in enumerate(items):
        if at in run:
            out.append(Item("part", item.start, item.start, None, "part", ("part",), True))
            item = Item("number", item.start, item.end, item.value, "", (), True)
        out.append(Item("colon", item.start, item.end) if at - 1 in run else item)
    return out


def _begins_line(items: list[Item], at: int) -> bool:
    """The first of a line, with a mark of a list behind it."""
    first = at == 0 or items[at - 1].kind == "newline"
    return first and items[at + 1].kind in ("close", "stop", "colon", "sdash")


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
            skipped = at + 1 if at + 1 < len(items) and items[at + 1].kind not in _NUMBERED else skipped
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
    found.update(_numbered_lines(items) or _numbered_stations(items))
    return found


def _with_letters_in_brackets(items: list[Item]) -> list[Item]:
    """`(a) 10 burpees (b) 12 wall balls`: letters that count the items of a list, without their opening bracket."""
    run: list[int] = []
    for at in range(len(items) - 2):
        kinds = [item.kind for item in items[at : at + 3]]
        if kinds == ["open", "letter", "close"] and items[at + 1].word == "abcdef"[len(run) : len(run) + 1]:
            run.append(at)
    if len(run) < 2:
        return items
    return [
        Item("comma", item.start, item.end) if at in run and at and items[at - 1].kind != "newline" else item
        for at, item in enumerate(items)
        if at not in run or (at and items[at - 1].kind not in ("newline", "comma", "colon", "semicolon", "stop"))
    ]


def _numbered_stations(items: list[Item]) -> list[int]:
    """`1 jumping jacks` / `2 plank` under the times of a circuit, in lines or in one: stations, not counts."""
    kinds = [item.kind for item in items]
    circuit = "slot" in kinds or ("work" in kinds and not {"rest", "off"}.isdisjoint(kinds) and "time" in kinds)
    clocked = not circuit and not {"emom", "every"}.isdisjoint(kinds)
    if not circuit and not clocked:
        return []
    run = [
        at
        for at, item in enumerate(items[:-1])
        if item.kind == "number" and items[at + 1].kind in _NUMBERED and not item.word
    ]
    counts = [items[at].value for at in run]
    if clocked and not all(items[at - 1].kind == "newline" and _names_only(items, at + 1) for at in run):
        return []
    return run if len(run) > 2 and counts == [float(n + 1) for n in range(len(run))] else []


def _names_only(items: list[Item], at: int) -> bool:
    """`row: 12 cal`, `rest`: a name by itself in front of a colon or a line end."""
    behind = items[at + 1].kind if at + 1 < len(items) else "newline"
    return behind == "colon" or (items[at].kind == "rest" and behind == "newline")


def _numbered_lines(items: list[Item]) -> list[int]:
    """`1 - row`, `2 - burpees`: lines that begin with one number after the other and a dash."""
    run: list[int] = []
    for at, item in enumerate(items):
        if item.kind != "number" or not (at == 0 or items[at - 1].kind == "newline") or item.value != len(run) + 1:
            continue
        if at + 2 < len(items) and items[at + 1].kind == "sdash" and items[at + 2].kind != "ellipsis":
            run.append(at)
    counted = any(items[at + 2].kind == "number" for at in run)
    return run if len(run) > (2 if counted else 1) else []


def _has_mark(items: list[Item], at: int, inside: bool) -> bool:
    if at + 2 >= len(items) or items[at + 1].spaced or items[at + 1].kind not in ("close", "stop"):
        return False
    if at and items[at - 1].kind in ("part", "times", "dash", "slash", "at", "plus", "ellipsis", "to"):
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
