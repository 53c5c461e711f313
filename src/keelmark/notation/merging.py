"""Several items made one, and times in seconds."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item
from keelmark.notation.tree import Amount

__all__ = ["merged_item", "seconds_of", "whole_number", "with_sets"]


def seconds_of(item: Item, bare: float | None = 60.0) -> float | None:
    """A time in seconds; a bare number or `m` counts as minutes where a clock is meant, None when it is no time."""
    value = item.value
    if item.kind == "quote":
        return float(value[0][0].value * (60.0 if value[1] == "'" else 1.0))
    if not isinstance(value, Amount) or not value.steps:
        return None
    figure = value.steps[0].value
    if value.measure == "duration_s":
        return figure * {"s": 1.0, "min": 60.0, "h": 3600.0}[value.unit]
    if value.unit == "m" or (value.measure == "reps" and bare is not None and len(value.steps) == 1):
        return figure * (bare or 60.0)
    return None


def merged_item(kind: str, items: list[Item], value: object = None) -> Item:
    roles = tuple(role for item in items for role in item.roles)
    word = " ".join(item.word for item in items if item.word)
    return Item(kind, items[0].start, items[-1].end, value, word, roles, items[0].spaced)


def whole_number(item: Item) -> int | None:
    """The count that an item is, where it is one whole number and no list."""
    value = item.value
    if isinstance(value, Amount) and len(value.steps) == 1 and value.steps[0].value.is_integer() and value.sets == 1:
        return int(value.steps[0].value)
    return None


def with_sets(amount: Amount, sets: int) -> Amount:
    """The same amount in so many sets."""
    return replace(amount, sets=sets)
