"""Which standard comes first: `W/M:` in front of the work says it for every pair of figures behind it."""

from __future__ import annotations

from keelmark.notation.items import Item
from keelmark.notation.standards import SEXES, sex_of, swapped
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["read_standard_order"]

_BEHIND = frozenset(["colon", "newline", "close", "sdash", "stop"])
_FIGURES = frozenset(["load", "height", "cals", "dist", "amount", "dur", "xload", "quote"])
_TOLD = frozenset(["word", "load", "at", "of", "letter", "for_word", "colon", "reps_word", "standard", "all", "done"])


def read_standard_order(items: list[Item]) -> list[Item]:
    """The items with every pair put heavier first where a label that stands alone names the lighter standard first."""
    if not any(item.kind in ("slash", "sslash") for item in items):
        return items
    out, lighter_first, at = list[Item](), False, 0
    while at < len(items):
        label = _label(items, at)
        if label:
            lighter_first = sex_of(items[at], items[at : at + 3]) == "women"
            if lighter_first and not any(_is_rising(item) for item in items[at:]):
                out = [_put_right(out, place) for place in range(len(out))]
            out.append(Item("manner", items[at].start, items[at + 2].end, None, "", ("manner",), items[at].spaced))
            at += 3
        else:
            out.append(_put_right([*out[-2:], *items[at : at + 3]], len(out[-2:])) if lighter_first else items[at])
            at += 1
    return out


def _label(items: list[Item], at: int) -> bool:
    """`W/M:`, `(loads women/men)`: two standards named with no figure of their own."""
    trio = items[at : at + 3]
    if len(trio) < 3 or trio[1].kind not in ("slash", "sslash") or {trio[0].kind, trio[2].kind} - SEXES:
        return False
    if {sex_of(trio[0], trio), sex_of(trio[2], trio)} != {"men", "women"}:
        return False
    if at + 3 < len(items) and items[at + 3].kind not in _BEHIND:
        return False
    start = at
    while start and items[start - 1].kind in _TOLD:
        start -= 1
    if not start or items[start - 1].kind == "newline":
        return at + 3 >= len(items) or items[at + 3].kind != "close"
    if items[start - 1].kind in ("comma", "semicolon", "stop"):
        return start < at or (at + 3 < len(items) and items[at + 3].kind == "colon")
    bracket = items[start - 1].kind == "open" and at + 3 < len(items) and items[at + 3].kind == "close"
    return bracket and not (start > 1 and items[start - 2].kind in _FIGURES)


def _put_right(items: list[Item], at: int) -> Item:
    """A pair with the lower figure first as one with the higher first, unless a label of its own tells."""
    item = items[at]
    beside = [other.kind for other in (*items[max(0, at - 2) : at], *items[at + 1 : at + 3])]
    if not _is_rising(item) or not SEXES.isdisjoint(beside):
        return item
    return Item(item.kind, item.start, item.end, swapped(item.value), item.word, item.roles, item.spaced, item.parts)


def _is_rising(item: Item) -> bool:
    """A pair whose first figure is the lower one."""
    if item.kind not in _FIGURES:
        return False
    return any(step.lighter is not None and step.value < step.lighter for step in _steps(item.value))


def _steps(value: object) -> tuple[Quantity, ...]:
    if isinstance(value, Load | Amount):
        return value.steps
    if isinstance(value, Height):
        return (value.value,)
    if isinstance(value, tuple) and len(value) == 2:
        return value[0] if isinstance(value[0], tuple) else _steps(value[1])
    return ()
