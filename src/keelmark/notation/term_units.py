"""A term of a figure and the unit, sign or word that stands behind its number."""

from __future__ import annotations

from dataclasses import dataclass

from keelmark.notation.items import Item
from keelmark.notation.lexicon import Unit

__all__ = ["UNITS", "Term", "unit_after", "with_unit"]

UNITS = frozenset(["mass", "length", "feet", "distance", "time", "energy"])


@dataclass(slots=True)
class Term:
    values: list[float]
    joiner: str = ""
    unit: Unit | None = None
    sign: str = ""
    start: int = 0
    end: int = 0
    cluster: bool = False
    parts: tuple[float, ...] = ()
    continues: bool = False
    units: int = 0


def unit_after(items: list[Item], at: int) -> bool:
    return at < len(items) and (items[at].kind in UNITS or items[at].kind in ("percent", "hash", "dquote"))


def with_unit(items: list[Item], at: int, term: Term) -> tuple[Term, int]:
    if at >= len(items):
        return term, at
    item = items[at]
    if item.kind in UNITS:
        if term.unit is None or term.unit.measure == item.value.measure:
            if term.unit is not None and term.unit.factor != item.value.factor and term.values:
                term.values[-1] *= item.value.factor / term.unit.factor
            else:
                term.unit = item.value
            term.units += 1
            if item.value.name == "min" and len(term.values) == 1:
                return _minutes_and_seconds(items, at + 1 if _abbreviated(items, at) else at, term)
            term.end = item.end
            return term, at + (2 if _abbreviated(items, at) else 1)
    elif item.kind == "percent" and term.sign in ("", "percent"):
        term.sign, term.end = "percent", item.end
        return term, at + 1
    elif item.kind == "hash" and not item.spaced:
        term.sign, term.end = "lb", item.end
        return term, at + 1
    elif item.kind in ("dquote", "squote") and not item.spaced:
        return _quoted(items, at, term)
    elif item.kind == "body_weight" and not term.unit:
        term.sign, term.end = "bodyweight", item.end
        return term, at + 1
    elif item.kind == "reps_word":
        term.end = item.end
        term.sign = term.sign or "reps"
        return term, at + (2 if _stop_before_name(items, at + 1) else 1)
    elif item.kind == "distance_or_mass":
        return term, at
    return term, at


def _stop_before_name(items: list[Item], at: int) -> bool:
    """`12 Wdh. Face Pulls`: the stop belongs to the abbreviation."""
    return at + 1 < len(items) and items[at].kind == "stop" and items[at + 1].kind in ("movement", "of")


_ABBREVIATIONS = frozenset(["sek", "std", "kal", "seg", "mn", "min", "sec", "cal"])


def _abbreviated(items: list[Item], at: int) -> bool:
    """`40 Sek. hollow hold`: the stop belongs to the unit, where the line goes on with what is done for so long."""
    if at + 2 >= len(items) or items[at].word not in _ABBREVIATIONS or items[at + 1].kind != "stop":
        return False
    following = items[at + 2]
    if items[at + 1].spaced or following.kind not in _AFTER_ABBREVIATION:
        return False
    for before in reversed(items[max(0, at - 8) : at]):
        if before.kind in ("newline", "colon", "comma", "and", "plus", "semicolon", "sdash", "stop", "then"):
            break
        if before.kind == "movement":
            return following.kind not in ("movement", "number")
    return True


_AFTER_ABBREVIATION = frozenset(
    ["movement", "word", "amrap", "emom", "work", "rest", "off", "of", "slash", "sslash", "pace", "cap", "every", "max"]
)


def _minutes_and_seconds(items: list[Item], at: int, term: Term) -> tuple[Term, int]:
    """`1 min 30 s` and `1 min 30` as one time."""
    term.end = items[at].end
    if at + 1 < len(items) and items[at + 1].kind == "number":
        seconds = items[at + 1]
        named = at + 2 < len(items) and items[at + 2].kind == "time" and items[at + 2].value.name == "s"
        if named or (not items[at + 1].spaced and not items[at].spaced):
            term.values[-1] += seconds.value / 60
            term.end = items[at + 2].end if named else seconds.end
            return term, at + (3 if named else 2)
    return term, at + 1


def _quoted(items: list[Item], at: int, term: Term) -> tuple[Term, int]:
    """`12'` and `24"`: minutes or feet, seconds or inches; what follows decides later."""
    term.sign = "'" if items[at].kind == "squote" else '"'
    term.end = items[at].end
    here = at + 1
    if term.sign == "'" and here < len(items) and items[here].kind == "number" and not items[here].spaced:
        term.values[-1] += items[here].value / 60
        term.end = items[here].end
        term.unit = Unit("time", "min", 60.0, False)
        term.sign = ""
        here += 1
        if here < len(items) and items[here].kind in ("dquote", "squote") and not items[here].spaced:
            term.end = items[here].end
            here += 1
    return term, here
