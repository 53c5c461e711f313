"""Work that comes after some of the sets or rounds: `after every second set`, `after rounds 2 and 4`."""

from __future__ import annotations

from keelmark.notation.desk import Desk
from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item, with_sets

__all__ = ["read_after_sets", "settle_after_sets"]

_SETS = frozenset(["sets", "rounds", "waves"])
_JOINS = frozenset(["and", "comma", "plus", "ampersand"])
_ENDS = frozenset(["colon", "comma", "sdash", "newline", "stop", "semicolon", "close", "number", "movement"])


def read_after_sets(items: list[Item]) -> list[Item]:
    """The items with each such phrase as one mark, where work with a count stands behind or in front of it."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        mark, end = _every_so_many(items, at)
        if mark is None:
            mark, end = _numbered(items, at)
        if mark is not None and _counted_beside(items, at, end):
            out.append(mark)
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _every_so_many(items: list[Item], at: int) -> tuple[Item | None, int]:
    """`after every second set`, `nach jeder 2. Runde`, `despues de cada 2 series`."""
    if items[at].kind != "after_each" or at + 2 >= len(items) or items[at + 1].kind not in ("nth", "number"):
        return None, at
    here = at + 2
    if items[here].kind in ("stop", "ordinal") and here + 1 < len(items):
        here += 1
    every = items[at + 1].value
    if items[here].kind not in _SETS or not float(every).is_integer() or not 2 <= every <= 10:
        return None, at
    return merged_item("after_sets", items[at : here + 1], int(every)), here + 1


def _numbered(items: list[Item], at: int) -> tuple[Item | None, int]:
    """`after rounds 2 and 4`: as often as rounds are named."""
    begins = at == 0 or items[at - 1].kind in ("newline", "stop", "semicolon", "movement")
    if not begins or items[at].kind not in ("after_round", "after_movement") or at + 2 >= len(items):
        return None, at
    here = at + 2 if items[at + 1].kind in _SETS else at + 1
    if here == at + 1 and not (items[at].kind == "after_round" and " " in items[at].word):
        return None, at
    numbers: list[float] = []
    while here < len(items) and items[here].kind in ("number", "commas"):
        value = items[here].value
        numbers += [value] if items[here].kind == "number" else value
        here += 1
        joined = here + 1 < len(items) and items[here].kind in _JOINS and items[here + 1].kind == "number"
        if not joined or (here + 2 < len(items) and items[here + 2].kind not in (*_JOINS, "colon", "newline", "sdash")):
            break
        here += 1
    rising = numbers == sorted(set(numbers)) and all(float(number).is_integer() for number in numbers)
    return (merged_item("after_sets", items[at:here], -len(numbers)), here) if rising else (None, at)


def _counted_beside(items: list[Item], at: int, end: int) -> bool:
    """Work with a count right behind the phrase, or right in front of it at the end of a line."""
    behind = end + 1 if end < len(items) and items[end].kind in ("colon", "comma", "sdash") else end
    kinds = [item.kind for item in items[behind : behind + 3]]
    if kinds[:1] == ["number"] and "movement" in kinds:
        return True
    closes = end >= len(items) or items[end].kind in ("newline", "stop")
    return closes and at > 1 and items[at - 1].kind == "movement" and items[at - 2].kind in ("number", "distance")


def settle_after_sets(work: Desk, section: SectionDraft) -> None:
    """As many sets of such work as the sets or rounds before have places for it, in a group behind them.

    Where nobody knows how many rounds there will be, it is left out and told.
    """
    for group in list(section.groups):
        tied = [station for station in group.stations if station.after_sets and station.amount is not None]
        for station in tied:
            before = _sets_before(section, group, station)
            times = -station.after_sets if station.after_sets < 0 else before // station.after_sets
            if times < 1 or before < times or section.kind == "amrap":
                station.dropped = True
                work.find("missing_reps", station.start, station.end, movement=station.movement)
                continue
            group.stations.remove(station)
            assert station.amount is not None
            station.amount = with_sets(station.amount, station.amount.sets * times)
            section.groups.insert(section.groups.index(group) + 1, GroupDraft([station]))


def _sets_before(section: SectionDraft, group: GroupDraft, station: StationDraft) -> int:
    """How many sets or rounds the work has that stands before the station."""
    place = group.stations.index(station)
    if group.rounds > 1:
        return group.rounds
    if place == 0:
        earlier = [other for other in section.groups[: section.groups.index(group)] if other.stations]
        group = earlier[-1] if earlier else group
        place = len(group.stations)
        if group.rounds > 1:
            return group.rounds
    amounts = [other.amount or group.scheme for other in group.stations[:place]]
    amount = amounts[-1] if amounts else None
    return 0 if amount is None or amount.open or amount.continues else amount.sets * len(amount.steps)
