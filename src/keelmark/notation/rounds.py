"""The rounds of a group in order: the same each time, or a rung higher, with what is done between and behind sets."""

from __future__ import annotations

from collections.abc import Iterator

from keelmark.notation.expand import Entry, Expander
from keelmark.notation.tree import Amount, Group, Section

__all__ = ["rounds_of"]


def rounds_of(group: Group, section: Section, expander: Expander, limit: int | None = None) -> Iterator[list[Entry]]:
    """The rounds of a group in order, each a list of sets; a ladder that goes on never ends unless limited."""
    rungs = _laddered(group, section)
    if rungs:
        yield from _rungs(group, section, expander, rungs, limit)
        return
    once = _one_round(group, section, expander)
    count = group.rounds if limit is None else limit
    last = once
    if group.rounds > 1 and any(station.when == "between_sets" for station in group.stations):
        between = [station for station in group.stations if station.when == "between_sets"]
        if all(
            entry.station in between or entry.station.amount is None or entry.station.amount.sets == 1 for entry in once
        ):
            extra = [entry for station in between for entry in expander.sets(station, group.scheme, section)]
            last = once
            once = [*once, *extra]
    for number in range(count):
        yield last if number == count - 1 else once


def _laddered(group: Group, section: Section) -> int:
    """The number of rungs that all stations climb together; 0 where each does its own sets."""
    if group.scheme is not None and group.scheme.steps and not group.scheme.open:
        return max(1, len(group.scheme.steps))
    goes_on = section.kind == "every" and any(s.amount is not None and s.amount.continues for s in group.stations)
    if section.kind not in ("for_time", "amrap", "until_miss") and len(group.stations) < 2 and not goes_on:
        return 0
    lengths = [len(s.amount.steps) for s in group.stations if s.amount is not None and _is_ladder(s.amount)]
    if not lengths or len(set(lengths)) > 1 or len(lengths) < len(group.stations):
        return (
            lengths[0]
            if lengths
            and section.kind in ("amrap", "until_miss")
            and any(s.amount is not None and s.amount.continues for s in group.stations)
            else 0
        )
    return lengths[0]


def _is_ladder(amount: Amount | None) -> bool:
    """Does an amount change from round to round?"""
    return amount is not None and amount.sets == 1 and (len(amount.steps) > 1 or amount.continues)


def _rungs(group: Group, section: Section, expander: Expander, rungs: int, limit: int | None) -> Iterator[list[Entry]]:
    continues = any(
        amount is not None and amount.continues for amount in [group.scheme, *(s.amount for s in group.stations)]
    )
    count = limit if limit is not None else rungs * group.rounds
    for number in range(count):
        place = number if continues else number % rungs
        entries: list[Entry] = []
        for station in group.stations:
            amount = station.amount or group.scheme
            if amount is None or amount.open or not amount.steps:
                continue
            if station.when == "between_sets" and number == count - 1:
                continue
            if _is_ladder(amount) or (amount is group.scheme):
                entries.extend(expander.rungs(station, amount, place))
            else:
                entries.extend(expander.sets(station, group.scheme, section))
        yield entries


def _one_round(group: Group, section: Section, expander: Expander) -> list[Entry]:
    entries: list[Entry] = []
    before: list[Entry] = []
    open_sets = 0
    for station in group.stations:
        own = expander.sets(station, group.scheme, section)
        if station.when == "" and not own and station.amount is not None and station.amount.open:
            before, open_sets = [], station.amount.sets
        counted = len(own) > 1 and len(own) in (len(before), len(before) - 1)
        if counted and station.when in ("after_set", "between_sets"):
            pass
        elif station.when == "after_rep" and before:
            own = own * max(1, round(sum(e.amount for e in before if e.measure == "reps") or len(before)))
        elif station.when == "after_set" and before:
            own = own * len(before)
        elif station.when == "between_sets" and before:
            own = own * max(0, len(before) - 1)
        elif station.when in ("after_set", "between_sets") and open_sets > 1:
            own = own * (open_sets - (station.when == "between_sets"))
        else:
            again = bool(before and own) and before[-1].movement == own[0].movement
            before = [*before, *own] if again else own
        entries.extend(own)
    return entries
