"""Legends: `(kg x reps x sets)` says in which order the figures of the lines below it stand."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon

__all__ = ["read_legends"]

_ORDER = ("sets", "reps", "load")


def read_legends(items: list[Item], lexicon: Lexicon) -> list[Item]:
    """The items with each `60x5x1` behind a legend in the order in which it is read anyway: sets x reps x load.

    A legend names sets, reps and a load, each once and joined by times signs; it is for the rest of the text and is
    itself left out. Without one the items stay as given.

    Parameters
    ----------
    items : list of Item
        As they were told apart, before figures are read.
    lexicon : Lexicon
        Which knows the units.
    """
    if len([item for item in items if item.kind == "times"]) < 4:
        return items
    for at in range(len(items) - 4):
        found = _legend(items, at)
        if found is not None:
            order, named = found
            known = lexicon.units.get(named.word)
            unit = replace(named, kind="mass", value=known) if known is not None and known.measure == "mass" else None
            framed = at > 0 and items[at - 1].kind == "open" and at + 5 < len(items) and items[at + 5].kind == "close"
            start, end = (at - 1, at + 6) if framed else (at, at + 5)
            return items[:start] + _ordered(items[end:], order, unit)
    return items


def _legend(items: list[Item], at: int) -> tuple[tuple[str, ...], Item] | None:
    """The order that five items name, `kg x reps x sets`, and the item that names the load."""
    named, signs = items[at : at + 5 : 2], items[at + 1 : at + 5 : 2]
    if any(sign.kind != "times" for sign in signs):
        return None
    order = tuple(_part(item) for item in named)
    return (order, named[order.index("load")]) if sorted(order) == sorted(_ORDER) else None


def _part(item: Item) -> str:
    if item.kind == "mass" or item.word in ("kg", "lb", "lbs", "kilos"):
        return "load"
    for role, part in (("sets", "sets"), ("reps_word", "reps"), ("at", "load")):
        if item.kind == role or role in item.roles:
            return part
    return ""


def _ordered(items: list[Item], order: tuple[str, ...], unit: Item | None) -> list[Item]:
    """Figures of three numbers put into the order sets, reps, load."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        trio = items[at : at + 5]
        kinds = [item.kind for item in trio]
        if kinds == ["number", "times", "number", "times", "number"]:
            values = dict(zip(order, trio[::2], strict=True))
            out += [_moved(values[_ORDER[n // 2]], trio[n]) if n % 2 == 0 else trio[n] for n in range(5)]
            if unit is not None:
                out.append(replace(unit, start=trio[-1].end, end=trio[-1].end, spaced=False))
            at += 5
        else:
            out.append(items[at])
            at += 1
    return out


def _moved(item: Item, place: Item) -> Item:
    """The number in the place of another, so that the places in the text stay in order."""
    return replace(item, start=place.start, end=place.end, spaced=place.spaced)
