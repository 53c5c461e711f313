"""Names said twice: `Ausstoßen (split jerk)`, `tirage barre (bent row)`: the bracket says which movement is meant."""

from __future__ import annotations

from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.trade import trade

__all__ = ["read_glosses"]

_BEFORE = frozenset(["word", "letter", "side", "of", "per_side", "single_arm", "bar", "with", "for_word"])
_FARTHEST = 5


_KEYS = frozenset(["movement", "scheme", "load", "height"])


def read_glosses(items: list[Item], text: str, lexicon: Lexicon) -> list[Item]:
    """The items with each bracket that holds nothing but a name taken as the name of what stands before it.

    The keys of `movement = thruster; scheme = 5x5` are left out.
    """
    kinds = {item.kind for item in items}
    items = _without_keys(items, lexicon) if "equals" in kinds else items
    if "open" not in kinds:
        return items
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        named = _named_in_bracket(items, at) if item.kind == "open" and out else None
        start = _first_of_name(out, named, text, lexicon) if named is not None else None
        if named is not None and start is not None:
            first = out[start]
            del out[start:]
            made = Item("movement", first.start, items[at + 2].end, named.value, named.word, named.roles, first.spaced)
            out.append(made)
            at += 3
        else:
            out.append(item)
            at += 1
    return out


def _without_keys(items: list[Item], lexicon: Lexicon) -> list[Item]:
    keys = {
        at
        for at, item in enumerate(items[:-1])
        if items[at + 1].kind == "equals"
        and lexicon.columns.get(item.word) in _KEYS
        and (at == 0 or items[at - 1].kind in ("newline", "semicolon", "comma", "cell"))
    }
    return [item for at, item in enumerate(items) if at not in keys and at - 1 not in keys] if keys else items


def _named_in_bracket(items: list[Item], at: int) -> Item | None:
    """The movement that a bracket holds, with nothing beside it."""
    if at + 2 < len(items) and items[at + 1].kind == "movement" and items[at + 2].kind == "close":
        return items[at + 1]
    return None


def _first_of_name(out: list[Item], named: Item, text: str, lexicon: Lexicon) -> int | None:
    """Where the name begins that the bracket explains; None where the bracket offers another movement instead."""
    start = len(out)
    for place in range(len(out) - 1, max(-1, len(out) - 1 - _FARTHEST), -1):
        item = out[place]
        if item.kind == "movement":
            swaps = lexicon.catalogue.movements[item.value].swaps
            sure = (
                lexicon.doubt(item.word, None) is not None or _abbreviates(named, item, text) or _refines(named, item)
            )
            return (
                None if not sure and any(swap.to == named.value for swap in swaps) else _whole_name(out, place, named)
            )
        if item.kind not in _BEFORE and not (item.kind == "number" and item.word):
            break
        start = place
    while start < len(out) and out[start].kind != "word":
        start += 1
    return _whole_name(out, start, named) if start < len(out) else None


def _refines(named: Item, item: Item) -> bool:
    """`Umsetzen (power clean)`: the same lift, told more exactly."""
    more = set(named.value.split("_")) - set(item.value.split("_"))
    return set(item.value.split("_")) <= set(named.value.split("_")) and more <= set(trade()["refining"]["words"])


def _abbreviates(named: Item, item: Item, text: str) -> bool:
    """`Kraftumsetzen (PC)`: capitals that stand for a movement of the same family."""
    short = text[named.start : named.end].isupper() and named.end - named.start <= 5
    return short and bool(set(named.value.split("_")) & set(item.value.split("_")))


def _whole_name(out: list[Item], start: int, named: Item) -> int:
    """`burpees con salto al cajón por encima (BBJO)`: a name of several that are each known alone."""
    for place in range(start - 1, max(-1, start - 4), -1):
        item = out[place]
        if item.kind == "movement" and set(item.value.split("_")) <= set(named.value.split("_")):
            return _whole_name(out, place, named)
        if item.kind not in _BEFORE and item.kind not in ("for_word", "at"):
            break
    return start
