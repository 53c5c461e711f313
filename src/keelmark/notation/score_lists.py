"""Scores in lists: by the movement named, by round, by the lowest of all rounds, by where on a ladder."""

from __future__ import annotations

import re

from keelmark.notation.items import Item
from keelmark.notation.score_kinds import Score

__all__ = ["chosen", "listed"]

_BETWEEN = frozenset(
    [
        "comma",
        "slash",
        "sslash",
        "dash",
        "sdash",
        "plus",
        "and",
        "colon",
        "equals",
        "energy",
        "mass",
        "reps_word",
        "stop",
    ]
)
_ROW = re.compile(
    r"(?:\br(?:ou?nds?|onda|unde)?|\btour|\bvolta|\bvuelta|\bset|\bserie)\s*([0-9]{1,2})(?:\s*[:=]\s*|\s+)([0-9]+(?:\s*[-/+,]\s*[0-9]+)*)",
    re.IGNORECASE,
)


def listed(items: list[Item], text: str) -> Score | None:
    """A score that is a list of some kind, or None."""
    return (
        _by_row(text)
        or _rows_of_figures(text)
        or _left_over(items)
        or _lowest(items)
        or _last(items)
        or _on_rung(items)
        or _after(items)
        or _at_place(items)
        or _still_on(items)
        or _in_nth_round(items)
        or _by_name(items)
        or _name_behind(items)
    )


def chosen(items: list[Item]) -> Score | None:
    """`ring rows`: which of two movements was done."""
    if any(item.kind in ("number", "clock", "commas", "dots") for item in items):
        return None
    named = [item.value for item in items if item.kind == "movement"]
    return Score("chosen", lists={movement: [] for movement in named}) if named else None


def _name_behind(items: list[Item]) -> Score | None:
    """`12, 11, 9, 9 HSPU`: a list of figures, then what they count."""
    if len(items) < 4 or items[-1].kind != "movement" or any(item.kind == "movement" for item in items[:-1]):
        return None
    if any(
        item.kind not in ("number", "commas", "comma", "slash", "sslash", "dash", "reps_word") for item in items[:-1]
    ):
        return None
    figures = [figure for item in items[:-1] if item.kind in ("number", "commas") for figure in _figures(item)]
    return Score("by_name", lists={items[-1].value: figures}) if len(figures) > 1 else None


def _figures(item: Item) -> list[float]:
    return [item.value] if item.kind == "number" else list(item.value)


def _by_row(text: str) -> Score | None:
    """`round 1: 14/12/20, round 2: 13/11/18`."""
    rows = _ROW.findall(text)
    figures = [[float(figure) for figure in re.findall(r"[0-9]+", row)] for _, row in rows]
    if len(rows) < 2 or [int(number) for number, _ in rows] != list(range(1, len(rows) + 1)):
        return None
    if all(len(row) == 1 for row in figures):
        return Score("list", values=[row[0] for row in figures])
    return Score("by_row", rows=figures) if len({len(row) for row in figures}) == 1 else None


_ROWS = re.compile(r"\s*[0-9]+(?:/[0-9]+)+(?:\s*[,;]\s*[0-9]+(?:/[0-9]+)+)+\s*")


def _rows_of_figures(text: str) -> Score | None:
    """`25/22/15, 22/20/14, 20/18/14`: the figures of each round, one for every station."""
    if not _ROWS.fullmatch(text):
        return None
    rows = [[float(figure) for figure in row.split("/")] for row in re.split(r"[,;]", text)]
    return Score("by_row", rows=rows) if len({len(row) for row in rows}) == 1 else None


def _left_over(items: list[Item]) -> Score | None:
    """`cap, 12 burpees left`: all but so many of the last."""
    numbers = [item.value for item in items if item.kind == "number"]
    if len(numbers) != 1 or not any("remaining" in item.roles for item in items):
        return None
    on: list[tuple[str, float | None]] = [(item.value, None) for item in items if item.kind == "movement"]
    told = any(item.kind in ("mass", "clock") for item in items)
    return None if told else Score("left", reps=numbers[0], partial=on if len(on) == 1 else [])


def _in_nth_round(items: list[Item]) -> Score | None:
    """`stopped during the 6th round`, `in der 6. Runde`: the rounds before it are whole."""
    for at in range(1, len(items) - 2):
        named = items[at].kind == "number" and "rounds" in items[at + 2].roles
        ordinal = items[at + 1].kind in ("ordinal", "nth", "stop") or items[at + 1].word in _ORDINAL_ENDS
        if named and ordinal and not items[at + 1].spaced and "during" in items[at - 1].roles:
            on = [item.value for item in items[at + 3 :] if item.kind == "movement"]
            return Score("in_round", rounds=int(items[at].value), partial=[(on[0], None)] if len(on) == 1 else [])
    return None


_ORDINAL_ENDS = frozenset(["th", "st", "nd", "rd", "e", "eme", "er", "a", "o", "te", "ten"])


def _lowest(items: list[Item]) -> Score | None:
    """`lowest 11`, `worst 13, all others 14`, `lowest 15, every round the same`."""
    at = next((at for at, item in enumerate(items) if "lowest" in item.roles), None)
    numbers = [figure for item in items if item.kind in ("number", "commas") for figure in _figures(item)]
    if at is None or not numbers:
        return None
    total = next((at for at, item in enumerate(items) if "total" in item.roles), None)
    if total is not None and len(numbers) == 2:
        beside = [
            items[n].value
            for n in (total + 1, total - 1, total + 2)
            if 0 <= n < len(items) and items[n].kind == "number"
        ]
        return Score("reps", reps=beside[0]) if beside else None
    others = any("others" in item.roles or item.kind == "rest" for item in items)
    same = any(item.kind == "same" or "same" in item.roles for item in items)
    behind = numbers[1:] if others and len(numbers) > 1 else []
    behind = (
        behind[-1:] if len(behind) == 2 and any(item.kind in ("of", "times", "at") for item in items[at:]) else behind
    )
    return Score("lowest", reps=numbers[0], values=[numbers[0]] if same else behind)


def _last(items: list[Item]) -> Score | None:
    """`last set 9`: how many in the last set, which had no end of its own."""
    numbers = [item.value for item in items if item.kind == "number"]
    if len(numbers) != 1 or not any("last_set" in item.roles for item in items):
        return None
    return None if any(item.kind == "mass" for item in items) else Score("last", reps=numbers[0])


def _on_rung(items: list[Item]) -> Score | None:
    """`got to 5 thrusters in the 9s`, `10s done + 17 reps`: a rung named by its count."""
    at = next((at for at in range(len(items) - 1) if _names_rung(items, at)), None)
    if at is None:
        return None
    rung = int(items[at].value)
    numbers = [item.value for place, item in enumerate(items) if item.kind == "number" and place != at]
    done = any(item.kind == "plus" or {"done", "through_round"} & set(item.roles) for item in items)
    named = [(item.value, items[place - 1].value) for place, item in enumerate(items) if _counted(items, place)]
    if not done and named:
        return Score("into_rung", rounds=rung, partial=named)
    on = [item.value for item in items if item.kind == "movement"]
    if not done and not numbers and len(on) == 1:
        return Score("into_rung", rounds=rung, partial=[(on[0], None)])
    return Score("through" if done else "into_rung", rounds=rung, reps=sum(numbers))


def _names_rung(items: list[Item], at: int) -> bool:
    """A number with an s tied to it, behind an article or before a word for done."""
    number, mark = items[at], items[at + 1]
    plural = mark.word == "s" and mark.kind in ("time", "letter", "side") and not mark.spaced
    if number.kind != "number" or not plural or not number.value.is_integer():
        return False
    before = items[at - 1] if at else None
    following = items[at + 2] if at + 2 < len(items) else None
    article = before is not None and (before.word.endswith("the") or "into_rung" in before.roles)
    return article or (following is not None and "done" in following.roles)


def _counted(items: list[Item], at: int) -> bool:
    return items[at].kind == "movement" and at > 0 and items[at - 1].kind == "number"


def _after(items: list[Item]) -> Score | None:
    """`stopped in round 4 after the pull-ups`: a round begun, and the last movement of it that was done."""
    round_at = next((at for at, item in enumerate(items) if "in_round" in item.roles), None)
    after_at = next((at for at, item in enumerate(items) if "after_movement" in item.roles), None)
    named = [item for item in items if item.kind == "movement"]
    numbers = [item.value for item in items if item.kind == "number"]
    if round_at is None or after_at is None or len(named) != 1 or len(numbers) != 1 or after_at < round_at:
        return None
    return Score("rounds", rounds=max(0, int(numbers[0]) - 1), partial=[(named[0].value, None)])


def _at_place(items: list[Item]) -> Score | None:
    """`round 8, 4 push-ups in`, `made it to push-up 4 of round 8`: the round begun and how far in it."""
    numbers = [at for at, item in enumerate(items) if item.kind == "number"]
    named = [at for at, item in enumerate(items) if item.kind == "movement"]
    if len(numbers) != 2 or len(named) != 1 or any(item.kind == "plus" for item in items):
        return None
    told = next((n for n in numbers if _is_round(items, n)), None)
    if told is None:
        return None
    count = next(n for n in numbers if n != told)
    if abs(count - named[0]) != 1:
        return None
    partial: list[tuple[str, float | None]] = [(items[named[0]].value, items[count].value)]
    if _is_rung(items, told):
        return Score("into_rung", rounds=int(items[told].value), partial=partial)
    return Score("rounds", rounds=max(0, int(items[told].value) - 1), partial=partial)


def _is_round(items: list[Item], at: int) -> bool:
    """A figure that says which round: `round 8` first, `of round 8`, `in the 8th round`, `of the round of 15`."""
    before = items[at - 1] if at else None
    if before is None:
        return False
    if "in_round" in before.roles or _is_rung(items, at):
        return True
    if before.kind == "rounds":
        return at == 1 or _leads(items, at - 1)
    ordinal = at + 2 < len(items) and not items[at + 1].spaced and "rounds" in items[at + 2].roles
    named = ordinal and (items[at + 1].kind in ("ordinal", "nth", "stop") or items[at + 1].word in _ORDINAL_ENDS)
    return named and _leads(items, at)


def _is_rung(items: list[Item], at: int) -> bool:
    """A figure behind `of the round of`, `into the round of`: the rung that was begun."""
    before = items[at - 1]
    return "into_rung" in before.roles or ("through_round" in before.roles and _leads(items, at - 1))


def _leads(items: list[Item], at: int) -> bool:
    """Is there a word for in or of in front of this place?"""
    here = at - 1
    while here >= 0 and (items[here].kind in ("word", "a") or items[here].word in _ARTICLES):
        if "of" in items[here].roles or "during" in items[here].roles:
            break
        here -= 1
    lead = items[here] if here >= 0 else None
    return lead is not None and not {"of", "during", "work"}.isdisjoint((lead.kind, *lead.roles))


_ARTICLES = frozenset(["the", "der", "la", "le", "el", "a", "o"])


def _still_on(items: list[Item]) -> Score | None:
    """`stopped in round 3, still on the snatches`, `cap, on the cleans of round 3`: how many of them is not told."""
    named = [item for item in items if item.kind == "movement"]
    numbers = [at for at, item in enumerate(items) if item.kind == "number"]
    if len(named) != 1 or len(numbers) != 1:
        return None
    at, movement = numbers[0], items.index(named[0])
    partial: list[tuple[str, float | None]] = [(named[0].value, None)]
    place = next((n for n, item in enumerate(items) if "in_round" in item.roles), None)
    if place is not None and movement > place:
        return Score("in_round", rounds=int(items[at].value), partial=partial)
    behind = movement > at > 1 and not _leads(items, movement)
    if behind or not _is_round(items, at) or (at == 1 and movement < at):
        return None
    if any(not {"done", "through_round"}.isdisjoint(item.roles) for item in items if item is not items[at - 1]):
        if _is_rung(items, at):
            return None
        return Score("rounds", rounds=max(0, int(items[at].value) - 1), partial=partial)
    return Score("into_rung" if _is_rung(items, at) else "in_round", rounds=int(items[at].value), partial=partial)


def _by_name(items: list[Item]) -> Score | None:
    """`bench 12/9/7, chin-ups 6/5/4`: a list of figures behind each movement."""
    lists: dict[str, list[float]] = {}
    current: list[float] | None = None
    for item in items:
        if item.kind == "movement":
            if item.value in lists or current == []:
                return None
            current = lists[item.value] = []
        elif item.kind in ("number", "commas"):
            if current is None:
                return None
            current.extend(_figures(item))
        elif item.kind not in _BETWEEN:
            return None
    if not current or not all(lists.values()) or (len(lists) == 1 and len(current) < 2):
        return None
    unit = next((item.value.name for item in items if item.kind == "mass"), "")
    if unit and len(lists) == 1:
        return Score("loads", values=current, unit=unit)
    return Score("by_name", lists=lists, unit=unit)
