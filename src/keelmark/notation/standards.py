"""Figures for two standards, labelled in any way: `60/40 kg (M/F)`, `W: 15 kg, M: 20 kg`."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.cascade import Cascade
from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["SEXES", "read_standards", "sex_of", "swapped"]

SEXES = frozenset(["letter", "men", "women"])

_SEX = "(letter|men|women)"


_BETWEEN = "(comma|slash|sslash|semicolon|and|sdash|dash|cell)?"
_FIGURE = "(load|height|cals|dist|amount|dur|xload|quote)"


_SEX_LETTERS = {"M": "men", "W": "women", "F": "women", "H": "men", "D": "women"}


_FIGURES = frozenset(["load", "height", "cals", "dist", "amount", "dur", "xload", "quote"])


def sex_of(item: Item, others: list[Item]) -> str | None:
    """Whom a word or a letter stands for: with an H beside it, M is for women (hombres, mujeres)."""
    if item.kind in ("men", "women"):
        return item.kind
    if item.value == "M" and any(other.value == "H" for other in others if other.kind == "letter"):
        return "women"
    return _SEX_LETTERS.get(str(item.value))


def _named_pair(items: list[Item]) -> list[Item] | None:
    labels = [item for item in items if item.kind in ("letter", "men", "women")]
    figures = [item for item in items if item.kind in _FIGURES]
    sexes = [sex_of(label, labels) for label in labels[:2]]
    if len(figures) != 2 or set(sexes) != {"men", "women"}:
        return None
    heavier, lighter = figures if sexes[0] == "men" else reversed(figures)
    merged = _merged(heavier, lighter)
    return None if merged is None else [merged_item(merged[0], items, merged[1])]


def _relabelled(items: list[Item]) -> list[Item] | None:
    labels = [item for item in items if item.kind in ("letter", "men", "women")]
    figure = next(item for item in items if item.kind in _FIGURES)
    sexes = [sex_of(label, labels) for label in labels[:2]]
    if set(sexes) != {"men", "women"}:
        return None
    made = merged_item(figure.kind, items, swapped(figure.value) if sexes[0] == "women" else figure.value)
    made.parts = ["pair", "labelled"]
    return [made]


def _swap(quantity: Quantity) -> Quantity:
    if quantity.lighter is None:
        return quantity
    return Quantity(quantity.lighter, quantity.value)


def swapped(value: object) -> object:
    """A figure for two standards with the two the other way round."""
    if isinstance(value, Load | Amount):
        return replace(value, steps=tuple(_swap(step) for step in value.steps))
    if isinstance(value, Height):
        return replace(value, value=_swap(value.value))
    if isinstance(value, tuple) and len(value) == 2 and isinstance(value[0], tuple):
        return (tuple(_swap(step) for step in value[0]), value[1])
    if isinstance(value, tuple) and len(value) == 2:
        return (value[0], swapped(value[1]))
    return value


def _merged(heavier: Item, lighter: Item) -> tuple[str, object] | None:
    """Two figures for two standards as one."""
    one, two = heavier.value, lighter.value
    kind = heavier.kind if heavier.kind != "amount" else lighter.kind
    if heavier.kind == lighter.kind == "quote":
        same = one[1] == two[1]
        return ("quote", ((Quantity(one[0][0].value, two[0][0].value),), one[1])) if same else None
    if isinstance(one, tuple) and isinstance(two, tuple):
        merged = _merged(Item("load", 0, 0, one[1]), Item("load", 0, 0, two[1]))
        return None if merged is None else ("xload", (one[0], merged[1]))
    if isinstance(one, Load) and isinstance(two, Load):
        pairs = zip(one.steps, two.steps, strict=False)
        return kind, replace(one, steps=tuple(Quantity(a.value, b.value) for a, b in pairs))
    if isinstance(one, Amount) and isinstance(two, Amount):
        named = one if one.measure != "reps" else two
        pairs = zip(one.steps, two.steps, strict=False)
        return kind, replace(named, steps=tuple(Quantity(a.value, b.value) for a, b in pairs))
    if isinstance(one, Height) and isinstance(two, Height):
        return kind, Height(Quantity(one.value.value, two.value.value), one.unit)
    bare, whole = (one, two) if isinstance(one, Amount) else (two, one)
    if isinstance(bare, Amount) and bare.measure == "reps" and bare.steps:
        first = bare is one
        figure = bare.steps[0].value
        if isinstance(whole, Load):
            pair = Quantity(figure, whole.steps[0].value) if first else Quantity(whole.steps[0].value, figure)
            return ("load", replace(whole, steps=(pair,)))
        if isinstance(whole, Height):
            pair = Quantity(figure, whole.value.value) if first else Quantity(whole.value.value, figure)
            return ("height", Height(pair, whole.unit))
    return None


def _paired_pairs(items: list[Item]) -> list[Item] | None:
    """`9 kg, 10 ft / 6 kg, 9 ft`: load and height for one standard, then for the other."""
    figures = [item for item in items if item.kind in _FIGURES]
    made: list[Item] = []
    for first, second in zip(figures[:2], figures[2:], strict=True):
        merged = _merged(first, second) if first.kind == second.kind else None
        if merged is None:
            return None
        made.append(merged_item(merged[0], [first], merged[1]))
    made[-1].end = items[-1].end
    return made


_LOAD_AND_HEIGHT = "load (comma|to|at|slash|sslash|and|word|a)? (height|quote|dist)"


def _named_pairs_of_two(items: list[Item]) -> list[Item] | None:
    """`women 6 kg to 9 ft / men 9 kg to 10 ft`: load and height of each standard behind its name."""
    labels = [item for item in items if item.kind in SEXES]
    sexes = [sex_of(label, labels) for label in labels[:2]]
    figures = [item for item in items if item.kind in _FIGURES]
    if len(figures) != 4 or set(sexes) != {"men", "women"}:
        return None
    one, other = (figures[:2], figures[2:]) if sexes[0] == "men" else (figures[2:], figures[:2])
    made: list[Item] = []
    for heavier, lighter in zip(one, other, strict=True):
        merged = _merged(heavier, lighter) if heavier.kind == lighter.kind else None
        if merged is None:
            return None
        made.append(merged_item(merged[0], [min(heavier, lighter, key=lambda item: item.start)], merged[1]))
    made[-1].end = items[-1].end
    return made


_STANDARDS = Cascade(
    [
        (
            "load (comma|to|at)? height (slash|sslash) load (comma|to|at)? height",
            _paired_pairs,
        ),
        (
            f"{_SEX} (colon|equals)? {_LOAD_AND_HEIGHT} {_BETWEEN} {_SEX} (colon|equals)? {_LOAD_AND_HEIGHT}",
            _named_pairs_of_two,
        ),
        (
            f"{_SEX} (colon|equals)? {_FIGURE} {_BETWEEN} {_SEX} (colon|equals)? {_FIGURE}",
            _named_pair,
        ),
        (
            f"{_FIGURE} open? (of)? {_SEX} close? {_BETWEEN} {_FIGURE} open? (of)? {_SEX} close?",
            _named_pair,
        ),
        (f"open {_SEX} close {_FIGURE} {_BETWEEN} open {_SEX} close {_FIGURE}", _named_pair),
        (f"{_SEX} (slash|sslash) {_SEX} (colon|equals)? {_FIGURE}", _relabelled),
        (f"{_FIGURE} (equals|colon) {_SEX} (slash|sslash) {_SEX}", _relabelled),
        (f"{_SEX} (slash|sslash) {_SEX} equals? {_FIGURE}", _relabelled),
        (f"{_FIGURE} open? {_SEX} (slash|sslash) {_SEX} close?", _relabelled),
        (f"open {_SEX} (slash|sslash) {_SEX} close {_FIGURE}", _relabelled),
    ]
)


def read_standards(items: list[Item]) -> list[Item]:
    return _STANDARDS.run(items)
