"""Patterns over items: the phrases around a movement, and the heads under which stations are done."""

from __future__ import annotations

import re
from dataclasses import replace

from keelmark.notation.cascade import Builder, Cascade
from keelmark.notation.items import Item
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["read_phrases", "seconds_of"]

_TIME = "(dur|quote|dist|height)"
_FILL = "(of|wearing|word|for_word|at|a|to|sdash|with|between|letter)?"
_SEPARATOR = "(slash|sslash|comma|and|plus|sdash|dash|then|semicolon|with|of|a|to)?"
_SEX = "(letter|men|women)"
_FIGURE = "(load|height|cals|dist|amount|dur|xload|quote)"
_TEMPO = re.compile(r"[0-9]{2}[0-9xX][0-9]$|[0-9]{4}$|[0-9xX](?:[-/. ][0-9xX]){2,3}$")


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


def _new(kind: str, items: list[Item], value: object = None) -> Item:
    roles = tuple(role for item in items for role in item.roles)
    word = " ".join(item.word for item in items if item.word)
    return Item(kind, items[0].start, items[-1].end, value, word, roles, items[0].spaced)


def _clock_head(kind: str) -> Builder:
    def build(items: list[Item]) -> list[Item] | None:
        times = [item for item in items if item.kind in ("dur", "quote", "dist", "amount", "height")]
        seconds = seconds_of(times[-1]) if times else None
        if times and (seconds is None or (isinstance(times[-1].value, Amount) and times[-1].value.sets > 1)):
            return None
        return [_new(kind, items, seconds)]

    return build


def _emom(items: list[Item]) -> list[Item] | None:
    times = [item for item in items if item.kind in ("dur", "quote", "amount", "dist")]
    seconds = seconds_of(times[-1]) if times else None
    if (times and seconds is None) or "reps" in items[0].parts:
        return None
    return [_new("every_head", items, (60.0, seconds, None, "emom"))]


def _every(items: list[Item]) -> list[Item] | None:
    window: float | None = None
    total: float | None = None
    windows: int | None = None
    counted = False
    for item in items:
        if item.kind == "every_word":
            window = item.value
        elif item.kind in ("times", "rounds", "sets"):
            counted = True
        elif item.kind in ("dur", "quote", "amount", "dist"):
            if window is None:
                window = seconds_of(item)
            elif item.kind == "amount" and (counted or items[-1].kind in ("rounds", "sets")):
                windows = _whole(item)
            else:
                total = seconds_of(item)
    for item in items:
        if item.kind == "dur" and item.value.sets > 1 and windows is None:
            windows = item.value.sets
    if window is None or window <= 0:
        return None
    return [_new("every_head", items, (window, total, windows, "every"))]


def _every_reps(items: list[Item]) -> list[Item] | None:
    """`every 30 s for 10 reps`."""
    windows = _whole(items[-1]) if "reps" in items[-1].parts else None
    window = seconds_of(items[1])
    return None if windows is None or not window else [_new("every_head", items, (window, None, windows, "every"))]


def _whole(item: Item) -> int | None:
    value = item.value
    if isinstance(value, Amount) and len(value.steps) == 1 and value.steps[0].value.is_integer() and value.sets == 1:
        return int(value.steps[0].value)
    return None


def _rounds(items: list[Item]) -> list[Item] | None:
    amount = next(item for item in items if item.kind == "amount")
    if not amount.value.steps:
        return None
    if amount.value.steps[0].top is not None and len(amount.value.steps) == 1 and amount.value.sets == 1:
        return [_new("rounds_head", items, amount.value.steps[0])]
    rounds = _whole(amount)
    if rounds is None:
        return None
    made = [_new("rounds_head", items, rounds)]
    if any(item.kind == "rounds_for_time" for item in items):
        made.append(_new("for_time", items[-1:]))
    return made


def _sets(items: list[Item]) -> list[Item] | None:
    sets = _whole(items[0])
    if sets is None:
        return None
    last = items[-1]
    if last.kind == "max":
        return [_new("amount", items, Amount(open=True, sets=sets))]
    if last.kind in ("amount", "dist", "dur", "cals") and len(items) > 2:
        made = _new(last.kind, items, replace(last.value, sets=last.value.sets * sets))
        made.parts = ["sets", "words"]
        return [made]
    if last.kind == "sets":
        return [_new("nsets", items, sets)]
    return None


def _interval(items: list[Item]) -> list[Item] | None:
    times = [item for item in items if item.kind in ("dur", "quote")]
    if len(times) == 1:
        steps = times[0].value.steps if times[0].kind == "dur" else ()
        if len(steps) != 1 or steps[0].lighter is None:
            return None
        unit = {"s": 1.0, "min": 60.0, "h": 3600.0}[times[0].value.unit]
        return [_new("interval_head", items, (None, steps[0].value * unit, steps[0].lighter * unit))]
    work, rest = (seconds_of(item) for item in times[:2])
    sets = times[0].value.sets if times[0].kind == "dur" and times[0].value.sets > 1 else None
    if work is None or rest is None:
        return None
    return [_new("interval_head", items, (sets, work, rest))]


def _interval_figure(items: list[Item]) -> list[Item]:
    return [_new("interval_head", items, items[-1].value)]


def _tabata_pair(items: list[Item]) -> list[Item] | None:
    """`tabata 20/10`, `tabata 8x20/10`."""
    amount = items[-1].value
    if len(amount.steps) != 1 or amount.steps[0].lighter is None:
        return None
    sets = amount.sets if amount.sets > 1 else None
    return [items[0], _new("interval_head", items[-1:], (sets, amount.steps[0].value, amount.steps[0].lighter))]


def _rating(items: list[Item]) -> list[Item] | None:
    figure = next((item for item in items if item.kind == "amount"), None)
    low = any("rir" in item.roles for item in items)
    value = None
    if figure is not None and figure.value.steps and not low:
        step = figure.value.steps[0]
        value = step.value if step.top is None else (step.value + step.top) / 2
        if step.lighter is not None or len(figure.value.steps) > 1:
            value = None
    return [_new("rating", items, value)]


def _tempo(items: list[Item]) -> list[Item]:
    return [_new("tempo_mark", items)]


def _side(items: list[Item]) -> list[Item]:
    return [_new("per_side", items)]


def _each_side_letters(items: list[Item]) -> list[Item] | None:
    """`e/s` and `L/R`."""
    letters = (items[0].word, items[2].word)
    return (
        [_new("per_side", items)]
        if letters in (("e", "s"), ("l", "r"), ("r", "l"), ("g", "d"), ("i", "d"), ("d", "e"))
        else None
    )


def _with(items: list[Item]) -> list[Item] | None:
    lower = items[0].value == "w" or (len(items) > 1 and items[0].word == "w")
    return [_new("with", items)] if lower else None


def _rep_max(items: list[Item]) -> list[Item]:
    return [_new("rm", items, items[0].value.steps[0].value if items[0].value.steps else 1.0)]


def _building(items: list[Item]) -> list[Item] | None:
    last = items[-1] if items[-1].kind != "heavy" else items[-2]
    if any(item.kind == "amount" and item.value.steps and item.value.steps[0].value != 1 for item in items[:-1]):
        return None
    reps = {"single": 1.0, "double": 2.0, "triple": 3.0, "rm": last.value, "top_set": last.value}.get(last.kind)
    if last.kind == "amount":
        reps = last.value.steps[0].value if last.value.steps else 1.0
    return [_new("building", items, reps or 1.0)]


def _percent_of(items: list[Item]) -> list[Item] | None:
    load = items[0].value
    if load.unit != "percent":
        return None
    of: str | None = None
    for item in items[1:]:
        if item.kind == "movement":
            of = item.value
        elif item.kind in ("top_set", "letter", "part", "label", "building", "single", "double", "triple"):
            of = of or "result"
        elif item.kind == "body_weight":
            steps = tuple(
                Quantity(q.value / 100, q.lighter and q.lighter / 100, q.top and q.top / 100) for q in load.steps
            )
            return [_new("load", items, Load(steps, "bodyweight"))]
    return [_new("load", items, replace(load, of=of))]


def _share_of_load(items: list[Item]) -> list[Item] | None:
    """`75 % of 200 kg`."""
    share, whole = items[0].value, items[-1].value
    if share.unit != "percent" or whole.unit not in ("kg", "lb") or len(whole.steps) != 1:
        return None
    base = whole.steps[0].value / 100
    steps = tuple(Quantity(round(step.value * base, 6)) for step in share.steps)
    return [_new("load", items, Load(steps, whole.unit))]


def _rise(items: list[Item]) -> list[Item] | None:
    load = next(item.value for item in items if item.kind == "load")
    sign = -1.0 if items[0].kind == "less" else 1.0
    if load.unit not in ("kg", "lb"):
        return None
    return [_new("rise", items, (sign * load.steps[0].value, load.unit))]


def _rise_added(items: list[Item]) -> list[Item] | None:
    """`+2.5 kg per set`, `+5 kg each minute`."""
    return _rise([item for item in items if item.kind == "load"] + items[1:]) if items[0].value.added else None


def _rise_each(items: list[Item]) -> list[Item] | None:
    """`each set 5 kg more`, `pro Satz +5 kg`."""
    load = next(item for item in items if item.kind == "load")
    return _rise(items) if load.value.added or items[-1].kind == "add" else None


def _start_load(items: list[Item]) -> list[Item]:
    return [_new("start_load", items, items[-1].value)]


def _after(items: list[Item]) -> list[Item]:
    last = items[-1]
    return [_new("after", items, "set" if last.kind in ("sets", "rounds", "waves") else "rep")]


def _between(items: list[Item]) -> list[Item]:
    return [_new("between", items)]


def _team(items: list[Item]) -> list[Item]:
    return [_new("team", items, _whole(items[-1]))]


def _keep_times(items: list[Item]) -> list[Item] | None:
    """`12 x` with nothing after it on the line: so many rounds."""
    rounds = _whole(items[0])
    return None if rounds is None else [_new("rounds_head", items[:2], rounds), *items[2:]]


def _through(items: list[Item]) -> list[Item] | None:
    rounds = _whole(items[1])
    return None if rounds is None else [_new("repeat", items, rounds)]


def _open_amount(items: list[Item]) -> list[Item] | None:
    """`3 x max`, `4 x AMRAP`."""
    sets = _whole(items[0])
    return None if sets is None else [_new("amount", items, Amount(open=True, sets=sets))]


def _repeated_amrap(items: list[Item]) -> list[Item] | None:
    """`3 x AMRAP 4 min`, `3 x 4 min AMRAP`: the same again, each with its own score."""
    timed = next(item for item in items if item.kind in ("dur", "quote"))
    times = _whole(items[0]) if items[0].kind == "amount" else timed.value.sets
    if times is None or (times == 1 and items[0] is timed):
        return None
    made = _new("amrap_head", items, seconds_of(timed))
    made.parts = [times]
    return [made]


def _each_side_amount(items: list[Item]) -> list[Item]:
    made = _new("amount", items[:1], replace(items[0].value, sides=2))
    made.kind = items[0].kind
    return [made]


def _added(items: list[Item]) -> list[Item] | None:
    plus, load = items
    if load.spaced:
        return None
    return [_new("load", items, replace(load.value, added=True))]


def _at_figure(items: list[Item]) -> list[Item] | None:
    """`@ 60` with no unit: a load, or a tempo where it has four figures."""
    amount = items[-1].value
    if items[0].word or amount.sets > 1 or amount.sides > 1 or amount.continues or amount.open:
        return None
    if len(amount.steps) == 1 and amount.steps[0].value >= 1000:
        return [_new("tempo_mark", items)]
    return [_new("load", items, Load(amount.steps, ""))]


def _pair_of(items: list[Item]) -> list[Item] | None:
    number = 2 if items[-2].kind == "pair_of" else _whole(items[-2])
    if number is None or number > 2:
        return None
    made = Item("xload", items[-2].start, items[-1].end, (float(number), items[-1].value), "", (), True)
    return [*items[:-2], made]


def _bells_of(items: list[Item]) -> list[Item] | None:
    """`2 haltères de 12 kg`: so many implements."""
    number = _whole(items[0])
    if number not in (1, 2) or not any(role.startswith(("dumbbell", "kettlebell")) for role in items[1].roles):
        return None
    return [_new("xload", items, (float(number), items[-1].value))]


def _time_span(items: list[Item]) -> list[Item] | None:
    """`10:00-25:00` at the start of a line: when it is done, not how long."""
    if items[0].word != "clock" or items[-1].word != "clock":
        return None
    return [_new("timespan", items)]


def _times_word(items: list[Item]) -> list[Item] | None:
    """`10 rds 4 time`, `3 times`."""
    number = _whole(items[0])
    if number is None:
        return None
    if items[1].kind == "time_word":
        return [_new("for_time", items)] if number == 4 else None
    return [_new("rounds_head", items, number)]


def _at_least(items: list[Item]) -> list[Item] | None:
    """`5+ @ 80 %`: as many as possible, five at least."""
    amount = items[0].value
    if items[1].spaced or len(amount.steps) != 1:
        return None
    return [_new("amount", items, Amount(sets=amount.sets, open=True))]


_SMALL = Cascade(
    [
        ("amount plus (?=at|newline|comma|load)", _at_least),
        ("amount plus $", _at_least),
        ("dur (dash|sdash) dur", _time_span),
        ("amount time_word", _times_word),
        ("amount times_word (?!number)", _times_word),
        ("at (rpe|rir) (colon|of|at|equals|sdash)? amount", _rating),
        ("at amount (?!rep_max|rounds|sets|rir|percent|slash|times)", _at_figure),
        ("(with|wearing|at|of) amount load", _pair_of),
        ("pair_of load", _pair_of),
        ("amount (dumbbells|kettlebells|dumbbell|kettlebell|movement) (of|at|a)? load", _bells_of),
        ("amount rep_max", _rep_max),
        ("(slash|sslash|per|each) side", _side),
        ("(letter|and) slash letter (?!colon|load)", _each_side_letters),
        ("letter slash?", _with),
        ("tempo (colon|of|at|equals)? (amount|dur|interval_figure|load)", _tempo),
        ("(at)? rpe (colon|of|at|equals|sdash)? amount", _rating),
        ("amount rir", _rating),
        ("(at)? rir (colon|of|at|equals)? amount", _rating),
        ("(ascending|descending) word amount", lambda items: [_new("manner", items)]),
        ("amount times amrap (dur|quote)", _repeated_amrap),
        ("dur amrap", _repeated_amrap),
        ("amount times (max|amrap)", _open_amount),
        ("plus load", _added),
    ]
)

_LARGE = Cascade(
    [
        (f"amrap {_FILL} {_FILL} (dur|quote|dist)", _clock_head("amrap_head")),
        (f"amrap {_FILL} amount (?!movement|times|word|for_word|sets|rounds|building)", _clock_head("amrap_head")),
        (f"amrap (ascending|ladder|for_time)? amount (?!movement|times|word|for_word|sets)", _clock_head("amrap_head")),
        ("(dur|quote) (dash|of)? amrap", _clock_head("amrap_head")),
        ("amount dash? amrap (?!movement)", _clock_head("amrap_head")),
        ("amrap", _clock_head("amrap_head")),
        ("load (per_set|per_round|emom|between|each)", _rise_added),
        ("(per_set|per_round|emom|each) (word|of|letter|a)? (sdash|comma)? load (add)?", _rise_each),
        (f"emom {_FILL} {_FILL} (dur|quote|dist)", _emom),
        (f"emom {_FILL} (times)? amount (?!movement|dash)", _emom),
        ("(dur|quote|amount) (dash|of)? emom", _emom),
        ("emom", _emom),
        ("every_word (times amount)", _every),
        (f"every_word {_FILL} amount (rounds|sets)", _every),
        (f"every_word {_FILL} {_FILL} (dur|quote|dist)", _every),
        (f"every_word {_FILL} amount (?!movement)", _every),
        ("every_word", _every),
        ("every (dur|quote|dist) (comma|colon)? open? times amount (rounds|sets)? close?", _every),
        (
            "every (dur|quote|dist) (word|for_word|of|wearing|to|at|comma|sdash)? (word|for_word|of)? amount (rounds|sets)",
            _every,
        ),
        ("every (dur|quote|dist) (word|for_word|of|wearing|to|at|sdash)? (word|for_word|of|letter)? (dur)", _every),
        ("every dur (rounds|sets)", _every),
        ("every dur for_word amount", _every_reps),
        ("every (dur|quote|dist)", _every),
        ("cap (colon|of|at|sdash|word|for_word|equals)? (dur|quote|amount|dist)", _clock_head("cap_head")),
        ("(dur|quote) dash? cap", _clock_head("cap_head")),
        (f"dur of? work {_SEPARATOR} dur of? (rest|off)", _interval),
        (f"work dur {_SEPARATOR} (rest|off) dur", _interval),
        (f"dur of? (work)? (sslash|slash|comma|and|plus) dur of? (rest|off)", _interval),
        (f"dur of? work (sslash|slash|comma|and|plus) dur", _interval),
        ("dur (sslash|slash) dur (?!movement)", _interval),
        ("quote (sslash|slash) quote (rest|off)?", _interval),
        ("dur (work|rest|off) (slash|sslash) (work|rest|off)", _interval),
        ("tabata open? amount", _tabata_pair),
        ("interval_figure", _interval_figure),
        (
            "rest (word|for_word|wearing|of|at|colon|a|between|with|equals|pace|to|per_set|sdash)? (word|for_word|of|at|a)? (dur|quote)",
            _clock_head("rest_mark"),
        ),
        ("rest (colon)? amount (?!movement|rounds|sets|times)", _clock_head("rest_mark")),
        ("(dur|quote) (of|word|for_word|dash|pace)? rest", _clock_head("rest_mark")),
        ("amount (rounds|waves|rounds_for_time) (for_time)? of?", _rounds),
        ("amount dash (rounds)", _rounds),
        ("times amount (rounds|waves)", _through),
        ("(rounds) (colon|equals|times) amount (?!movement)", _rounds),
        ("times amount sets", _through),
        ("amount sets (of|at|times|a|colon|comma)? max", _sets),
        ("amount sets (of|at|times|a|with|to)? (of|at)? (amount|dist|dur|cals)", _sets),
        ("amount sets", _sets),
        (
            "(build|heavy) (word|for_word|a|at|of|letter|to|heavy|build|per_round|sdash|amount){0,6} (single|double|triple|rm|top_set) heavy?",
            _building,
        ),
        ("(build) (word|for_word|a|at|of|letter|to|heavy|build|per_round|sdash){0,6} heavy amount", _building),
        ("heavy amount", _building),
        ("max (single|double|triple|rm)", _building),
        (
            "load open? of? (word|for_word|letter)? (rm|one_rm|max) (of (word|for_word|letter)?)? movement close?",
            _percent_of,
        ),
        ("load open? of? (word|for_word|letter)? movement (rm|one_rm|max) close?", _percent_of),
        ("load open? of (word|for_word|letter)? movement close?", _percent_of),
        ("load of load", _share_of_load),
        ("load open? of? (word|for_word|letter)? (rm|one_rm|max) close?", _percent_of),
        (
            "load open? (of|at)? (word|for_word|letter|of)? (top_set|single|double|triple|part|body_weight) (letter)? close?",
            _percent_of,
        ),
        ("(add|less|plus|and) load (sdash|comma)? (per_set|each|between|per_round)", _rise),
        ("load (add|less) (per_set|each)", _rise),
        ("start_at (word|for_word|of|at|a|letter)? load", _start_load),
        ("after_each (sets|rounds|waves|word|for_word|movement|reps_word|each|single|double|triple)?", _after),
        ("between (of|word|for_word|each)? (sets|rounds)", _between),
        ("team_of (word)? amount", _team),
        ("(amount|dist|cals|dur) per_side", _each_side_amount),
    ]
)


def read_phrases(items: list[Item]) -> list[Item]:
    """The items with the phrases of training read: heads with their clocks, loads with what they are of, and so on."""
    return _LARGE.run(_standards(_SMALL.run(items)))


_SEX_LETTERS = {"M": "men", "W": "women", "F": "women", "H": "men", "D": "women"}


def _sex(item: Item, others: list[Item]) -> str | None:
    """Whom a letter stands for: with an H beside it, M is for women (hombres, mujeres)."""
    if item.kind in ("men", "women"):
        return item.kind
    if item.value == "M" and any(other.value == "H" for other in others if other.kind == "letter"):
        return "women"
    return _SEX_LETTERS.get(str(item.value))


def _named_pair(items: list[Item]) -> list[Item] | None:
    labels = [item for item in items if item.kind in ("letter", "men", "women")]
    figures = [item for item in items if item.kind in _FIGURES]
    sexes = [_sex(label, labels) for label in labels[:2]]
    if len(figures) != 2 or set(sexes) != {"men", "women"}:
        return None
    heavier, lighter = figures if sexes[0] == "men" else reversed(figures)
    merged = _merged(heavier, lighter)
    return None if merged is None else [_new(merged[0], items, merged[1])]


def _relabelled(items: list[Item]) -> list[Item] | None:
    labels = [item for item in items if item.kind in ("letter", "men", "women")]
    figure = next(item for item in items if item.kind in _FIGURES)
    sexes = [_sex(label, labels) for label in labels[:2]]
    if set(sexes) != {"men", "women"}:
        return None
    made = _new(figure.kind, items, _swapped(figure.value) if sexes[0] == "women" else figure.value)
    made.parts = ["pair", "labelled"]
    return [made]


_FIGURES = frozenset(["load", "height", "cals", "dist", "amount", "dur", "xload"])


def _swap(quantity: Quantity) -> Quantity:
    if quantity.lighter is None:
        return quantity
    return Quantity(quantity.lighter, quantity.value)


def _swapped(value: object) -> object:
    if isinstance(value, Load | Amount):
        return replace(value, steps=tuple(_swap(step) for step in value.steps))
    if isinstance(value, Height):
        return replace(value, value=_swap(value.value))
    if isinstance(value, tuple) and len(value) == 2:
        return (value[0], _swapped(value[1]))
    return value


def _merged(heavier: Item, lighter: Item) -> tuple[str, object] | None:
    """Two figures for two standards as one."""
    one, two = heavier.value, lighter.value
    kind = heavier.kind if heavier.kind != "amount" else lighter.kind
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


_STANDARDS = Cascade(
    [
        (
            f"{_SEX} (colon|equals)? {_FIGURE} (comma|slash|sslash|semicolon|and|sdash|dash)? {_SEX} (colon|equals)? {_FIGURE}",
            _named_pair,
        ),
        (
            f"{_FIGURE} open? (of)? {_SEX} close? (comma|slash|sslash|semicolon|and|sdash|dash)? {_FIGURE} open? (of)? {_SEX} close?",
            _named_pair,
        ),
        (f"{_SEX} (slash|sslash) {_SEX} (colon|equals)? {_FIGURE}", _relabelled),
        (f"{_FIGURE} open? {_SEX} (slash|sslash) {_SEX} close?", _relabelled),
        (f"open {_SEX} (slash|sslash) {_SEX} close {_FIGURE}", _relabelled),
    ]
)


def _standards(items: list[Item]) -> list[Item]:
    return _STANDARDS.run(items)
