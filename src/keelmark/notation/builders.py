"""What is made of each phrase: a head with its clock, a load with what it is of, a rise from set to set."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.cascade import Builder
from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item, seconds_of
from keelmark.notation.tree import Amount, Load, Quantity

__all__ = [
    "added",
    "after_so_many",
    "after_so_many_reps",
    "after_what",
    "at_figure",
    "at_least",
    "bells_behind",
    "bells_of",
    "between_what",
    "building",
    "clock_head",
    "each_side",
    "each_side_amount",
    "each_side_letters",
    "emom_head",
    "empty_bar",
    "every_head",
    "every_reps",
    "interval_figure",
    "interval_head",
    "keep_times",
    "lengths_of",
    "load_over_reps",
    "open_sets",
    "open_sets_of",
    "own_weight",
    "pair_of",
    "percent_of",
    "percent_of_stated",
    "rating",
    "rep_max",
    "repeated_amrap",
    "reps_named",
    "rise",
    "rise_added",
    "rise_bare",
    "rise_each",
    "rounds_head",
    "sets_and_reps",
    "sets_named",
    "sets_of",
    "sets_of_named",
    "share_of",
    "share_of_load",
    "slots",
    "start_load",
    "tabata_pair",
    "team_people",
    "team_size",
    "tempo",
    "tempo_after",
    "through",
    "time_span",
    "times_word",
    "whole_number",
    "with_what",
]


def clock_head(kind: str) -> Builder:
    def build(items: list[Item]) -> list[Item] | None:
        times = [item for item in items if item.kind in ("dur", "quote", "dist", "amount", "height")]
        seconds = seconds_of(times[-1]) if times else None
        if times and times[-1].kind == "dist" and (seconds or 0.0) > 3600:
            return [merged_item(kind, items[: items.index(times[-1])], None), *items[items.index(times[-1]) :]]
        if times and (seconds is None or (isinstance(times[-1].value, Amount) and times[-1].value.sets > 1)):
            return None
        return [merged_item(kind, items, seconds)]

    return build


def emom_head(items: list[Item]) -> list[Item] | None:
    times = [item for item in items if item.kind in ("dur", "quote", "amount", "dist")]
    seconds = seconds_of(times[-1]) if times else None
    if (times and seconds is None) or "reps" in items[0].parts:
        return None
    return [merged_item("every_head", items, (60.0, seconds, None, "emom"))]


def every_head(items: list[Item]) -> list[Item] | None:
    window: float | None = None
    total: float | None = None
    windows: int | None = None
    counted = any(item.kind == "times" for item in items)
    for item in items:
        if item.kind == "every_word":
            window = item.value
        elif item.kind in ("rounds", "sets"):
            counted = True
        elif item.kind in ("dur", "quote", "amount", "dist"):
            if window is None:
                window = seconds_of(item)
            elif item.kind == "amount" and (counted or items[-1].kind in ("rounds", "sets")):
                windows = whole_number(item)
            else:
                total = seconds_of(item)
    for item in items:
        if item.kind == "dur" and item.value.sets > 1 and windows is None:
            windows = item.value.sets
    if window is None or window <= 0:
        return None
    return [merged_item("every_head", items, (window, total, windows, "every"))]


def every_reps(items: list[Item]) -> list[Item] | None:
    """`every 30 s for 10 reps`."""
    windows = whole_number(items[-1]) if "reps" in items[-1].parts else None
    window = seconds_of(items[1])
    return (
        None if windows is None or not window else [merged_item("every_head", items, (window, None, windows, "every"))]
    )


def whole_number(item: Item) -> int | None:
    value = item.value
    if isinstance(value, Amount) and len(value.steps) == 1 and value.steps[0].value.is_integer() and value.sets == 1:
        return int(value.steps[0].value)
    return None


def rounds_head(items: list[Item]) -> list[Item] | None:
    amount = next(item for item in items if item.kind == "amount")
    if not amount.value.steps:
        return None
    if amount.value.steps[0].top is not None and len(amount.value.steps) == 1 and amount.value.sets == 1:
        return [merged_item("rounds_head", items, amount.value.steps[0])]
    rounds = whole_number(amount)
    if rounds is None:
        return None
    made = [merged_item("rounds_head", items, rounds)]
    if any(item.kind == "rounds_for_time" for item in items):
        made.append(merged_item("for_time", items[-1:]))
    return made


def sets_of(items: list[Item]) -> list[Item] | None:
    sets = whole_number(items[0])
    if sets is None:
        return None
    last = items[-1]
    if last.kind == "max":
        return [merged_item("amount", items, Amount(open=True, sets=sets))]
    if last.kind in ("amount", "dist", "dur", "cals") and len(items) > 2:
        made = merged_item(last.kind, items, replace(last.value, sets=last.value.sets * sets))
        made.parts = ["sets", "words"]
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


def lengths_of(items: list[Item]) -> list[Item] | None:
    """`run two laps of 400 m`: so many times that distance, no rounds."""
    sets = whole_number(items[1])
    last = items[-1]
    if sets is None:
        return None
    made = merged_item(last.kind, items[1:], replace(last.value, sets=last.value.sets * sets))
    made.parts = ["sets"]
    return [items[0], made]


def interval_head(items: list[Item]) -> list[Item] | None:
    times = [item for item in items if item.kind in ("dur", "quote")]
    if len(times) == 1:
        if times[0].kind != "dur":
            return None
        steps: tuple[Quantity, ...] = times[0].value.steps
        if len(steps) != 1 or steps[0].lighter is None:
            return None
        unit = {"s": 1.0, "min": 60.0, "h": 3600.0}[times[0].value.unit]
        return [merged_item("interval_head", items, (None, steps[0].value * unit, steps[0].lighter * unit))]
    work, rest = (seconds_of(item) for item in times[:2])
    sets = times[0].value.sets if times[0].kind == "dur" and times[0].value.sets > 1 else None
    if "amount" in (items[0].kind, items[-1].kind):
        sets = whole_number(items[0] if items[0].kind == "amount" else items[-1])
    if work is None or rest is None:
        return None
    return [merged_item("interval_head", items, (sets, work, rest))]


def interval_figure(items: list[Item]) -> list[Item]:
    return [merged_item("interval_head", items, items[-1].value)]


def tabata_pair(items: list[Item]) -> list[Item] | None:
    """`tabata 20/10`, `tabata 8x20/10`."""
    amount = items[-1].value
    if len(amount.steps) != 1 or amount.steps[0].lighter is None:
        return None
    sets = amount.sets if amount.sets > 1 else None
    return [items[0], merged_item("interval_head", items[-1:], (sets, amount.steps[0].value, amount.steps[0].lighter))]


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
    last = items[-1] if items[-1].kind != "heavy" else items[-2]
    if any(item.kind == "amount" and item.value.steps and item.value.steps[0].value != 1 for item in items[:-1]):
        return None
    reps = {"single": 1.0, "double": 2.0, "triple": 3.0, "rm": last.value, "top_set": last.value}.get(last.kind)
    if last.kind == "amount":
        reps = last.value.steps[0].value if last.value.steps else 1.0
    return [merged_item("building", items, reps or 1.0)]


def percent_of(items: list[Item]) -> list[Item] | None:
    load = items[0].value
    if load.unit != "percent":
        return None
    of: str | None = None
    for item in items[1:]:
        if item.kind == "movement":
            of = item.value
            break
        if item.kind == "rm" and item.value and item.value > 1:
            of = "result"
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


def rise_each(items: list[Item]) -> list[Item] | None:
    """`each set 5 kg more`, `pro Satz +5 kg`."""
    load = next(item for item in items if item.kind == "load")
    return rise(items) if load.value.added or items[-1].kind == "add" else None


def rise_bare(items: list[Item]) -> list[Item] | None:
    """`+2.5/set`, in the unit of the load it is added to."""
    amount = next(item.value for item in items if item.kind == "amount")
    plain = amount.sets == 1 and len(amount.steps) == 1 and amount.measure == "reps"
    return [merged_item("rise", items, (amount.steps[0].value, ""))] if plain and items[0].kind != "amount" else None


def start_load(items: list[Item]) -> list[Item]:
    return [merged_item("start_load", items, items[-1].value)]


_SETS = frozenset(["sets", "rounds", "waves", "rung"])


def after_what(items: list[Item]) -> list[Item]:
    last = items[-1]
    return [merged_item("after", items, "set" if last.kind in _SETS or "rung" in last.roles else "rep")]


def after_so_many(items: list[Item]) -> list[Item] | None:
    """`5 burpees after every 8`."""
    number = whole_number(next(item for item in items if item.kind == "amount"))
    return [merged_item("after", items, number)] if number else None


def after_so_many_reps(items: list[Item]) -> list[Item] | None:
    """`after every 5 reps run 100 m`, where the word reps stands in the figure."""
    return after_so_many(items) if "reps" in items[-1].parts else None


def between_what(items: list[Item]) -> list[Item]:
    return [merged_item("between", items)]


def team_people(items: list[Item]) -> list[Item] | None:
    """`3 people`: the size of a team."""
    people = whole_number(items[0])
    return None if people is None or not 2 <= people <= 12 else [merged_item("team", items, people)]


def slots(items: list[Item]) -> list[Item] | None:
    """`4 stations`: how many, no count of work."""
    number = whole_number(items[0])
    return None if number is None else [merged_item("slots", items, number)]


def team_size(items: list[Item]) -> list[Item]:
    return [merged_item("team", items, whole_number(items[-1]))]


def keep_times(items: list[Item]) -> list[Item] | None:
    """`12 x` with nothing after it on the line: so many rounds."""
    rounds = whole_number(items[0])
    return None if rounds is None else [merged_item("rounds_head", items[:2], rounds), *items[2:]]


def through(items: list[Item]) -> list[Item] | None:
    rounds = whole_number(items[1])
    return None if rounds is None else [merged_item("repeat", items, rounds)]


def open_sets(items: list[Item]) -> list[Item] | None:
    """`3 x max`, `4 x AMRAP`."""
    sets = whole_number(items[0])
    return None if sets is None else [merged_item("amount", items, Amount(open=True, sets=sets))]


def repeated_amrap(items: list[Item]) -> list[Item] | None:
    """`3 x AMRAP 4 min`, `3 x 4 min AMRAP`: the same again, each with its own score."""
    behind = items[1:] if items[0].kind == "amount" else items
    timed = next(item for item in behind if item.kind in ("dur", "quote", "amount"))
    times = whole_number(items[0]) if items[0].kind == "amount" else timed.value.sets
    if times is None or (times == 1 and items[0] is timed):
        return None
    made = merged_item("amrap_head", items, seconds_of(timed))
    made.parts = [times]
    return [made]


def each_side_amount(items: list[Item]) -> list[Item]:
    made = merged_item("amount", items[:1], replace(items[0].value, sides=2))
    made.kind = items[0].kind
    return [made]


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


def own_weight(items: list[Item]) -> list[Item]:
    """`@ bodyweight`: once the body mass, on a lift that needs a load."""
    return [merged_item("load", items, Load((Quantity(1.0),), "bodyweight"))]


def empty_bar(items: list[Item]) -> list[Item]:
    """`with an empty bar`: 20 kg, 15 kg for the lighter standard."""
    return [merged_item("load", items, Load((Quantity(20.0, 15.0),), "kg"))]


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


def time_span(items: list[Item]) -> list[Item] | None:
    """`10:00-25:00` at the start of a line: when it is done, not how long."""
    if items[0].word != "clock" or items[-1].word != "clock":
        return None
    times = [seconds_of(item) or 0.0 for item in items if item.kind == "dur"]
    return [merged_item("timespan", items, times[-1] - times[0])]


def times_word(items: list[Item]) -> list[Item] | None:
    """`10 rds 4 time`, `3 times`."""
    number = whole_number(items[0])
    if number is None:
        return None
    if items[1].kind == "time_word":
        return [merged_item("for_time", items)] if number == 4 else None
    return [merged_item("rounds_head", items, number)]


def load_over_reps(items: list[Item]) -> list[Item] | None:
    """`70 %/2`, `60 kg/5`: a load over its reps."""
    load, amount = items[0], items[-1]
    if load.value.unit not in ("percent", "kg", "lb") or len(amount.value.steps) != 1:
        return None
    amount.parts = ["sets", *amount.parts]
    return [load, amount]


def at_least(items: list[Item]) -> list[Item] | None:
    """`5+ @ 80 %`: as many as possible, five at least."""
    amount = items[0].value
    if items[1].spaced or len(amount.steps) != 1:
        return None
    return [merged_item("amount", items, Amount(sets=amount.sets, open=True))]
