"""What is made of phrases about loads: percentages, rises, implements, an empty bar."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item, seconds_of, whole_number
from keelmark.notation.trade import trade
from keelmark.notation.tree import TRAINING_MAX, Load, Quantity

__all__ = [
    "added",
    "at_figure",
    "bells_behind",
    "bells_of",
    "empty_bar",
    "held",
    "is_training_maximum",
    "load_over_reps",
    "own_weight",
    "own_weight_for",
    "pair_of",
    "percent_of",
    "percent_of_stated",
    "rise",
    "rise_added",
    "rise_bare",
    "rise_each",
    "rise_every",
    "rise_every_so_long",
    "rise_named",
    "rise_of_sides",
    "share_of",
    "share_of_load",
    "start_load",
    "taken_off",
    "with_figure",
]


def is_training_maximum(words: str) -> bool:
    """Is it the maximum for training, not the best ever?"""
    return "tm" in words.split() or any(name in words for name in trade()["training_maximum"]["words"])


def percent_of(items: list[Item]) -> list[Item] | None:
    if items[-1].kind == "close" and all(item.kind != "open" for item in items):
        made = percent_of(items[:-1])
        return None if made is None else [*made, items[-1]]
    load = items[0].value
    counted = any(item.kind == "max" and " " in item.word for item in items[1:])
    if load.unit != "percent" or counted:
        return None
    of: str | None = None
    for item in items[1:]:
        if item.kind == "movement":
            of = item.value
            break
        if item.kind == "rm" and item.value and item.value > 1:
            of = "result"
        elif item.kind == "one_rm" and is_training_maximum(item.word):
            of = TRAINING_MAX
        elif item.kind in ("top_set", "letter", "part", "label", "building", "single", "double", "triple"):
            of = of or "result"
        elif item.kind == "body_weight":
            steps = tuple(
                Quantity(q.value / 100, q.lighter and q.lighter / 100, q.top and q.top / 100) for q in load.steps
            )
            return [merged_item("load", items, Load(steps, "bodyweight"))]
    return [merged_item("load", items, replace(load, of=of))]


def percent_of_stated(items: list[Item]) -> list[Item] | None:
    """`75 % (max 60 kg)`, `80 %, 1RM 100 kg`: the maximum stands beside the percentage."""
    loads = [item for item in items if item.kind == "load"]
    return share_of_load([loads[0], loads[-1]]) and [
        merged_item("load", items, share_of(loads[0].value, loads[-1].value))
    ]


def share_of_load(items: list[Item]) -> list[Item] | None:
    """`75 % of 200 kg`."""
    share, whole = items[0].value, items[-1].value
    if share.unit != "percent" or whole.unit not in ("kg", "lb") or len(whole.steps) != 1:
        return None
    return [merged_item("load", items, share_of(share, whole))]


def share_of(share: Load, whole: Load) -> Load:
    """A percentage of a load that is stated."""
    base = whole.steps[0].value / 100
    return Load(tuple(Quantity(round(step.value * base, 6)) for step in share.steps), whole.unit)


def rise(items: list[Item]) -> list[Item] | None:
    load = next(item.value for item in items if item.kind == "load")
    sign = -1.0 if items[0].kind == "less" else 1.0
    if load.unit not in ("kg", "lb"):
        return None
    return [merged_item("rise", items, (sign * load.steps[0].value, load.unit))]


def rise_added(items: list[Item]) -> list[Item] | None:
    """`+2.5 kg per set`, `+5 kg each minute`."""
    return rise([item for item in items if item.kind == "load"] + items[1:]) if items[0].value.added else None


def rise_of_sides(items: list[Item]) -> list[Item] | None:
    """`add 1.25 kg on each side of the bar per set`: twice as much on the bar."""
    made = rise([item for item in items if item.kind in ("load", "less")])
    told = any(item.kind in ("add", "plus", "less", "ascending", "build") for item in items)
    load = next(item.value for item in items if item.kind == "load")
    if made is None or not (told or load.added):
        return None
    step, unit = made[0].value
    return [merged_item("rise", items, (2 * step, unit))]


_TAKES = frozenset(["take", "knock", "strip", "drop", "quita", "quitad", "enleve", "enlevez", "tira", "tirem", "nimm"])


def taken_off(items: list[Item]) -> list[Item] | None:
    """`take 10 kg off for each following set`: less from set to set."""
    told = any(item.kind in ("each", "per", "per_set", "sets") for item in items[3:])
    if not told or not set(items[0].word.split()) & _TAKES:
        return None
    load = items[1].value
    return [merged_item("rise", items, (-load.steps[0].value, load.unit))] if load.unit in ("kg", "lb") else None


def rise_every(items: list[Item]) -> list[Item] | None:
    """`+2.5 kg every 2 sets`: so many sets at each load."""
    load = next(item for item in items if item.kind == "load")
    sets = whole_number(items[-2])
    if sets is None or not 0 < sets <= 10 or not (load.value.added or items[0] is not load):
        return None
    made = rise([load] if items[0].kind != "less" else [items[0], load])
    return None if made is None else [merged_item("rise", items, (*made[0].value, sets))]


def rise_every_so_long(items: list[Item]) -> list[Item] | None:
    """`+2.5 kg every 2 min` of windows that are shorter."""
    load = next(item for item in items if item.kind == "load")
    seconds = seconds_of(items[-1])
    if seconds is None or not (load.value.added or items[0] is not load):
        return None
    made = rise([load] if items[0].kind != "less" else [items[0], load])
    return None if made is None else [merged_item("rise", items, (*made[0].value, -int(seconds)))]


def rise_each(items: list[Item]) -> list[Item] | None:
    """`each set 5 kg more`, `pro Satz +5 kg`."""
    load = next(item for item in items if item.kind == "load")
    return rise(items) if load.value.added or items[-1].kind == "add" else None


def rise_bare(items: list[Item]) -> list[Item] | None:
    """`+2.5/set`, in the unit of the load it is added to."""
    amount = next(item.value for item in items if item.kind in ("amount", "cals", "dist"))
    plain = amount.sets == 1 and len(amount.steps) == 1
    if not plain or items[0].kind == "amount" or (amount.measure != "reps" and items[-1].kind == "sets"):
        return None
    return [merged_item("rise", items, (amount.steps[0].value, "" if amount.measure == "reps" else amount.unit))]


_BESIDE_OTHER = frozenset(["plus", "mas", "mais", "und", "and", "et", "de plus", "dazu"])


def rise_named(items: list[Item]) -> list[Item] | None:
    """`add 1 thruster every minute`: of that movement alone; `plus 5 pull-ups every minute` is work of its own."""
    made = rise_bare([item for item in items if item.kind != "movement"])
    if made is None or items[0].word in _BESIDE_OTHER:
        return None
    step, unit = made[0].value
    named = [item.value for item in items if item.kind == "movement"]
    return [replace(made[0], value=(step, unit or "rep"), parts=named)]


def start_load(items: list[Item]) -> list[Item]:
    return [merged_item("start_load", items, items[-1].value)]


def added(items: list[Item]) -> list[Item] | None:
    load = items[1]
    if load.spaced:
        return None
    return [merged_item("load", items, replace(load.value, added=True))]


def at_figure(items: list[Item]) -> list[Item] | None:
    """`@ 60` with no unit: a load, or a tempo where it has four figures."""
    amount = items[-1].value
    if items[0].word or amount.sets > 1 or amount.sides > 1 or amount.continues or amount.open:
        return None
    if len(amount.steps) == 1 and amount.steps[0].value >= 1000:
        return [merged_item("tempo_mark", items)]
    return [merged_item("load", items, Load(amount.steps, ""))]


def with_figure(items: list[Item]) -> list[Item] | None:
    """`5x5 with 100`: sets of reps, and a load whose unit was left out."""
    sets, figure = items[0].value, items[2].value
    plain = figure.sets == 1 and len(figure.steps) == 1 and figure.sides == 1 and not figure.continues
    if not plain or figure.open or figure.steps[0].value < 15 or sets.sets < 2 or "reps" in items[2].parts:
        return None
    return [items[0], merged_item("load", items[2:], Load(figure.steps, ""))]


def own_weight(items: list[Item]) -> list[Item]:
    """`@ bodyweight`: once the body mass, on a lift that needs a load."""
    return [merged_item("load", items, Load((Quantity(1.0),), "bodyweight"))]


def own_weight_for(items: list[Item]) -> list[Item]:
    """`bodyweight x 8`: so many with the body mass and nothing more."""
    amount = items[-1]
    amount.parts = ["sets", *amount.parts]
    return [merged_item("load", items[:1], Load((Quantity(1.0),), "bodyweight")), amount]


def empty_bar(items: list[Item]) -> list[Item]:
    """`with an empty bar`: 20 kg, 15 kg for the lighter standard."""
    return [*items[:-1], merged_item("load", items[-1:], Load((Quantity(20.0, 15.0),), "kg"))]


def pair_of(items: list[Item]) -> list[Item] | None:
    number = 2 if items[-2].kind == "pair_of" else whole_number(items[-2])
    if number is None or number > 2:
        return None
    made = Item("xload", items[-2].start, items[-1].end, (float(number), items[-1].value), "", (), True)
    return [*items[:-2], made]


def bells_of(items: list[Item]) -> list[Item] | None:
    """`2 haltères de 12 kg`: so many implements."""
    number = whole_number(items[0])
    if number not in (1, 2) or not any(role.startswith(("dumbbell", "kettlebell")) for role in items[1].roles):
        return None
    return [merged_item("xload", items, (float(number), items[-1].value))]


def bells_behind(items: list[Item]) -> list[Item] | None:
    """`one 16 kg KB`: so many implements."""
    number = whole_number(items[0])
    held = any(role.startswith(("dumbbell", "kettlebell")) for role in items[2].roles) or items[2].kind != "movement"
    if number not in (1, 2) or not held or items[1].value.unit not in ("kg", "lb"):
        return None
    return [merged_item("xload", items, (float(number), items[1].value))]


def held(items: list[Item]) -> list[Item] | None:
    """`with 1 dumbbell`, `con 2 mancuernas`: how many are held, their load told elsewhere."""
    number = whole_number(items[1])
    return [merged_item("single_arm" if number == 1 else "pair_of", items)] if number in (1, 2) else None


def load_over_reps(items: list[Item]) -> list[Item] | None:
    """`70 %/2`, `60 kg/5`: a load over its reps."""
    load, amount = items[0], items[-1]
    if load.value.unit not in ("percent", "kg", "lb") or len(amount.value.steps) != 1:
        return None
    amount.parts = ["sets", *amount.parts]
    return [load, amount]
