"""Read figures as coaches write them: `5x5`, `24-18-12`, `10 to 1`, `2x15/10 kg`, `70/75/80 %`, `4 x (2.2.2)`, `400 m`.

A figure is one to four terms joined by times signs."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from keelmark.notation.items import Item
from keelmark.notation.terms import Term, terms_at
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["read_figures"]

_MEASURES = {"distance": "distance_m", "time": "duration_s", "energy": "calories"}


_CLOCK_WORDS = frozenset(["amrap", "emom", "every", "cap", "part"])
_JOINED = {",": "commas", "+": "plus", "-": "dashes"}
_KIND_OF_MEASURE = {"distance_m": "dist", "duration_s": "dur", "calories": "cals", "reps": "amount"}


def read_figures(items: list[Item]) -> list[Item]:
    """The items with every figure read: amounts, loads, heights and times take the place of numbers and units."""
    out: list[Item] = []
    at, count = 0, len(items)
    while at < count:
        kind = items[at].kind
        if kind == "number" and _names_a_variant(items, at):
            width = 3 if items[at + 1].kind == "dash" else 2
            out.append(Item("manner", items[at].start, items[at + width - 1].end, None, "", (), items[at].spaced))
            at += width
        elif kind == "number" and _is_ratio(items, at):
            out.append(
                Item("ratio", items[at].start, items[at + 2].end, items[at].value / items[at + 2].value, "", (), True)
            )
            at += 3
        elif kind == "number" and _is_plain(items, at):
            item = items[at]
            out.append(Item("amount", item.start, item.end, _counted(item.value), "", (), item.spaced))
            at += 1
        elif kind in ("number", "commas", "dots") or (kind == "open" and _is_cluster(items, at)):
            made, at = _figure(items, at)
            out.extend(made)
        elif kind == "clock":
            out.append(_clock(items[at]))
            at += 1
        elif kind == "dash" and _is_minus(items, at):
            made, after = _figure(items, at + 1)
            if made[0].kind == "load":
                out.append(Item("less", items[at].start, items[at].end, None, "minus", ("less",), True))
                out.extend(made)
            else:
                out.append(Item("negative", items[at].start, made[-1].end, None, "", (), True))
            at = after
        else:
            out.append(items[at])
            at += 1
    return out


@lru_cache(maxsize=1024)
def _counted(value: float) -> Amount:
    """So many repetitions and nothing else; the same object again for a count met before."""
    return Amount(steps=(Quantity(value),))


def _is_plain(items: list[Item], at: int) -> bool:
    """A number by itself, as in `12 burpees`: what follows cannot be part of it."""
    if at + 1 >= len(items):
        return True
    following = items[at + 1]
    if following.kind == "number":
        same = following.value == items[at].value and following.spaced
        return same and (at + 2 >= len(items) or items[at + 2].kind in ("number", "newline"))
    return following.kind in ("movement", "newline", "close")


def _is_cluster(items: list[Item], at: int) -> bool:
    """`(2+3) x 4`: the counts of a complex and its sets."""
    if at + 3 >= len(items) or items[at + 1].kind != "number" or items[at + 2].kind != "plus":
        return False
    here = at + 1
    while here + 1 < len(items) and items[here].kind == "number" and items[here + 1].kind == "plus" and here < at + 12:
        here += 2
    tail = [item.kind for item in items[here : here + 4]]
    return tail == ["number", "close", "times", "number"]


def _names_a_variant(items: list[Item], at: int) -> bool:
    """`3-position clean`: the number belongs to a word, it is no count."""
    if at + 2 >= len(items) or items[at + 1].kind != "dash" or items[at + 1].spaced:
        return _names_a_class(items, at)
    return items[at + 2].kind == "word" and not items[at + 2].spaced


def _names_a_class(items: list[Item], at: int) -> bool:
    """`for class 8b:` behind an article: a letter tied to the number makes it a name."""
    if at == 0 or at + 2 >= len(items) or items[at - 1].kind != "word":
        return False
    letter = items[at + 1]
    tied = letter.kind == "letter" and not letter.spaced and letter.word in "abcd"
    return tied and items[at + 2].kind in ("colon", "newline", "comma", "stop", "close")


def _is_ratio(items: list[Item], at: int) -> bool:
    """`2:1` as a swap ratio."""
    if at + 2 >= len(items) or items[at + 1].kind != "colon" or items[at + 1].spaced:
        return False
    if at > 0 and items[at - 1].kind in _CLOCK_WORDS:
        return False
    return items[at + 2].kind == "number" and not items[at + 2].spaced and items[at + 2].value > 0


def _is_minus(items: list[Item], at: int) -> bool:
    """A dash tied to the number behind it and not to anything before: a minus sign, or a bullet at a line's start."""
    if at + 1 >= len(items) or items[at + 1].kind not in ("number", "clock") or items[at + 1].spaced:
        return False
    if at == 0 or items[at - 1].kind == "newline":
        return sum(_starts_with_dash(items, place) for place in range(len(items))) < 2
    before = items[at - 1].kind
    return items[at].spaced or before in ("times", "open", "colon", "at", "comma", "plus")


def _starts_with_dash(items: list[Item], at: int) -> bool:
    return items[at].kind == "dash" and (at == 0 or items[at - 1].kind == "newline")


def _clock(item: Item) -> Item:
    amount = Amount("duration_s", "s", (Quantity(item.value),))
    return Item("dur", item.start, item.end, amount, "clock", (), item.spaced)


def _figure(items: list[Item], at: int) -> tuple[list[Item], int]:
    first = items[at]
    terms, here = terms_at(items, at)
    made = _meaning(terms, items)
    for item in made:
        item.spaced = first.spaced
    return made, here


def _meaning(terms: list[Term], items: list[Item]) -> list[Item]:
    if not terms:
        return []
    start, end = terms[0].start, terms[-1].end
    if len(terms) == 1:
        return [_single(terms[0], start, end)]
    *before, last = terms
    if last.joiner == "clock":
        return [_timed(before, last, start, end)]
    loads = [number for number, term in enumerate(terms) if _is_load(term)]
    if loads:
        return _loaded(terms, loads[0], start, end)
    if len(before) == 1 and before[0].sign in ("'", '"') and not last.sign and last.unit is None:
        before, last = [last], before[0]
    if last.sign == '"' and len(before) == 1 and last.joiner == "/" and last.values[0] >= last.values[-1]:
        return [Item("interval_figure", start, end, (_times(before[0]), last.values[0], last.values[1]))]
    if last.sign in ("'", '"') and len(before) == 1:
        unit = "min" if last.sign == "'" else "s"
        return [Item("dur", start, end, Amount("duration_s", unit, _steps(last, load=True), _times(before[0])))]
    if len(terms) == 2 and terms[0].cluster and terms[0].parts and last.unit is None:
        before, last = [last], terms[0]
        terms = [*before, last]
    with_unit = next((term for term in terms if term.unit is not None), None)
    if with_unit is not None:
        return _of_unit([term for term in terms if term.unit is None], with_unit, start, end)
    return _bare(terms, start, end)


def _times(term: Term) -> int:
    """How often, as the first number of a term tells: at least once."""
    return max(1, int(min(term.values[0], 1e6)))


def _of_unit(plain: list[Term], figure: Term, start: int, end: int) -> list[Item]:
    """Sets of a distance, time or height, or so many intervals of work and rest."""
    sets = math.prod(map(_times, plain))
    unit = figure.unit
    if unit is not None and unit.measure == "time" and figure.units == 2 and figure.joiner == "/":
        work, rest = figure.values[0] * unit.factor, figure.values[1] * unit.factor
        return [Item("interval_figure", start, end, (sets, work, rest))]
    if unit is not None and unit.measure in ("length", "feet") and plain:
        return _counted_height(plain, figure)
    return [_multiplied(_single(figure, start, end), sets)]


def _bare(terms: list[Term], start: int, end: int) -> list[Item]:
    """Numbers without a unit: sets and reps, or sets, reps and a load."""
    *before, last = terms
    if len(terms) >= 3 and last.values[0] > 20 and terms[1].values[0] <= 30:
        amount = _multiplied(_single(terms[1], start, terms[1].end), int(terms[0].values[0]))
        return [amount, Item("load", last.start, last.end, Load((Quantity(last.values[0]),), ""))]
    if _is_loads_and_reps(before, last):
        load = Item("load", before[0].start, before[0].end, Load(tuple(map(Quantity, before[0].values)), ""))
        return [_single(last, last.start, last.end), load]
    if len(before[0].values) > 1 and len(before) == 1 and len(last.values) == 1:
        return [_multiplied(_single(before[0], start, end), max(1, int(last.values[0])))]
    sets = math.prod(max(0, int(min(term.values[0], 1e6))) for term in before)
    return [_multiplied(_single(last, start, end), sets)]


def _is_loads_and_reps(before: list[Term], last: Term) -> bool:
    """`60/80/100 x 5`: at least three rising loads, and the reps done at each."""
    values = before[0].values
    if len(before) > 1 or len(values) < 3 or len(last.values) != 1 or before[0].joiner not in ("/", "-", ","):
        return False
    rising = all(one < other for one, other in itertools.pairwise(values))
    return rising and values[0] >= 20 and last.values[0] <= 12


def _counted_height(plain: list[Term], height: Term) -> list[Item]:
    """`10 x 60 cm`, `5x3x60 cm`: reps at a height."""
    sets = 1
    for term in plain[:-1]:
        sets *= max(1, int(min(term.values[0], 1e6)))
    amount = _single(plain[-1], plain[0].start, plain[-1].end)
    if sets > 1:
        amount = _multiplied(amount, sets)
    return [amount, _single(height, height.start, height.end)]


def _multiplied(item: Item, sets: int) -> Item:
    if isinstance(item.value, Amount):
        amount = item.value
        item.value = Amount(
            amount.measure, amount.unit, amount.steps, amount.sets * sets, amount.sides, amount.continues, amount.open
        )
        item.parts = ["sets", *item.parts]
    return item


def _timed(before: list[Term], clock: Term, start: int, end: int) -> Item:
    """`8x20:10` is intervals; `5 x 2:00` is five times two minutes."""
    sets = max(1, int(min(before[0].values[0], 1e6)))
    minutes, seconds = divmod(clock.values[0], 60)
    if minutes >= 10:
        return Item("interval_figure", start, end, (sets, minutes, seconds))
    return Item("dur", start, end, Amount("duration_s", "s", (Quantity(clock.values[0]),), sets))


def _is_load(term: Term) -> bool:
    return term.sign in ("percent", "lb", "bodyweight") or (term.unit is not None and term.unit.measure == "mass")


def _loaded(terms: list[Term], place: int, start: int, end: int) -> list[Item]:
    """Sets, reps and a load joined by times signs, in any order."""
    load_term = terms[place]
    load_item = _single(load_term, load_term.start, load_term.end)
    others = [term for term in terms if term is not load_term]
    if place == len(terms) - 1 and len(others) == 1 and len(others[0].values) == 1 and load_term.sign != "percent":
        if load_term.sign == "bodyweight":
            load_item.start = start
        return [Item("xload", start, end, (others[0].values[0], load_item.value))]
    figure = others[-1]
    amount = _single(figure, figure.start, figure.end)
    if len(others) > 1:
        amount = _multiplied(amount, int(min(others[0].values[0], 1e6)))
    else:
        amount.parts = ["sets"] if place == 0 else []
    return [amount, load_item] if place > 0 else [load_item, amount]


def _single(term: Term, start: int, end: int) -> Item:
    if _is_load(term):
        unit = term.sign if term.sign in ("percent", "lb", "bodyweight") else (term.unit.name if term.unit else "")
        return Item("load", start, end, Load(_steps(term, load=True), unit))
    if term.sign == "mixed" and term.unit is None:
        return Item("manner", start, end, None)
    if term.sign in ("'", '"'):
        return Item("quote", start, end, (_steps(term, load=True), term.sign))
    if term.unit is not None and term.unit.measure in ("length", "feet"):
        return Item("height", start, end, Height(_steps(term, load=True)[0], term.unit.name))
    measure = _MEASURES[term.unit.measure] if term.unit else "reps"
    if measure == "distance_m" and term.joiner == "/" and len(term.values) == 2 and _is_fraction(term):
        term = Term([term.values[0] / term.values[1]], unit=term.unit)
    unit = term.unit.name if term.unit else "rep"
    sides = 1
    steps: tuple[Quantity, ...]
    if term.joiner == "/" and len(term.values) == 2 and term.values[0] == term.values[1]:
        steps, sides = (Quantity(term.values[0]),), 2
    else:
        steps = _steps(term)
    amount = Amount(measure, unit, steps, 1, sides, term.continues)
    return Item(_KIND_OF_MEASURE[measure], start, end, amount, parts=_parts_of(term))


def _parts_of(term: Term) -> Sequence[Any]:
    """How the numbers of a term were joined, which tells later what they may mean."""
    if term.joiner == "/" and len(term.values) == 2 and term.values[0] != term.values[1]:
        return ["pair"]
    if term.joiner in _JOINED:
        return [_JOINED[term.joiner]]
    if term.parts:
        return ["plus", term.parts]
    return ["reps"] if term.sign == "reps" else ()


def _is_fraction(term: Term) -> bool:
    return term.unit is not None and term.unit.name in ("mi", "km") and term.values[0] < term.values[1] <= 8


def _steps(term: Term, load: bool = False) -> tuple[Quantity, ...]:
    values = term.values
    if len(values) == 1 or not term.joiner:
        return (Quantity(values[0]),)
    if len(values) == 2:
        first, second = values
        if term.joiner == "/":
            return (Quantity(first, second),)
        if term.joiner == "-" and first < second and not term.continues:
            return (Quantity(first, top=second),)
        if term.joiner == "~":
            if load or (term.unit is not None) or (first < second and first != 1 and second - first <= 4):
                return (Quantity(min(first, second), top=max(first, second)),)
            return _ladder(first, second)
    return tuple(Quantity(value) for value in values)


def _ladder(first: float, last: float) -> tuple[Quantity, ...]:
    """Every whole number from one to the other."""
    if not (first.is_integer() and last.is_integer()) or abs(first - last) > 1000:
        return (Quantity(first), Quantity(last))
    step = 1 if last >= first else -1
    return tuple(Quantity(float(value)) for value in range(int(first), int(last) + step, step))
