"""Signs between two numbers: which join them into one series, and which begin another figure."""

from __future__ import annotations

from collections.abc import Callable

from keelmark.notation.items import Item
from keelmark.notation.lexicon import Unit
from keelmark.notation.term_units import UNITS, Term, unit_after

__all__ = ["joins"]


def joins(items: list[Item], here: int, at: int, term: Term, later: bool) -> bool:
    """Does the sign at `here` join the number before it with one after it into one series?"""
    sign = items[here].kind
    unit = items[here + 2].value if here + 2 < len(items) and items[here + 2].kind in UNITS else None
    if not _may_go_on(items, here, term, unit):
        return False
    behind = items[here + 2].kind if here + 2 < len(items) else ""
    if term.sign == "percent" and sign in ("slash", "sslash"):
        return behind == "percent"
    if sign in ("slash", "sslash", "comma") and behind == "times":
        same = items[here + 1].value == term.values[0]
        rising = len(term.values) > 1 and term.values[0] >= 20 and term.values[-1] < items[here + 1].value
        return sign == "slash" and (same or rising) and not later and term.unit is None
    rule = _BY_SIGN.get(sign)
    return rule is None or rule(items, here, at, term, later, unit)


def _may_go_on(items: list[Item], here: int, term: Term, unit: Unit | None) -> bool:
    """A number follows, and it is no count of its own: no other unit, no reps behind a load, no other work."""
    following, sign = items[here + 1], items[here]
    if following.kind not in ("number", "commas") or (following.kind == "commas" and sign.kind != "comma"):
        return False
    if unit is not None:
        return term.unit is None or unit.measure == term.unit.measure
    if following.kind == "commas" and term.unit is not None:
        return False
    if sign.kind == "slash" and _is_load_over_reps(term, following):
        return False
    return term.unit is None or not _begins_another(items, here, term, following)


def _joins_by_dots(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    return not later if unit is not None else term.unit is None


def _joins_by_arrow(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    far = unit is not None and unit.measure == "distance" and len(term.values) == 1 and term.unit is None
    return not later and not far and (unit is not None or term.unit is None)


def _joins_by_dash(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    ends = term.unit is not None and unit is None and here + 2 < len(items) and items[here + 2].kind == "movement"
    return not ends and (not items[here + 1].spaced or not items[here].spaced)


def _joins_by_spaced_dash(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    counted = term.unit is None and here + 2 < len(items) and items[here + 2].kind == "reps_word"
    return counted or _numbers_follow(items, at, "sdash") >= 3


def _joins_by_and(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    return term.joiner == "," and unit_after(items, here + 2)


def _joins_by_comma(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    return _numbers_follow(items, at, "comma") >= 3


def _joins_by_to(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    sign, following = items[here], items[here + 1]
    if not (sign.kind == "to" or "to" in sign.roles or sign.word == "a"):
        return False
    if later and unit is not None and unit.measure in ("length", "feet", "mass") and term.unit is None:
        return False
    if sign.word not in ("a", "al", "ao", "at"):
        return True
    plain = not later and term.unit is None and not term.sign and not unit_after(items, here + 2)
    return plain and (term.values[0] > following.value or term.values[0] == 1)


def _joins_by_spaced_slash(items: list[Item], here: int, at: int, term: Term, later: bool, unit: Unit | None) -> bool:
    following = items[here + 1]
    if later and unit is not None and unit.measure == "mass" and term.unit is None:
        return following.kind == "number" and following.value <= term.values[0]
    return unit_after(items, here + 2) or (term.unit is None and _numbers_follow(items, at, "sslash") >= 3)


_BY_SIGN: dict[str, Callable[[list[Item], int, int, Term, bool, Unit | None], bool]] = {
    "ellipsis": _joins_by_dots,
    "arrow": _joins_by_arrow,
    "dash": _joins_by_dash,
    "sdash": _joins_by_spaced_dash,
    "and": _joins_by_and,
    "comma": _joins_by_comma,
    "to": _joins_by_to,
    "a": _joins_by_to,
    "at": _joins_by_to,
    "sslash": _joins_by_spaced_slash,
}
"""What each sign between two numbers asks for; a sign without a rule joins them."""


def _begins_another(items: list[Item], here: int, term: Term, following: Item) -> bool:
    """`400m/21 swings`: another count; `20 lb to 10'`: the height behind a load."""
    behind = items[here + 2] if here + 2 < len(items) else None
    if behind is None or following.kind != "number" or term.unit is None:
        return False
    if items[here].kind == "slash" and term.unit.measure == "distance" and behind.kind == "movement":
        return bool(following.value < 0.4 * term.values[0])
    return term.unit.measure == "mass" and items[here].kind != "slash" and behind.kind in ("squote", "dquote")


def _is_load_over_reps(term: Term, following: Item) -> bool:
    """`70kg/1`: a load and its reps, for no two standards lie so far apart."""
    mass = term.unit is not None and term.unit.measure == "mass" and len(term.values) == 1
    return mass and following.kind == "number" and following.value <= 10 and following.value < 0.2 * term.values[0]


def _numbers_follow(items: list[Item], at: int, joiner: str) -> int:
    """How many numbers stand in a row from `at`, joined by this sign; units may stand between."""
    count, here = 0, at
    while here < len(items) and items[here].kind in ("number", "commas"):
        if here > at and here + 1 < len(items) and items[here + 1].kind == "times":
            break
        count += len(items[here].value) if items[here].kind == "commas" else 1
        here += 1
        if here < len(items) and items[here].kind in UNITS:
            here += 1
        if (
            count >= 3
            or here >= len(items)
            or (items[here].kind != joiner and not (joiner == "comma" and items[here].kind == "and"))
        ):
            break
        here += 1
    if count >= 3 and joiner == "comma" and here < len(items) and items[here].kind == "movement":
        return count
    return count
