"""What is made of phrases about sets, reps, sides, tempo and effort."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item, whole_number
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Quantity

__all__ = [
    "after_long_way",
    "after_way",
    "at_least",
    "before_round",
    "both_sides",
    "building",
    "building_single",
    "each_minute",
    "each_side",
    "each_side_amount",
    "each_side_letters",
    "last_set_open",
    "lengths_of",
    "mirrored",
    "open_set",
    "open_sets",
    "open_sets_of",
    "rating",
    "rep_max",
    "reps_named",
    "sets_and_reps",
    "sets_named",
    "sets_of",
    "sets_of_named",
    "start_count",
    "tempo",
    "tempo_after",
    "with_what",
]


def sets_of(items: list[Item]) -> list[Item] | None:
    sets = whole_number(items[0])
    if sets is None:
        return None
    last = items[-1]
    if last.kind == "sets" and "reps" in items[0].parts:
        return [merged_item("amount", items, items[0].value)]
    if last.kind == "max":
        return [merged_item("amount", items, Amount(open=True, sets=sets))]
    if last.kind in ("amount", "dist", "dur", "cals") and len(items) > 2:
        each = "plus" not in last.parts
        sets = 1 if each and len(last.value.steps) == sets and last.value.sets == 1 else sets
        made = merged_item(last.kind, items, replace(last.value, sets=last.value.sets * sets))
        made.parts = ["sets", "words"] if each else ["sets", "words", *last.parts]
        return [made]
    if last.kind == "sets":
        return [merged_item("nsets", items, sets)]
    return None


def open_sets_of(items: list[Item]) -> list[Item] | None:
    """`sets of 5`, how many of them only the score tells."""
    amount = items[-1].value
    plain = amount.sets == 1 and len(amount.steps) == 1 and amount.steps[0].top is None and not amount.open
    return [merged_item("amount", items, replace(amount, open=True))] if plain else None


def sets_of_named(items: list[Item]) -> list[Item] | None:
    """`5 singles`, `4 Zweier`: sets of a lift that is named elsewhere."""
    sets, reps = whole_number(items[0]), items[1].value
    if sets is None or not reps:
        return None
    made = merged_item("amount", items, Amount(steps=(Quantity(float(reps)),), sets=sets))
    made.parts = ["sets"]
    return [made]


def sets_named(items: list[Item]) -> list[Item] | None:
    """`sets: 5`, `Serien = 4`."""
    sets = whole_number(items[-1])
    return None if sets is None else [merged_item("nsets", items, sets)]


def sets_and_reps(items: list[Item]) -> list[Item] | None:
    """`sets 4, reps 8`."""
    figures = [item for item in items if item.kind == "amount"]
    sets = whole_number(figures[0])
    if sets is None or figures[1].value.sets != 1:
        return None
    made = merged_item("amount", items, replace(figures[1].value, sets=sets))
    made.parts = ["sets"]
    return [made]


def tempo_after(items: list[Item]) -> list[Item] | None:
    """`tempo squats 32X1`: a tempo, for nobody does 32 sets of one."""
    amount = items[-1].value
    if amount.sets < 20 or len(amount.steps) != 1 or amount.steps[0].value > 5:
        return None
    return [items[1], merged_item("tempo_mark", items[-1:])]


def reps_named(items: list[Item]) -> list[Item] | None:
    """`reps: 8`, `Wdh. = 5`."""
    made = merged_item("amount", items, items[-1].value)
    made.parts = ["sets"]
    return [made] if items[-1].value.sets == 1 else None


def last_set_open(items: list[Item]) -> list[Item]:
    """`last set to failure`: the sets before have their count, the last one has none."""
    return [merged_item("last_open", items)]


def both_sides(items: list[Item]) -> list[Item] | None:
    """`:20/:20 side plank`: as long on each side."""
    one, other = items[0].value, items[2].value
    if one != other or one.sets > 1:
        return None
    return [merged_item("dur", items, replace(one, sides=2))]


def building_single(items: list[Item]) -> list[Item]:
    """`work up to a heavy power snatch`: one of it, as heavy as it goes."""
    return [merged_item("building", items, 1.0)]


def open_set(items: list[Item]) -> list[Item]:
    """`AMRAP x 45 kg`: a set to the end at a load."""
    return [merged_item("max", items)]


def mirrored(items: list[Item]) -> list[Item] | None:
    """`2-4-6-8-10 and back down`: the rungs up and down again, the last one once."""
    amount = items[0].value
    if len(amount.steps) < 3 or amount.sets > 1 or amount.continues:
        return None
    made = merged_item("amount", items, replace(amount, steps=(*amount.steps, *reversed(amount.steps[:-1]))))
    made.parts = items[0].parts
    return [made]


def each_minute(items: list[Item]) -> list[Item]:
    """`3 per minute`: what is done in every minute."""
    made = merged_item("amount", items, items[0].value)
    made.parts = ["reps"]
    return [made]


def start_count(items: list[Item]) -> list[Item] | None:
    """`start at 3, add 2 every minute`: the count of the first round or minute."""
    amount = items[1].value
    if items[0].word == "from" or amount.sets > 1 or len(amount.steps) != 1 or amount.continues or amount.open:
        return None
    return [merged_item(items[1].kind, items, amount)]


def lengths_of(items: list[Item]) -> list[Item] | None:
    """`run two laps of 400 m`: so many times that distance, no rounds."""
    sets = whole_number(items[1])
    last = items[-1]
    if sets is None:
        return None
    made = merged_item(last.kind, items[1:], replace(last.value, sets=last.value.sets * sets))
    made.parts = ["sets"]
    return [items[0], made]


def rating(items: list[Item]) -> list[Item] | None:
    figure = next((item for item in items if item.kind == "amount"), None)
    low = any("rir" in item.roles for item in items)
    value = None
    if figure is not None and figure.value.steps and not low:
        step = figure.value.steps[0]
        value = step.value if step.top is None else (step.value + step.top) / 2
        if step.lighter is not None or len(figure.value.steps) > 1:
            value = None
    return [merged_item("rating", items, value)]


def tempo(items: list[Item]) -> list[Item]:
    return [merged_item("tempo_mark", items)]


def each_side(items: list[Item]) -> list[Item]:
    return [merged_item("per_side", items)]


def each_side_letters(items: list[Item]) -> list[Item] | None:
    """`e/s` and `L/R`."""
    letters = (items[0].word, items[2].word)
    return (
        [merged_item("per_side", items)]
        if letters in (("e", "s"), ("l", "r"), ("r", "l"), ("g", "d"), ("i", "d"), ("d", "e"))
        else None
    )


def with_what(items: list[Item]) -> list[Item] | None:
    lower = items[0].value == "w" or (len(items) > 1 and items[0].word == "w")
    return [merged_item("with", items)] if lower else None


def rep_max(items: list[Item]) -> list[Item]:
    return [merged_item("rm", items, items[0].value.steps[0].value if items[0].value.steps else 1.0)]


def building(items: list[Item]) -> list[Item] | None:
    if items[0].word == "hit" and items[-1].kind == "amount":
        return None
    last = items[-1] if items[-1].kind != "heavy" else items[-2]
    if any(item.kind == "amount" and item.value.steps and item.value.steps[0].value != 1 for item in items[:-1]):
        return None
    reps = {"single": 1.0, "double": 2.0, "triple": 3.0, "rm": last.value, "top_set": last.value}.get(last.kind)
    if last.kind == "amount":
        reps = last.value.steps[0].value if last.value.steps else 1.0
    return [merged_item("building", items, reps or 1.0)]


def open_sets(items: list[Item]) -> list[Item] | None:
    """`3 x max`, `4 x AMRAP`."""
    sets = whole_number(items[0])
    return None if sets is None else [merged_item("amount", items, Amount(open=True, sets=sets))]


def each_side_amount(items: list[Item]) -> list[Item]:
    made = merged_item("amount", items[:1], replace(items[0].value, sides=2))
    made.kind = items[0].kind
    return [made]


def at_least(items: list[Item]) -> list[Item] | None:
    """`5+ @ 80 %`: as many as possible, five at least; `5/5/5+`, `3x5+`: only the last set is open."""
    amount = items[0].value
    if items[1].spaced or not amount.steps or amount.continues:
        return None
    if len(amount.steps) > 1 or amount.sets > 1:
        plain = (amount.sets == 1 or len(amount.steps) == 1) and amount.measure == "reps"
        return [items[0], merged_item("last_open", items[1:2])] if plain else None
    return [merged_item("amount", items, Amount(sets=amount.sets, open=True))]


_SHORTEST_WAY = 90.0
"""Metres: `every 3 m` is minutes, `every 100 m` is a way."""
_METRES = {"m": 1.0, "km": 1000.0, "mi": 1609.344, "yd": 0.9144}


def after_way(items: list[Item]) -> list[Item] | None:
    """`every 500 m`, `after each 2 km`: work that comes again and again along a way."""
    amount: Amount = items[-1].value
    metres = amount.steps[0].value * _METRES.get(amount.unit, 0.0) if len(amount.steps) == 1 else 0.0
    plain = amount.sets == 1 and amount.steps[0].lighter is None and amount.steps[0].top is None
    if metres < _SHORTEST_WAY or not plain:
        return None
    return [merged_item("after", items, metres)]


def after_long_way(items: list[Item]) -> list[Item] | None:
    """`after each mile`, `jeden Kilometer`."""
    metres = trade()["long_ways"].get(items[-1].word)
    return [merged_item("after", items, float(metres))] if metres else None


def before_round(items: list[Item]) -> list[Item]:
    """`before each round`: the first thing in it."""
    return [merged_item("before_round", items)]
