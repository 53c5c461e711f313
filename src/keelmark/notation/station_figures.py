"""What the figures and words around a movement tell of its station: one rule for each kind of item."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from keelmark.catalogue import Movement
from keelmark.notation.counts import AMOUNTS, take_counts, take_height, take_load, take_quote, take_xload
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Quantity

__all__ = ["IMPLEMENTS", "apply_figures", "is_implement", "open_amount"]

IMPLEMENTS = frozenset(
    ["dumbbells", "kettlebells", "dumbbell", "kettlebell", "plate", "sandbag", "vest", "ball", "bar"]
)
_PARTS = frozenset(["part", "slot", "raised"])


def apply_figures(station: StationDraft, piece: list[Item], at: int, lexicon: Lexicon) -> None:
    """Give a station the figures and words around its movement; `at` is the place of the movement, -1 without one."""
    taking = _Taking(station, piece, at, lexicon, lexicon.catalogue.movements[station.movement])
    for place, item in enumerate(piece):
        rule = _RULES.get(item.kind)
        if rule is not None:
            rule(taking, item, place)
    if station.per_hand and station.load is not None and station.load.count == 1:
        station.load = replace(station.load, count=2)
    take_counts(station, taking.counts, piece, at, taking.movement)
    _settle_amount(station, taking.movement, taking.named_reps)


@dataclass(slots=True)
class _Taking:
    """A station and the items that tell of it; counts wait until all the rest is known."""

    station: StationDraft
    piece: list[Item]
    at: int
    lexicon: Lexicon
    movement: Movement
    counts: list[tuple[int, Item]] = field(default_factory=list)
    named_reps: float = 0.0

    def behind(self, place: int, kinds: frozenset[str]) -> bool:
        """Does an item of these kinds stand in front of this place?"""
        return place > 0 and self.piece[place - 1].kind in kinds

    def count(self, item: Item, place: int) -> None:
        piece = self.piece
        if item.kind == "amount" and place + 1 < len(piece) and piece[place + 1].kind in _PARTS:
            return
        if item.kind == "dur" and self.movement.measures[0] == "reps" and _held_in_rep(piece, place):
            return
        if item.kind == "dur" and all(step.value == 0 and not step.top for step in item.value.steps):
            return
        self.counts.append((place, item))

    def sets(self, item: Item, place: int) -> None:
        self.counts.append((place, Item("nsets", item.start, item.end, item.value)))

    def load(self, item: Item, place: int) -> None:
        load, station = item.value, self.station
        if load.added and station.start_load is not None and station.rise is None and len(load.steps) == 1:
            station.rise = (load.steps[0].value, load.unit)
        else:
            take_load(station, load)

    def load_or_reps(self, item: Item, place: int) -> None:
        take_xload(self.station, item, self.movement, any(other.kind in AMOUNTS for other in self.piece))

    def height(self, item: Item, place: int) -> None:
        take_height(self.station, item.value, self.piece, self.movement)

    def quote(self, item: Item, place: int) -> None:
        take_quote(self.station, item, self.movement)

    def per_side(self, item: Item, place: int) -> None:
        self.station.side = "each"

    def alternating(self, item: Item, place: int) -> None:
        self.station.side = self.station.side or "alternating"

    def practice(self, item: Item, place: int) -> None:
        self.station.skill = self.station.skill or self.at < 0

    def each(self, item: Item, place: int) -> None:
        if self.behind(place, AMOUNTS) and (
            self.movement.name in _one_sided() or self.movement.name in trade()["each_is_a_side"]
        ):
            self.station.side = "each"
        elif self.behind(place, _LOAD) and self.movement.implement in ("dumbbell", "kettlebell"):
            self.per_hand(item, place)

    def per_hand(self, item: Item, place: int) -> None:
        if self.movement.name in _one_sided():
            self.station.side = "each"
        elif self.movement.implement != "barbell":
            self.station.per_hand = True

    def rating(self, item: Item, place: int) -> None:
        self.station.rpe = item.value

    def rise(self, item: Item, place: int) -> None:
        if not item.parts or item.parts == [self.station.movement]:
            self.station.rise = item.value

    def start_load(self, item: Item, place: int) -> None:
        self.station.start_load = item.value

    def most(self, item: Item, place: int) -> None:
        amount = open_amount(self.piece, self.lexicon)
        if _is_timed(self.station) and amount.measure != "reps":
            self.station.amount = amount
        else:
            self.as_many(item, place)

    def as_many(self, item: Item, place: int) -> None:
        if self.station.amount is not None:
            return
        self.station.amount = open_amount(self.piece, self.lexicon)
        measures = self.movement.measures
        if self.station.amount.measure == "reps" and "reps" not in measures and measures[0] == "duration_s":
            self.station.amount = Amount("duration_s", "s", open=True)

    def found(self, item: Item, place: int) -> None:
        if self.station.amount is None and (item.kind != "top_set" or item.value):
            self.station.amount = Amount(steps=(Quantity(float(item.value)),), open=True)

    def few(self, item: Item, place: int) -> None:
        self.named_reps = self.named_reps or float(item.value or 0.0)

    def builds(self, item: Item, place: int) -> None:
        self.station.builds = True

    def same(self, item: Item, place: int) -> None:
        self.station.same = _same(self.piece, place)

    def after(self, item: Item, place: int) -> None:
        if isinstance(item.value, float):
            self.station.after_way = item.value
        elif isinstance(item.value, int):
            self.station.after_every = float(item.value)
        else:
            self.station.when = "after_set" if item.value == "set" else "after_rep"
            self.station.tied_to = item.word

    def after_sets(self, item: Item, place: int) -> None:
        self.station.after_sets = item.value

    def before_round(self, item: Item, place: int) -> None:
        self.station.opens_round = True

    def between(self, item: Item, place: int) -> None:
        self.station.when = "between_sets"
        self.station.between_rounds = not set(item.word.split()).isdisjoint(trade()["rounds_between"]["words"])

    def each_break(self, item: Item, place: int) -> None:
        self.station.when = "each_break"

    def implement(self, item: Item, place: int) -> None:
        if place != self.at and (item.kind in IMPLEMENTS or is_implement(self.piece, place)):
            self.station.implement = next((role for role in item.roles if role in IMPLEMENTS), item.kind)

    def one_arm(self, item: Item, place: int) -> None:
        self.station.implement = self.station.implement or "single"

    def pair(self, item: Item, place: int) -> None:
        self.station.implement = "pair"


_LOAD = frozenset(["load"])
_RULES: dict[str, Callable[[_Taking, Item, int], None]] = {
    **dict.fromkeys(AMOUNTS, _Taking.count),
    **dict.fromkeys(IMPLEMENTS, _Taking.implement),
    **dict.fromkeys(["building", "rm", "top_set"], _Taking.found),
    **dict.fromkeys(["single", "double", "triple"], _Taking.few),
    **dict.fromkeys(["build", "ascending"], _Taking.builds),
    "load": _Taking.load,
    "xload": _Taking.load_or_reps,
    "height": _Taking.height,
    "quote": _Taking.quote,
    "per_side": _Taking.per_side,
    "alternating": _Taking.alternating,
    "practice": _Taking.practice,
    "each": _Taking.each,
    "per_hand": _Taking.per_hand,
    "rating": _Taking.rating,
    "rise": _Taking.rise,
    "start_load": _Taking.start_load,
    "max": _Taking.most,
    "amrap_head": _Taking.as_many,
    "same": _Taking.same,
    "after": _Taking.after,
    "between": _Taking.between,
    "after_sets": _Taking.after_sets,
    "before_round": _Taking.before_round,
    "each_break": _Taking.each_break,
    "nsets": _Taking.sets,
    "movement": _Taking.implement,
    "single_arm": _Taking.one_arm,
    "pair_of": _Taking.pair,
}


def _settle_amount(station: StationDraft, movement: Movement, named_reps: float) -> None:
    """Feet that are a way, reps that were named, calories and seconds where the movement has no reps."""
    height, amount = station.height, station.amount
    far = height is not None and height.unit == "ft" and movement.measures[0] == "distance_m"
    if far and height is not None and amount is not None and amount.measure == "reps" and len(amount.steps) == 1:
        sets = amount.sets * max(1, int(min(amount.steps[0].value, 1e4)))
        station.amount, station.height = Amount("distance_m", "ft", (height.value,), sets), None
    if station.amount is None and named_reps:
        station.amount = Amount(steps=(Quantity(named_reps),), open=station.builds)
    amount = station.amount
    if amount is None or amount.measure != "reps" or not station.uncounted:
        return
    if amount.steps and station.in_calories:
        station.amount = replace(amount, measure="calories", unit="cal")
    elif amount.open and not amount.steps and movement.measures[0] == "duration_s":
        station.amount = replace(amount, measure="duration_s", unit="s")
    elif amount.open and not amount.steps and "calories" in movement.measures:
        station.amount = replace(amount, measure="calories", unit="cal")


def is_implement(items: list[Item], at: int) -> bool:
    """`DBs`, `KB` beside a load name what is held, not a movement."""
    item = items[at]
    if item.kind != "movement" or not item.roles or not any(role in IMPLEMENTS for role in item.roles):
        return False
    before = items[at - 1].kind if at else ""
    return before in ("xload", "load", "with") or any(other.kind == "movement" for other in items[:at])


def _held_in_rep(piece: list[Item], place: int) -> bool:
    """`bench press with 2 s pause`: how each rep is done."""
    item, held = piece[place], trade()["held_in_rep"]
    behind = piece[place + 1].word if place + 1 < len(piece) else ""
    plain = item.value.sets == 1 and len(item.value.steps) == 1 and item.value.unit == "s"
    return plain and behind in held["words"] and item.value.steps[0].value <= held["most_seconds"]


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
