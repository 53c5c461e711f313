"""Make stations of the items between two separators: a movement with its amount, load, height and side."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.counts import AMOUNTS, take_counts, take_height, take_load, take_quote, take_xload
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Quantity

__all__ = ["apply_figures", "is_implement", "open_amount", "pieces_of", "station_of"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}
_IMPLEMENTS = frozenset(
    ["dumbbells", "kettlebells", "dumbbell", "kettlebell", "plate", "sandbag", "vest", "ball", "bar"]
)
_FEET = 30.48
_LOOSE = frozenset(["vague", "practice", "open_end"])
_LOOSE_WORDS = frozenset(["word", "to", "vague", "open_end", "until", "and", "of", "a", "for_word", "with"])
_PARTS = frozenset(["part", "slot", "raised"])


def pieces_of(items: list[Item]) -> list[list[Item]]:
    """Items cut so that each piece holds one movement; figures in front of a movement belong to it."""
    places = [at for at, item in enumerate(items) if item.kind == "movement" and _names_work(items, at)]
    if len(places) < 2:
        return [items]
    pieces: list[list[Item]] = []
    start = 0
    counted = max((at for at, item in enumerate(items) if item.kind in AMOUNTS), default=-1)
    for place, following in itertools.pairwise(places):
        cut = _cut_between(items, start, place, following, counted > following)
        if cut is None:
            continue
        pieces.append(items[start:cut])
        start = cut
    pieces.append(items[start:])
    return pieces


def _names_work(items: list[Item], at: int) -> bool:
    item = items[at]
    if item.kind != "movement":
        return False
    if not item.roles:
        return True
    if is_implement(items, at):
        return False
    return "complex" not in item.roles or not any(other.kind == "movement" and other is not item for other in items)


def is_implement(items: list[Item], at: int) -> bool:
    """`DBs`, `KB` beside a load name what is held, not a movement."""
    item = items[at]
    if item.kind != "movement" or not item.roles or not any(role in _IMPLEMENTS for role in item.roles):
        return False
    before = items[at - 1].kind if at else ""
    return before in ("xload", "load", "with") or any(other.kind == "movement" for other in items[:at])


def _cut_between(items: list[Item], start: int, place: int, following: int, more: bool) -> int | None:
    """Where the piece of the first movement ends, None when both belong together; `more` counts stand behind them."""
    if items[place].value == items[following].value and not more:
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
            if own or (tail and not more):
                return at - 1 if items[at - 1].kind == "with" and at - 1 > place else at
            return following
    return following if more and any(item.kind in AMOUNTS for item in items[start:following]) else None


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
    kinds = [item.kind for item in piece]
    station.skill = "practice" in kinds
    station.in_calories = "word" in kinds and any(item.kind == "word" and _is_energy(item, lexicon) for item in piece)
    station.uncounted = "reps" not in lexicon.catalogue.movements[station.movement].measures
    words = len([kind for kind in kinds if kind in _LOOSE_WORDS])
    station.loose = (words >= 3 and at <= 1) or not _LOOSE.isdisjoint(kinds)
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
            if kind == "dur" and movement.measures[0] == "reps" and _held_in_rep(piece, place):
                continue
            counts.append((place, item))
        elif kind == "load":
            take_load(station, item.value)
        elif kind == "xload":
            take_xload(station, item, movement, any(other.kind in AMOUNTS for other in piece))
        elif kind == "height":
            take_height(station, item.value, piece, movement)
        elif kind == "quote":
            take_quote(station, item, movement)
        elif kind == "per_side":
            station.side = "each"
        elif kind == "alternating":
            station.side = station.side or "alternating"
        elif kind == "practice" and at < 0:
            station.skill = True
        elif kind == "each" and place and piece[place - 1].kind in AMOUNTS and movement.name in _one_sided():
            station.side = "each"
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
        elif kind in ("build", "ascending"):
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
        elif kind == "each_break":
            station.when = "each_break"
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
    take_counts(station, counts, piece, at, movement)
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
