"""What can be said of a station, a group or a section by itself, and sets made from others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from keelmark.notation.expand import Done, Entry
from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Group, Section, Station

__all__ = [
    "amount_is_open",
    "begun",
    "climbs",
    "divided",
    "first_units",
    "is_beyond",
    "is_open",
    "is_somewhere",
    "is_timed_hold",
    "named_for",
    "open_stations",
    "rises",
    "units_behind",
    "units_told",
    "with_amount",
    "with_load",
]


def divided(item: Done, people: int) -> Done:
    if item.times % people == 0 and item.part is None:
        return Done(item.entry, item.times // people)
    amount = (item.part if item.part is not None else item.entry.amount * item.times) / people
    return Done(with_amount(item.entry, amount))


def with_amount(entry: Entry, amount: float) -> Entry:
    return Entry(
        entry.station,
        entry.movement,
        entry.measure,
        amount,
        amount,
        amount,
        entry.load_kg,
        entry.basis,
        entry.height_cm,
        entry.start_cm,
        entry.version,
    )


def with_load(entry: Entry, load: float) -> Entry:
    return Entry(
        entry.station,
        entry.movement,
        entry.measure,
        entry.amount,
        entry.low,
        entry.high,
        load,
        "external",
        entry.height_cm,
        entry.start_cm,
        entry.version,
    )


def amount_is_open(station: Station, group: Group) -> bool:
    amount = station.amount or group.scheme
    return amount is not None and (amount.open or not amount.steps)


def named_for(station: Station, names: Iterable[str]) -> str | None:
    """The name under which a score speaks of a station: its own, or one that is shorter or longer by a word."""
    own = [station.movement]
    if station.scaled is not None and station.scaled.movement is not None:
        own.append(station.scaled.movement)
    names = list(names)
    for movement in own:
        if movement in names:
            return movement
    words = set(station.movement.split("_"))
    alike = [name for name in names if words <= set(name.split("_")) or set(name.split("_")) <= words]
    return alike[0] if len(alike) == 1 else None


def open_stations(section: Section) -> int:
    """How many stations of a section wait for a score."""
    return sum(amount_is_open(station, group) for group in section.groups for station in group.stations)


def is_timed_hold(section: Section) -> bool:
    return any(
        station.amount is not None and station.amount.open and station.amount.measure == "duration_s"
        for group in section.groups
        for station in group.stations
    )


def is_open(section: Section) -> bool:
    return any(amount_is_open(station, group) for group in section.groups for station in group.stations) or (
        section.kind == "intervals"
        and any(station.amount is None for group in section.groups for station in group.stations)
    )


def climbs(group: Group) -> bool:
    return group.scheme is not None or any(
        station.amount is not None
        and station.amount.sets == 1
        and (len(station.amount.steps) > 1 or station.amount.continues)
        for station in group.stations
    )


def units_told(once: list[Entry], score: Score) -> float:
    """Units of a round begun, told by movement: all before the last one named, and as much of it as was told."""
    bare = score.partial[-1][1] or 0.0 if not score.partial[-1][0] else 0.0
    movement, count = next(part for part in reversed(score.partial) if part[0])
    units = 0.0
    for entry in once:
        if named_for(entry.station, [movement]) is not None:
            return units + bare + (entry.units if count is None else count)
        units += entry.units
    return sum(number or 1.0 for _, number in score.partial)


def is_somewhere(score: Score) -> bool:
    """A round begun, and of the movement reached nobody told how much."""
    return score.kind == "in_round" or (score.kind == "into_rung" and bool(score.partial) and not score.partial[-1][1])


def is_beyond(once: list[Entry], score: Score) -> bool:
    """More of the movement told than a round holds of it: `push-up 18` of ten."""
    movement, count = score.partial[-1]
    told = next((e for e in once if movement and named_for(e.station, [movement]) is not None), None)
    return told is not None and count is not None and len(score.partial) == 1 and count > told.units + 1e-9


def units_behind(flow: list[list[Entry]], score: Score) -> float:
    """Units that come after the movement of which some were left: `10 pull-ups to go` leaves the last run as well."""
    if not score.partial:
        return 0.0
    units = 0.0
    for entry in (entry for entries in reversed(flow) for entry in reversed(entries)):
        if named_for(entry.station, [score.partial[-1][0]]) is not None:
            return units
        units += entry.units
    return 0.0


def begun(once: list[Entry], score: Score) -> list[Done]:
    """A round that was begun: how far is not told, but for the movement that was being done."""
    movement = score.partial[-1][0] if score.partial else None
    place = next((at for at, e in enumerate(once) if movement and named_for(e.station, [movement])), None)
    if place is None:
        return [Done(entry, 1, entry.amount / 2, 0.0, entry.amount) for entry in once]
    last = once[place]
    return [*(Done(entry) for entry in once[:place]), Done(last, 1, last.amount / 2, 0.0, last.amount)]


def rises(station: Station, turns: int) -> bool:
    single = station.amount is not None and len(station.amount.steps) == 1 and station.amount.sets == 1
    return single and station.load is not None and len(station.load.steps) == turns


def first_units(flow: Iterator[list[Entry]] | list[list[Entry]], units: float) -> list[Done]:
    """The first so many units of the work in order; the last entry may be done in part."""
    done: list[Done] = []
    left = units
    for entries in flow:
        for entry in entries:
            if left <= 1e-9:
                return done
            if entry.units <= left + 1e-9:
                done.append(Done(entry))
                left -= entry.units
            else:
                done.append(Done(entry, 1, left, left, left))
                return done
    return done
