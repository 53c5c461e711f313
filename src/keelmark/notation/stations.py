"""Make stations of the items between two separators: a movement with its amount, load, height and side."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.catalogue import Movement
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["AMOUNTS", "apply_figures", "is_height", "open_amount", "pieces_of", "station_of"]

AMOUNTS = frozenset(["amount", "dist", "dur", "cals"])
_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}
_IMPLEMENTS = ("dumbbells", "kettlebells", "dumbbell", "kettlebell", "plate", "sandbag", "vest", "ball", "bar")
_FEET = 30.48
_PARTS = frozenset(["part", "slot", "raised"])


def pieces_of(items: list[Item]) -> list[list[Item]]:
    """Items cut so that each piece holds one movement; figures in front of a movement belong to it."""
    places = [at for at, item in enumerate(items) if _names_work(items, at)]
    if len(places) < 2:
        return [items]
    pieces: list[list[Item]] = []
    start = 0
    for place, following in itertools.pairwise(places):
        cut = _cut_between(items, start, place, following)
        if cut is None:
            continue
        pieces.append(items[start:cut])
        start = cut
    pieces.append(items[start:])
    return pieces


def _names_work(items: list[Item], at: int) -> bool:
    item = items[at]
    if item.kind != "movement" or is_implement(items, at):
        return False
    return "complex" not in item.roles or not any(other.kind == "movement" and other is not item for other in items)


def is_implement(items: list[Item], at: int) -> bool:
    """`DBs`, `KB` beside a load name what is held, not a movement."""
    item = items[at]
    if item.kind != "movement" or not any(role in _IMPLEMENTS for role in item.roles):
        return False
    before = items[at - 1].kind if at else ""
    return before in ("xload", "load", "with") or any(other.kind == "movement" for other in items[:at])


def _cut_between(items: list[Item], start: int, place: int, following: int) -> int | None:
    """Where the piece of the first movement ends, or None when both belong together."""
    if items[place].value == items[following].value and not any(
        item.kind in AMOUNTS for item in items[following + 1 :]
    ):
        return None
    between = [at for at in range(place + 1, following) if items[at].kind in AMOUNTS]
    if len(between) > 1:
        last = between[-1]
        return last - 1 if items[last - 1].kind == "with" and last - 1 > place else last
    for at in range(place + 1, following):
        if items[at].kind in AMOUNTS:
            own = any(item.kind in AMOUNTS for item in items[start:place]) or any(
                item.kind in AMOUNTS for item in items[place + 1 : at]
            )
            tail = all(
                item.kind not in ("load", "height", "xload", "quote", "per_side") for item in items[at + 1 : following]
            )
            if own or (tail and not any(item.kind in AMOUNTS for item in items[following + 1 :])):
                return at - 1 if items[at - 1].kind == "with" and at - 1 > place else at
            return following
    if any(item.kind in AMOUNTS for item in items[start:following]) and any(
        item.kind in AMOUNTS for item in items[following + 1 :]
    ):
        return following
    return None


def station_of(piece: list[Item], lexicon: Lexicon, line: int, romance: bool = False) -> StationDraft | None:
    """The station of a piece, or None without a movement in it; `romance` puts the noun that counts first."""
    at = next((place for place in range(len(piece)) if _names_work(piece, place)), None)
    if at is None:
        at = next((place for place, item in enumerate(piece) if item.kind == "movement"), None)
        if at is None:
            return None
    while romance is False and at + 1 < len(piece):
        ahead = next((n for n in range(at + 1, min(at + 3, len(piece))) if _names_work(piece, n)), None)
        if ahead is None or any(other.kind != "word" for other in piece[at + 1 : ahead]):
            break
        at = ahead
    item = piece[at]
    start, end = piece[0].start, piece[-1].end
    if start >= end:
        start, end = min(other.start for other in piece), max(other.end for other in piece)
    station = StationDraft(item.value, start, end, line, word=item.word)
    station.generic = "alternating" in item.roles
    needs = lexicon.catalogue.movements[station.movement].load
    station.effortless, station.needs_load = needs == "never", needs == "needs"
    station.skill = any(item.kind == "practice" for item in piece)
    station.in_calories = any(item.kind == "word" and _is_energy(item, lexicon) for item in piece)
    station.uncounted = "reps" not in lexicon.catalogue.movements[station.movement].measures
    words = sum(
        item.kind in ("word", "to", "vague", "open_end", "until", "and", "of", "a", "for_word", "with")
        for item in piece
    )
    station.loose = any(item.kind in ("vague", "practice", "open_end") for item in piece) or (words >= 3 and at <= 1)
    station.odd_words = _odd_words(piece, at, lexicon, romance)
    apply_figures(station, piece, at, lexicon)
    return station


def _odd_words(piece: list[Item], at: int, lexicon: Lexicon, romance: bool) -> tuple[int, int] | None:
    """Words between a count and its movement, or tied to a movement named by its implement, that say nothing known."""
    first = at
    while first and piece[first - 1].kind == "word":
        first -= 1
    odd = [item for item in piece[first:at] if item.word not in lexicon.idle and len(item.word) > 3]
    if odd and first and piece[first - 1].kind in AMOUNTS:
        return odd[0].start, odd[-1].end
    behind = piece[at + 1] if at + 1 < len(piece) else None
    many = lexicon.doubt(piece[at].word, None) is not None and first and piece[first - 1].kind in AMOUNTS
    odd_behind = behind is not None and behind.kind == "word" and behind.word not in lexicon.idle
    if many and romance and behind is not None and odd_behind and len(behind.word) > 4:
        return behind.start, behind.end
    if behind is not None and behind.kind == "word" and any(role in _IMPLEMENTS for role in piece[at].roles):
        return behind.start, behind.end
    return None


def _is_energy(item: Item, lexicon: Lexicon) -> bool:
    unit = lexicon.units.get(item.word)
    return unit is not None and unit.measure == "energy"


def apply_figures(station: StationDraft, piece: list[Item], at: int, lexicon: Lexicon) -> None:  # noqa: C901
    """Give a station the figures and words around its movement; `at` is the place of the movement, -1 without one."""
    movement = lexicon.catalogue.movements[station.movement]
    counts: list[tuple[int, Item]] = []
    named_reps = 0.0
    for place, item in enumerate(piece):
        kind = item.kind
        if kind in AMOUNTS:
            if place + 1 < len(piece) and piece[place + 1].kind in _PARTS and kind == "amount":
                continue
            counts.append((place, item))
        elif kind == "load":
            _take_load(station, item.value)
        elif kind == "xload":
            _take_xload(station, item, movement, any(other.kind in AMOUNTS for other in piece))
        elif kind == "height":
            _take_height(station, item.value, piece, movement)
        elif kind == "quote":
            _take_quote(station, item, movement)
        elif kind == "per_side":
            station.side = "each"
        elif kind == "alternating":
            station.side = station.side or "alternating"
        elif kind == "rating":
            station.rpe = item.value
        elif kind == "rise":
            station.rise = item.value
        elif kind == "start_load":
            station.start_load = item.value
        elif kind == "max" and _is_timed(station) and open_amount(piece, lexicon).measure != "reps":
            station.amount = open_amount(piece, lexicon)
        elif kind in ("max", "amrap_head") and station.amount is None:
            station.amount = open_amount(piece, lexicon)
            if (
                station.amount.measure == "reps"
                and "reps" not in movement.measures
                and movement.measures[0] == "duration_s"
            ):
                station.amount = Amount("duration_s", "s", open=True)
        elif (kind in ("building", "rm") or (kind == "top_set" and item.value)) and station.amount is None:
            station.amount = Amount(steps=(Quantity(float(item.value)),), open=True)
        elif kind in ("single", "double", "triple") and item.value and not named_reps:
            named_reps = float(item.value)
        elif kind == "build":
            station.builds = True
        elif kind == "same":
            station.same = _same(piece, place)
        elif kind == "per_hand" or (
            kind == "each"
            and place > 0
            and piece[place - 1].kind == "load"
            and movement.implement in ("dumbbell", "kettlebell")
        ):
            if movement.name in _one_sided():
                station.side = "each"
            else:
                station.per_hand = True
        elif kind == "after":
            if isinstance(item.value, int):
                station.after_every = float(item.value)
            else:
                station.when = "after_set" if item.value == "set" else "after_rep"
        elif kind == "between":
            station.when = "between_sets"
        elif kind == "nsets":
            counts.append((place, Item("nsets", item.start, item.end, item.value)))
        if place != at and (kind in _IMPLEMENTS or is_implement(piece, place)):
            station.implement = next((role for role in item.roles if role in _IMPLEMENTS), kind)
        elif kind == "single_arm":
            station.implement = station.implement or "single"
        elif kind == "pair_of":
            station.implement = "pair"
    if station.per_hand and station.load is not None and station.load.count == 1:
        station.load = replace(station.load, count=2)
    _take_counts(station, counts, piece, at, movement)
    height, amount = station.height, station.amount
    far = height is not None and height.unit == "ft" and movement.measures[0] == "distance_m"
    if far and height is not None and amount is not None and amount.measure == "reps" and len(amount.steps) == 1:
        sets = amount.sets * max(1, int(min(amount.steps[0].value, 1e4)))
        station.amount, station.height = Amount("distance_m", "ft", (height.value,), sets), None
    if station.amount is None and named_reps:
        station.amount = Amount(steps=(Quantity(named_reps),), open=station.builds)
    amount = station.amount
    if amount is not None and amount.measure == "reps" and amount.steps and station.in_calories and station.uncounted:
        station.amount = amount = replace(amount, measure="calories", unit="cal")
    if amount is not None and amount.open and amount.measure == "reps" and not amount.steps and station.uncounted:
        if movement.measures[0] == "duration_s":
            station.amount = replace(amount, measure="duration_s", unit="s")
        elif "calories" in movement.measures:
            station.amount = replace(amount, measure="calories", unit="cal")


def _is_timed(station: StationDraft) -> bool:
    """One stretch of time, in which a distance or calories may be counted."""
    amount = station.amount
    return amount is not None and amount.measure == "duration_s" and amount.sets == 1 and len(amount.steps) == 1


def _one_sided() -> frozenset[str]:
    return frozenset(trade()["one_sided"])


def _same(piece: list[Item], place: int) -> str:
    """What "the same ..." speaks of: a box gives a height, anything held gives a load."""
    following = piece[place + 1] if place + 1 < len(piece) else None
    if following is not None and (following.kind == "box" or following.word in ("height", "hohe", "altura", "hauteur")):
        return "height"
    return "load"


def open_amount(piece: list[Item], lexicon: Lexicon) -> Amount:
    for item in piece:
        unit = lexicon.units.get(item.word)
        if unit is not None and unit.measure == "energy":
            return Amount("calories", "cal", open=True)
        if unit is not None and unit.measure == "distance" and len(item.word) > 1:
            return Amount("distance_m", "m", open=True)
        if "distan" in item.word:
            return Amount("distance_m", "m", open=True)
        if "calor" in item.word or "kalor" in item.word or item.word.endswith(" cals"):
            return Amount("calories", "cal", open=True)
    return Amount(open=True)


def _take_load(station: StationDraft, load: Load) -> None:
    if station.load is not None and len(station.load.steps) == 1 and not load.added and load.unit == station.load.unit:
        return
    station.load = replace(load, count=2) if station.per_hand and load.count == 1 else load


def _take_xload(station: StationDraft, item: Item, movement: Movement, counted: bool) -> None:
    number, load = item.value
    if (
        number >= 20
        and len(load.steps) == 1
        and load.steps[0].value < number
        and load.steps[0].value <= 20
        and not counted
    ):
        number, load = load.steps[0].value, replace(load, steps=(Quantity(number),))
    plain = movement.implement in ("barbell", "machine", "sled", "yoke", "log", "stone", "sandbag", "tyre")
    counted = counted or station.amount is not None
    if not counted and (plain or number > 2):
        station.amount = Amount(steps=(Quantity(number),))
        _take_load(station, load)
    elif number > 4 and not plain:
        station.amount = station.amount or Amount(steps=(Quantity(number),))
        _take_load(station, load)
    else:
        station.load = replace(load, count=int(number))


def _take_height(station: StationDraft, height: Height, piece: list[Item], movement: Movement) -> None:
    if any(item.kind == "raised" for item in piece):
        station.start_height = height
        return
    far = movement.measures[0] == "distance_m" or ("distance_m" in movement.measures and height.value.value >= 15)
    if height.unit == "ft" and far and not any(item.kind in AMOUNTS for item in piece) and station.amount is None:
        station.amount = Amount("distance_m", "ft", (height.value,))
        return
    station.height = height


def _take_quote(station: StationDraft, item: Item, movement: Movement) -> None:
    steps, sign = item.value
    timed = movement.measures[0] in ("duration_s", "distance_m") or movement.category in ("monostructural", "mobility")
    carried = movement.measures[0] == "distance_m" and movement.category != "monostructural"
    if sign == "'" and carried and steps[0].value >= 20:
        station.amount = station.amount or Amount("distance_m", "ft", steps)
        return
    if sign == "'" and (
        timed or movement.name not in ("wall_ball", "rope_climb", "legless_rope_climb", "medicine_ball_throw")
    ):
        if station.amount is None:
            station.amount = Amount("duration_s", "min", steps)
    elif sign == '"' and (timed and movement.name not in ("wall_ball",)):
        if station.amount is None:
            station.amount = Amount("duration_s", "s", steps)
        elif station.amount.measure == "reps" and station.amount.sets == 1 and len(station.amount.steps) == 1:
            station.amount = Amount("duration_s", "s", steps, int(station.amount.steps[0].value))
    else:
        station.height = Height(steps[0], "ft" if sign == "'" else "in")


def _take_counts(  # noqa: C901
    station: StationDraft, counts: list[tuple[int, Item]], piece: list[Item], at: int, movement: Movement
) -> None:
    """Decide which of the figures is the amount; others are loads or heights without a unit, times or remarks."""
    sets = 1
    for place, item in counts:
        kind = item.kind
        if kind == "nsets":
            sets *= item.value
            continue
        amount: Amount = item.value
        if (
            kind == "dist"
            and amount.unit == "km"
            and movement.load == "needs"
            and "distance_m" not in movement.measures
        ):
            _take_load(station, Load(amount.steps, "kg"))
            continue
        counted = any(other.kind == "amount" for other in piece)
        if kind == "dist" and is_height(amount, movement, counted):
            station.height = Height(Quantity(amount.steps[0].value * 100, _times(amount.steps[0].lighter, 100)), "cm")
            continue
        if station.amount is not None and place > 0 and piece[place - 1].kind == "times" and len(amount.steps) == 1:
            station.amount = replace(
                station.amount, sets=station.amount.sets * max(1, int(min(amount.steps[0].value, 1e4)))
            )
            continue
        if station.amount is not None:
            if station.amount.open and kind == "dur":
                continue
            if station.amount.open and station.amount.steps and kind == "amount":
                station.amount = amount
                continue
            if kind == "amount":
                _second_count(station, item, piece, place, movement)
            elif (
                station.amount.measure == "reps"
                and station.amount.sets == 1
                and kind in ("dist", "cals")
                and not station.words_sets
            ):
                station.amount = replace(amount, sets=int(station.amount.steps[0].value) if station.amount.steps else 1)
            elif (
                station.amount.measure == "reps"
                and station.uncounted
                and station.amount.sets == 1
                and len(station.amount.steps) == 1
                and kind == "dur"
            ):
                station.amount = replace(amount, sets=int(station.amount.steps[0].value))
            elif station.amount.measure == "duration_s" and kind in ("dist", "cals"):
                station.amount = amount
            continue
        if kind == "amount" and _is_bare_load(station, item, piece, place, at, movement):
            continue
        if _is_load_times_reps(station, amount, movement):
            station.load = Load((Quantity(float(amount.sets)),), "")
            amount = replace(amount, sets=1)
        station.amount = amount
        station.words_sets = "words" in item.parts
        station.parts = next((part for part in item.parts if isinstance(part, tuple)), ())
    if sets > 1 and station.amount is not None:
        station.amount = replace(station.amount, sets=station.amount.sets * sets)
    elif sets > 1:
        station.amount = Amount(sets=sets)


def _is_load_times_reps(station: StationDraft, amount: Amount, movement: Movement) -> bool:
    """`deadlift 100x5`: nobody does a hundred sets, so the first figure is the load."""
    few = len(amount.steps) == 1 and amount.steps[0].value <= 20
    return amount.sets >= 20 and few and movement.load == "needs" and station.load is None and amount.measure == "reps"


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def is_height(amount: Amount, movement: Movement, counted: bool) -> bool:
    """`to 3 m` on a wall ball, a rope of 4.5 m: metres that are a height."""
    if amount.unit != "m" or not amount.steps or amount.steps[0].value > 12 or amount.sets > 1:
        return False
    return (counted and movement.measures[0] == "reps") or "distance_m" not in movement.measures


def _is_bare_load(
    station: StationDraft, item: Item, piece: list[Item], place: int, at: int, movement: Movement
) -> bool:
    """A figure without a unit that must be a load: `@ 100`, `thrusters 95/65`."""
    amount: Amount = item.value
    if amount.sets > 1 or amount.continues or amount.sides > 1:
        return False
    pair = "pair" in item.parts
    counted = station.amount is not None or sum(other.kind in AMOUNTS for other in piece) > 1
    after_at = place > 0 and piece[place - 1].kind == "at" and (counted or not piece[place - 1].word)
    loaded = movement.load != "never" and "reps" not in item.parts
    if (after_at or (pair and place > at >= 0 and movement.load == "needs")) and loaded:
        station.load = Load(amount.steps, "")
        return True
    if pair and place > at >= 0 and movement.landing_class != "none" and "jump" in movement.name + "step":
        station.height = Height(amount.steps[0], "")
        return True
    return False


def _second_count(station: StationDraft, item: Item, piece: list[Item], place: int, movement: Movement) -> None:
    amount: Amount = item.value
    if not amount.steps or amount.sets > 1:
        return
    if station.load is None and movement.load == "needs" and "reps" not in item.parts and len(amount.steps) <= 1:
        station.load = Load(amount.steps, "")
    elif station.height is None and movement.load != "needs" and "box" in movement.name:
        station.height = Height(amount.steps[0], "")
