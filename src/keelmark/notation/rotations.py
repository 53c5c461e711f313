"""Rotations: which group has its turn in which window, and minutes that climb a ladder instead."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.drafts import GroupDraft, SectionDraft
from keelmark.notation.tree import Amount, Quantity

__all__ = ["settle_slots"]


def settle_slots(section: SectionDraft) -> None:
    """The places of the groups in a rotation, counted from one even where the text counts from zero."""
    groups = section.groups
    _whole_section_at_an_end(section)
    _sets_as_windows(section)
    _listed_as_windows(section)
    marked = [group for group in groups if group.slots or group.parity]
    rotation = max((max(group.slots) for group in marked if group.slots), default=0)
    if section.kind == "intervals" and section.around and section.windows == rotation:
        section.windows *= rotation
    if section.alternate and not marked and section.kind in ("every", "intervals"):
        section.groups = marked = _spread(groups)
    _number(marked)
    if _climb_by_minutes(section, marked):
        return
    _hold_in_windows(section, marked)
    bare = [group for group in marked if group.bare and not group.stations]
    if bare:
        first = next((group for group in marked if group.stations), None) or _named_ahead(groups)
        if first is not None:
            _growing(section, first, bare)


def _whole_section_at_an_end(section: SectionDraft) -> None:
    """`Finisher: EMOM 8: 10 push-ups`: the whole section stands at the end of the day, not one group of it."""
    filled = [group for group in section.groups if group.stations]
    if section.kind not in ("work", "for_time") and filled and all(group.role for group in filled):
        for group in filled:
            group.role = ""


def _hold_in_windows(section: SectionDraft, marked: list[GroupDraft]) -> None:
    """A hold without a time that has a turn for itself lasts as long as its window."""
    if section.kind != "every" or not section.window or len(marked) < 2:
        return
    for group in marked:
        alone = len(group.stations) == 1 and group.scheme is None and not group.bare
        if alone and group.stations[0].amount is None and group.stations[0].is_hold:
            group.stations[0].amount = Amount("duration_s", "s", (Quantity(section.window),))


def _sets_as_windows(section: SectionDraft) -> None:
    """`every 2 min: 5x3 cleans`: the sets are the windows, where nothing else says how many there are."""
    stations = [station for group in section.groups for station in group.stations]
    if section.kind != "every" or section.seconds is not None or section.windows is not None or not stations:
        return
    sets = {station.amount.sets if station.amount is not None else 1 for station in stations}
    if len(sets) > 1 or max(sets) < 2 or any(group.slots or group.parity for group in section.groups):
        return
    section.windows = max(sets)
    for station in stations:
        if station.amount is not None:
            station.amount = replace(station.amount, sets=1)


def _listed_as_windows(section: SectionDraft) -> None:
    """`Deadlift, every 2:00: 10 @ 100 kg, 8 @ 110 kg, ...`: each set is a window, done once."""
    if section.kind != "every" or section.seconds is not None or section.windows is not None or section.continues:
        return
    stations = [station for group in section.groups if not group.role for station in group.stations]
    told = {(station.amount, station.load) for station in stations}
    plain = all(station.amount is not None and station.amount.steps and not station.when for station in stations)
    turns = any(group.slots or group.parity or group.rounds > 1 or group.scheme for group in section.groups)
    if len(stations) < 2 or len({s.movement for s in stations}) > 1 or len(told) < 2 or not plain or turns:
        return
    if any(station.rise is not None or (station.amount and station.amount.continues) for station in stations):
        return
    section.kind = "work"


def _number(marked: list[GroupDraft]) -> None:
    """Odd and even minutes as the first and the second of two; minutes counted from zero as from one."""
    for group in marked:
        if group.parity:
            group.slots = (1,) if group.parity == "odd" else (2,)
    if any(0 in group.slots for group in marked):
        for group in marked:
            group.slots = tuple(slot + 1 for slot in group.slots)


def _climb_by_minutes(section: SectionDraft, marked: list[GroupDraft]) -> bool:
    """`min 1 = 1 clean, min 2 = 2 cleans, min 3 = 3 and so on`: one ladder, not a rotation."""
    goes_on = section.continues or section.kind == "until_miss"
    in_turn = [group.slots for group in marked] == [(n + 1,) for n in range(len(marked))]
    stations = [station for group in marked for station in group.stations]
    if not goes_on or not in_turn or len(marked) < 2 or not stations or not marked[0].stations:
        return False
    if section.windows is not None or section.seconds is not None or len({s.movement for s in stations}) > 1:
        return False
    figures = [group.stations[0].amount if group.stations else next(iter(group.bare), None) for group in marked]
    if any(amount is None or len(amount.steps) != 1 or amount.sets > 1 for amount in figures):
        return False
    steps = tuple(amount.steps[0] for amount in figures if amount is not None)
    rising = all(one.value < other.value for one, other in itertools.pairwise(steps))
    first, kept = stations[0], marked[0]
    if not rising or first.amount is None or any(len(group.stations) > 1 for group in marked):
        return False
    first.amount = replace(first.amount, steps=steps, continues=True)
    first.load = first.load or next((s.load for s in stations if s.load is not None), None)
    kept.slots = ()
    besides = [group for group in section.groups if group not in marked and not group.role]
    for group in besides:
        kept.stations += group.stations
    section.groups = [group for group in section.groups if group is kept or group not in (*marked, *besides)]
    section.kind = "until_miss"
    return True


def _named_ahead(groups: list[GroupDraft]) -> GroupDraft | None:
    """`Shuttle run: minute 1 = 20 m, minute 2 = 40 m`: the group of the movement named before its minutes."""
    named = groups[0] if groups else None
    return named if named is not None and len(named.stations) == 1 and named.stations[0].amount is None else None


def _spread(groups: list[GroupDraft]) -> list[GroupDraft]:
    """Stations that take turns, one group for each; those joined by a plus sign stay together."""
    spread: list[GroupDraft] = []
    for group in groups:
        if group.resting and not group.stations:
            spread.append(GroupDraft(slots=(len(spread) + 1,), resting=True))
        for station in group.stations:
            if spread and station.joined == "plus" and spread[-1].stations:
                spread[-1].stations.append(station)
            else:
                spread.append(GroupDraft([station], slots=(len(spread) + 1,), per_side=group.per_side))
    return spread


def _growing(section: SectionDraft, first: GroupDraft, bare: list[GroupDraft]) -> None:
    """`min 1 = 1 + 1, min 2 = 2 + 2, and so on`: each station climbs its own ladder."""
    for place, station in enumerate(first.stations):
        steps = list(station.amount.steps) if station.amount else []
        if station.amount is None and not first.slots and place < len(bare[0].bare):
            station.amount = replace(bare[0].bare[place], steps=())
        for group in bare:
            if place < len(group.bare):
                steps.extend(group.bare[place].steps)
        if station.amount is not None:
            station.amount = replace(station.amount, steps=tuple(steps), continues=bool(steps))
    first.slots = ()
    section.groups = [group for group in section.groups if group not in bare]
    if section.windows is None and section.seconds is None:
        section.kind = "until_miss"
