"""What is made of phrases about time and number: clocks, windows, intervals, rounds, teams."""

from __future__ import annotations

from keelmark.notation.cascade import Builder
from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item, seconds_of, whole_number
from keelmark.notation.tree import Amount, Quantity

__all__ = [
    "after_so_many",
    "after_so_many_reps",
    "after_what",
    "between_what",
    "cadence",
    "clock_head",
    "emom_head",
    "every_head",
    "every_reps",
    "interval_figure",
    "interval_head",
    "keep_times",
    "moving_on",
    "of_round",
    "one_round_holds",
    "pace_of",
    "repeated_amrap",
    "rounds_head",
    "slots",
    "switching",
    "tabata_pair",
    "team_of_so_many",
    "team_people",
    "team_size",
    "through",
    "time_span",
    "times_word",
    "windows_of",
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
    form = "emom" if items[0].kind == "every_word" and window == 60.0 else "every"
    return [merged_item("every_head", items, (window, total, windows, form))]


def moving_on(items: list[Item]) -> list[Item] | None:
    """`move on every minute`, `rotate every 2:00`: windows in which the stations take turns."""
    seconds = 60.0 if items[-1].kind == "minute" else seconds_of(items[-1])
    if not seconds:
        return None
    made = merged_item("every_head", items, (seconds, None, None, "every"))
    made.roles = ("alternating", "moving_on")
    return [made]


def every_reps(items: list[Item]) -> list[Item] | None:
    """`every 30 s for 10 reps`."""
    windows = whole_number(items[-1]) if "reps" in items[-1].parts else None
    window = seconds_of(items[1])
    return (
        None if windows is None or not window else [merged_item("every_head", items, (window, None, windows, "every"))]
    )


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


def interval_head(items: list[Item]) -> list[Item] | None:
    times = [item for item in items if item.kind in ("dur", "quote")]
    if items[0].kind == "work" and items[-1].kind == "amount":
        return _bare_rest(items, times[0])
    if len(times) == 1:
        if times[0].kind != "dur":
            return None
        steps: tuple[Quantity, ...] = times[0].value.steps
        if len(steps) != 1 or steps[0].lighter is None:
            return None
        unit = {"s": 1.0, "min": 60.0, "h": 3600.0}[times[0].value.unit]
        return [merged_item("interval_head", items, (None, steps[0].value * unit, steps[0].lighter * unit))]
    work = seconds_of(times[0])
    rest = seconds_of(times[1])
    sets = times[0].value.sets if times[0].kind == "dur" and times[0].value.sets > 1 else None
    if "amount" in (items[0].kind, items[-1].kind):
        sets = whole_number(items[0] if items[0].kind == "amount" else items[-1])
    if work is None or rest is None:
        return None
    return [merged_item("interval_head", items, (sets, work, rest))]


def _bare_rest(items: list[Item], time: Item) -> list[Item] | None:
    """`work for 40 seconds, rest for 20`: the unit was said once."""
    seconds, rest = seconds_of(time), whole_number(items[-1])
    if not seconds or rest is None or time.kind != "dur":
        return None
    unit = {"s": 1.0, "min": 60.0, "h": 3600.0}[time.value.unit]
    return [merged_item("interval_head", items, (None, seconds, rest * unit))]


def interval_figure(items: list[Item]) -> list[Item]:
    return [merged_item("interval_head", items, items[-1].value)]


def tabata_pair(items: list[Item]) -> list[Item] | None:
    """`tabata 20/10`, `tabata 8x20/10`."""
    amount = items[-1].value
    if len(amount.steps) != 1 or amount.steps[0].lighter is None:
        return None
    sets = amount.sets if amount.sets > 1 else None
    return [items[0], merged_item("interval_head", items[-1:], (sets, amount.steps[0].value, amount.steps[0].lighter))]


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


def of_round(items: list[Item]) -> list[Item] | None:
    """`reps per round = 51`: how many a round holds, as the score counts them."""
    figure = next(item for item in items if item.kind == "amount")
    return [merged_item("manner", items)] if figure.value.sets == 1 and len(figure.value.steps) == 1 else None


def one_round_holds(items: list[Item]) -> list[Item] | None:
    """`one round = 25 reps`."""
    plain = "reps" in items[3].parts or items[-1].kind == "reps_word"
    return [merged_item("manner", items)] if plain and whole_number(items[0]) == 1 else None


def team_people(items: list[Item]) -> list[Item] | None:
    """`3 people`: the size of a team."""
    people = whole_number(items[0])
    return None if people is None or not 2 <= people <= 12 else [merged_item("team", items, people)]


def team_of_so_many(items: list[Item]) -> list[Item] | None:
    """`2er-Team`, `3er Teams`."""
    people = whole_number(items[0])
    named = items[1].word == "er" and not items[1].spaced
    return [merged_item("team", items, people)] if named and people is not None and 2 <= people <= 12 else None


def switching(items: list[Item]) -> list[Item]:
    """`switch every 250 m`: how the work goes round, no work of its own."""
    made = merged_item("in_turn", items)
    made.roles = ("in_turn",)
    figure = items[1]
    made.value = seconds_of(figure) if figure.kind == "dur" else None
    return [made]


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


_PACES = frozenset(["pace", "race pace", "tempo", "ritmo", "allure"])


def pace_of(items: list[Item]) -> list[Item] | None:
    """`@ 2k pace`, `a ritmo de 5 km`: how fast, no distance of its own."""
    if not any(item.kind == "pace" and item.word in _PACES for item in items):
        return None
    if items[0].kind == "comma":
        return [items[0], merged_item("pace", items[1:])]
    return [merged_item("pace", items)]


def windows_of(items: list[Item]) -> list[Item] | None:
    """`three 3:00 windows`: so many stretches of work, whose rest stands elsewhere or nowhere."""
    number, seconds = whole_number(items[0]), seconds_of(items[1])
    if number is None or not seconds or items[1].value.sets > 1:
        return None
    return [merged_item("interval_head", items, (number, seconds, 0.0))]


def cadence(items: list[Item]) -> list[Item]:
    """`@ 20 spm`, `at 24 strokes a minute`: how fast, no load and no count."""
    return [merged_item("pace", items)]


def time_span(items: list[Item]) -> list[Item] | None:
    """`10:00-25:00` at the start of a line: when it is done, not how long."""
    if items[0].word != "clock" or items[-1].word != "clock":
        return None
    times = [seconds_of(item) or 0.0 for item in items if item.kind == "dur"]
    return [merged_item("timespan", items, max(0.0, times[-1] - times[0]))]


def times_word(items: list[Item]) -> list[Item] | None:
    """`10 rds 4 time`, `3 times`."""
    number = whole_number(items[0])
    if number is None:
        return None
    if items[1].kind == "time_word":
        return [merged_item("for_time", items)] if number == 4 else None
    return [merged_item("rounds_head", items, number)]
