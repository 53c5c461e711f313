"""Figures of a station: which of them is the amount, which a load, a height or a time."""

from __future__ import annotations

from dataclasses import replace

from keelmark.catalogue import Movement
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.trade import bar_height_words, plate_radius_cm
from keelmark.notation.tree import CM_OF, Amount, Height, Load, Quantity

__all__ = ["AMOUNTS", "is_height", "take_counts", "take_height", "take_load", "take_quote", "take_xload"]

AMOUNTS = frozenset(["amount", "dist", "dur", "cals"])


def take_load(station: StationDraft, load: Load) -> None:
    if station.load is not None and len(station.load.steps) == 1 and not load.added and load.unit == station.load.unit:
        return
    station.load = replace(load, count=2) if station.per_hand and load.count == 1 else load


def take_xload(station: StationDraft, item: Item, movement: Movement, counted: bool) -> None:
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
        take_load(station, load)
    elif number > 4 and not plain:
        station.amount = station.amount or Amount(steps=(Quantity(number),))
        take_load(station, load)
    else:
        station.load = replace(load, count=int(number))
        if number == 1:
            station.implement = station.implement or "single"


def take_height(station: StationDraft, height: Height, piece: list[Item], movement: Movement) -> None:
    raised = next((item.word for item in piece if item.kind == "raised"), None)
    if raised is not None:
        station.start_height = height if raised in bar_height_words() else _on_blocks(height)
        return
    far = movement.measures[0] == "distance_m" or ("distance_m" in movement.measures and height.value.value >= 15)
    if height.unit == "ft" and far and not any(item.kind in AMOUNTS for item in piece) and station.amount is None:
        station.amount = Amount("distance_m", "ft", (height.value,))
        return
    station.height = height


def _on_blocks(height: Height) -> Height:
    """Where the bar's centre is when its plates stand so high: the radius of a full-size plate above that."""
    if height.unit not in CM_OF:
        return height
    ends = (height.value.value, height.value.lighter, height.value.top)
    lifted = [None if end is None else round(end * CM_OF[height.unit] + plate_radius_cm(), 2) for end in ends]
    return Height(Quantity(lifted[0] or 0.0, lifted[1], lifted[2]), "cm")


def take_quote(station: StationDraft, item: Item, movement: Movement) -> None:
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


def take_counts(
    station: StationDraft, counts: list[tuple[int, Item]], piece: list[Item], at: int, movement: Movement
) -> None:
    """Decide which of the figures is the amount; others are loads or heights without a unit, times or remarks."""
    sets = 1
    for place, item in counts:
        if item.kind == "nsets":
            sets *= item.value
        elif item.kind == "dist" and _is_no_way(station, item.value, piece, movement):
            continue
        elif station.amount is not None:
            _take_another(station, station.amount, item, piece, place, movement)
        elif item.kind != "amount" or not _is_bare_load(station, item, piece, place, at, movement):
            _take_first(station, item, movement)
    amount = station.amount
    if sets < 2 or (amount is not None and len(amount.steps) == sets and amount.sets == 1):
        return
    station.amount = Amount(sets=sets) if amount is None else replace(amount, sets=amount.sets * sets)


def _is_no_way(station: StationDraft, amount: Amount, piece: list[Item], movement: Movement) -> bool:
    """A distance that is none: `km` miswritten for a load, the height of a rope, the height of a wall."""
    if amount.unit == "km" and movement.load == "needs" and "distance_m" not in movement.measures:
        take_load(station, Load(amount.steps, "kg"))
        return True
    if _climbs_of(station, amount, movement):
        return True
    if is_height(amount, movement, any(other.kind == "amount" for other in piece)):
        station.height = Height(Quantity(amount.steps[0].value * 100, _times(amount.steps[0].lighter, 100)), "cm")
        return True
    return False


def _take_first(station: StationDraft, item: Item, movement: Movement) -> None:
    amount: Amount = item.value
    if _is_load_times_reps(station, amount, movement):
        station.load = Load((Quantity(float(amount.sets)),), "")
        amount = replace(amount, sets=1)
    station.amount = amount
    station.words_sets = "words" in item.parts
    station.parts = next((part for part in item.parts if isinstance(part, tuple)), ())


def _take_another(
    station: StationDraft, known: Amount, item: Item, piece: list[Item], place: int, movement: Movement
) -> None:
    """A second figure: how often, the sets of a build, or what each rep of the first figure is."""
    kind, amount = item.kind, item.value
    if place > 0 and piece[place - 1].kind == "times" and len(amount.steps) == 1:
        station.amount = replace(known, sets=known.sets * max(1, int(min(amount.steps[0].value, 1e4))))
    elif known.open and (kind == "dur" or (known.steps and kind == "amount")):
        station.amount = known if kind == "dur" else amount
    elif kind == "amount":
        _second_count(station, item, piece, place, movement)
    elif known.measure == "reps" and known.sets == 1 and kind in ("dist", "cals") and not station.words_sets:
        station.amount = replace(amount, sets=int(known.steps[0].value) if known.steps else 1)
    elif known.measure == "reps" and _is_one_count(known) and station.uncounted and kind == "dur":
        station.amount = replace(amount, sets=int(known.steps[0].value))
    elif known.measure == "duration_s" and kind in ("dist", "cals"):
        station.amount = amount


def _is_one_count(amount: Amount) -> bool:
    return amount.sets == 1 and len(amount.steps) == 1


def _climbs_of(station: StationDraft, amount: Amount, movement: Movement) -> bool:
    """`rope climb 5 x 4.5 m`: five climbs of that height."""
    if "rope_climb" not in movement.name or amount.sets < 2 or amount.unit not in ("m", "ft") or station.amount:
        return False
    if len(amount.steps) != 1 or amount.steps[0].value > (12 if amount.unit == "m" else 40):
        return False
    station.amount = Amount(steps=(Quantity(float(amount.sets)),))
    station.height = Height(amount.steps[0], amount.unit)
    return True


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
    if amount.steps and (after_at or (pair and place > at >= 0 and movement.load == "needs")) and loaded:
        station.load = Load(amount.steps, "")
        return True
    if pair and place > at >= 0 and movement.landing_class != "none" and "jump" in movement.name + "step":
        station.height = Height(amount.steps[0], "")
        return True
    return False


_LIGHTEST_BAR = 15


def _could_be_load(amount: Amount) -> bool:
    """`Sentadilla 5x5 con 100`: a figure by itself that is of the size of a bar."""
    return len(amount.steps) == 1 and amount.steps[0].value >= _LIGHTEST_BAR and amount.measure == "reps"


def _second_count(station: StationDraft, item: Item, piece: list[Item], place: int, movement: Movement) -> None:
    amount: Amount = item.value
    if not amount.steps or amount.sets > 1:
        return
    told = place > 0 and piece[place - 1].kind in ("at", "with") and movement.load == "may" and _could_be_load(amount)
    wanted = movement.load == "needs" and "reps" not in item.parts and len(amount.steps) <= 1
    if station.load is None and (told or wanted):
        station.load = Load(amount.steps, "")
    elif station.height is None and movement.load != "needs" and "box" in movement.name:
        station.height = Height(amount.steps[0], "")
