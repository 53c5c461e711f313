"""A result told movement by movement: `row 14, 13, 12 cal; box jumps 12, 12, 11`."""

from __future__ import annotations

import re

from keelmark.notation.items import Item, items_of
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.score_kinds import Score

__all__ = ["movement_by_movement"]

_BETWEEN = frozenset(["comma", "slash", "sslash", "dash", "sdash"])
_COUNTED = frozenset(["reps_word", "energy"])


def movement_by_movement(text: str, lexicon: Lexicon) -> Score | None:
    """The figures of each movement, where every part of a result is a name and figures behind it.

    Names of lifts alone are left to whoever knows whether their figures are loads.
    """
    parts = [part for part in re.split(r"[;\n]", text) if part.strip()]
    if len(parts) < 2:
        return None
    lists: dict[str, list[float]] = {}
    for part in parts:
        found = _name_and_figures(list(items_of(part, lexicon)))
        if found is None or found[0] in lists:
            return None
        lists[found[0]] = found[1]
    lifts = all(lexicon.catalogue.movements[name].load == "needs" for name in lists)
    return None if lifts else Score("by_name", lists=lists)


def _name_and_figures(items: list[Item]) -> tuple[str, list[float]] | None:
    if len(items) < 2 or items[0].kind != "movement":
        return None
    rest = items[2:] if items[1].kind == "colon" else items[1:]
    if rest and (rest[-1].kind in _COUNTED or (rest[-1].kind == "word" and rest[-1].word in ("cal", "cals", "kcal"))):
        rest = rest[:-1]
    figures: list[float] = []
    for item in rest:
        if item.kind == "commas":
            figures += item.value
        elif item.kind == "number":
            figures.append(item.value)
        elif item.kind not in _BETWEEN:
            return None
    return (str(items[0].value), figures) if figures else None
