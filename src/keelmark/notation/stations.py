"""Make stations of the items between two separators: a movement with its amount, load, height and side."""

from __future__ import annotations

import itertools

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.station_figures import IMPLEMENTS, apply_figures, is_implement

__all__ = ["is_like", "pieces_of", "station_of"]

_LOOSE = frozenset(["vague", "practice", "open_end"])
_LOOSE_WORDS = frozenset(["word", "to", "vague", "open_end", "until", "and", "of", "a", "for_word", "with"])


def is_like(movement: str, named: str) -> bool:
    """Is a movement the one that was named, or a kind of it: `ring_muscle_up` by `muscle_up`?"""
    return set(named.split("_")) <= set(movement.split("_"))


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
    station.is_hold = lexicon.catalogue.movements[station.movement].measures == ("duration_s",)
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
    doubtful = lexicon.doubt(piece[at].word, None) is not None
    counted = any(item.kind in AMOUNTS and (item.value.sets > 1 or len(item.value.steps) > 2) for item in piece[at:])
    if odd and not first and at == len(odd) and doubtful and counted:
        return odd[0].start, odd[-1].end
    many = doubtful and first and piece[first - 1].kind in AMOUNTS
    odd_behind = behind is not None and behind.kind == "word" and behind.word not in lexicon.idle
    if many and romance and behind is not None and odd_behind and len(behind.word) > 4:
        return behind.start, behind.end
    if behind is not None and behind.kind == "word" and any(role in IMPLEMENTS for role in piece[at].roles):
        return behind.start, behind.end
    return None


def _is_energy(item: Item, lexicon: Lexicon) -> bool:
    unit = lexicon.units.get(item.word)
    return unit is not None and unit.measure == "energy"
