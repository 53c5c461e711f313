"""Work tied to other work, told once for several movements: `8 ring dips + 200 m run after each climb`."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.assemble import Assembler
from keelmark.notation.drafts import GroupDraft, StationDraft

__all__ = ["settle_ways", "spread_ties"]

_METRES = {"m": 1.0, "km": 1000.0, "mi": 1609.344, "yd": 0.9144}
_SLACK = 0.01
_BY_THE_CLOCK = ("each_minute", "each_minute_later")


def spread_ties(work: Assembler, group: GroupDraft) -> None:
    """Stations joined on one line are all tied to the work before them when one of them is.

    Parameters
    ----------
    work : Assembler
        With the segments that the stations come from.
    group : GroupDraft
        Whose stations are looked at; `when` is set on those that lack it.
    """
    if not any(station.when for station in group.stations):
        return
    run: list[StationDraft] = []
    for station in [*group.stations, None]:
        if station is not None and run and _goes_with(work, run[-1], station):
            run.append(station)
            continue
        _tie(run, group)
        run = [station] if station is not None else []


def _goes_with(work: Assembler, before: StationDraft, station: StationDraft) -> bool:
    """On the same line and joined to the one before; by a comma where the clock of both was told ahead of them."""
    if before.line != station.line:
        return False
    if station.joined:
        return True
    separators = work.segments[station.segment].before if station.segment < len(work.segments) else frozenset()
    ahead = before.when in _BY_THE_CLOCK and before.ahead
    return ahead and separators == frozenset(["comma"])


def _tie(run: list[StationDraft], group: GroupDraft) -> None:
    """Give what one of a run is tied to to the others, but for the one that it is tied to."""
    tied = [station for station in run if station.when]
    if len(run) < 2 or len({station.when for station in tied}) != 1 or len(tied) == len(run):
        return
    told = tied[0]
    if told is not run[0] and (run[0] is group.stations[0] or any(_is_named(s, told) for s in run)):
        return
    if told not in (run[0], run[-1]):
        return
    for station in run:
        station.when = told.when


def _is_named(station: StationDraft, told: StationDraft) -> bool:
    """`10 rope climbs + 50 skips after each climb`: the words of the tie name it."""
    return any(len(word) > 2 and word.rstrip("s") in station.movement for word in told.tied_to.split()[1:])


def settle_ways(group: GroupDraft) -> None:
    """`5 mile run, 30 squats after each mile`: as many sets as the way before has whole parts of that length."""
    way, told = 0.0, 0.0
    for station in group.stations:
        amount = station.amount
        if station.after_way:
            told = station.after_way
        elif station.joined not in ("plus", "and") or (amount is not None and amount.measure == "distance_m"):
            told = 0.0
        if told and way and amount is not None:
            station.amount = replace(amount, sets=max(1, round(way // told)) * amount.sets)
        elif amount is not None and amount.measure == "distance_m" and amount.unit in _METRES and amount.steps:
            way = sum(step.value for step in amount.steps) * amount.sets * _METRES[amount.unit] + _SLACK
