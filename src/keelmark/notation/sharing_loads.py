"""Loads for stations that have none written: of a complex, a header, a mention before, a rise from set to set."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.catalogue import Catalogue
from keelmark.notation.assemble import Assembler
from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.load_builders import share_of
from keelmark.notation.tree import TRAINING_MAX, Height, Load, Quantity

__all__ = ["every_station", "of_training_maximum", "share_loads", "spread_levels"]

_ON_A_BOX = ("step_up", "depth_jump", "burpee_box_jump_over", "burpee_box_jump", "step_down")
_KG = {"kg": 1.0, "lb": 0.45359237}
_MASSES = frozenset([*_KG, "pood", "st", "percent", "bodyweight"])
_SHOWN = 3
"""Loads written out of a rise without an end; the score tells how far it went."""


def _rise(station: StationDraft, section: SectionDraft, group: GroupDraft) -> None:
    """A rise told of the station, or of all of its group."""
    if group.rise is not None and station.rise is None and station.load is None and station.needs_load:
        station.rise, station.start_load = group.rise, group.start_load
    if station.rise is not None:
        _risen(station, section, group)


def _risen(station: StationDraft, section: SectionDraft, group: GroupDraft) -> None:
    """Loads that rise from set to set, written out."""
    assert station.rise is not None
    step, unit, *every = station.rise
    period = every[0] if every else 1
    if period < 0:
        period = max(1, round(-period / (section.window or 60.0)))
    first = station.start_load or station.load
    if first is not None and not first.unit and unit in _MASSES:
        first = replace(first, unit=unit)
    if first is None or unit not in ("", first.unit) or station.amount is None:
        return
    sets = max(station.amount.sets, 1) * max(len(station.amount.steps), 1)
    if sets == 1 and section.kind == "every":
        seconds, window = section.seconds, section.window
        sets = section.windows or (int(seconds / window) if seconds and window else 1)
    elif sets == 1 and group.rounds > 1:
        sets = group.rounds
    elif sets == 1 and section.kind == "until_miss" and not station.amount.continues:
        sets = _SHOWN
    if not 1 <= sets <= 60:
        return
    start = first.steps[0]
    if min(start.value, start.lighter or start.value) + (sets - 1) // period * step < 0:
        return
    station.load = replace(
        first,
        steps=tuple(
            Quantity(start.value + n * step, None if start.lighter is None else start.lighter + n * step)
            for n in (place // period for place in range(sets))
        ),
    )


def _complexes(work: Assembler, catalogue: Catalogue) -> None:
    """One load behind stations joined by plus signs is for all of them that need one."""
    for section in work.sections:
        for group in section.groups:
            run: list[StationDraft] = []
            for station in [*group.stations, None]:
                if station is not None and (station.joined or not run):
                    run.append(station)
                    continue
                if len(run) > 1 and run[-1].load is not None:
                    kind = catalogue.movements[run[-1].movement]
                    for other in run[:-1]:
                        movement = catalogue.movements[other.movement]
                        if other.load is None and movement.load == "needs" and movement.implement == kind.implement:
                            other.load = run[-1].load
                run = [station] if station is not None else []


def _lists_of_lifts(work: Assembler, catalogue: Catalogue) -> None:
    """`1 clean, 2 front squats, 3 jerks @ 60 kg`: a line of lifts with one bar, whose load stands behind the last."""
    for group in (group for section in work.sections for group in section.groups):
        for _, run in itertools.groupby(group.stations, key=lambda station: station.line):
            lifts = list(run)
            bars = all(catalogue.movements[s.movement].implement == "barbell" and s.needs_load for s in lifts)
            few = all(s.amount is not None and s.amount.sets == 1 and len(s.amount.steps) == 1 for s in lifts)
            last = lifts[-1].load
            if len(lifts) < 2 or not (bars and few) or last is None or last.unit == "percent" or len(last.steps) > 1:
                continue
            if all(s.load is None for s in lifts[:-1]):
                for station in lifts[:-1]:
                    station.load = last


def _carried(
    stations: list[tuple[SectionDraft, GroupDraft, StationDraft]],
    load: Load,
    named: str,
    group: GroupDraft,
    catalogue: Catalogue,
    several: bool,
) -> None:
    """A load stated before the stations: for those that hold the implement named, or that need a load."""
    started = False
    for _, own, station in stations:
        started = started or own is group or named == "vest"
        if not started or station.load is not None:
            continue
        needs = catalogue.movements[station.movement].load
        if named == "vest":
            if station.unvested:
                continue
            if needs != "needs":
                station.load, station.implement = load, "vest"
        elif named in ("plate", "sandbag", "ball"):
            if station.implement == named:
                station.load = load
        elif needs == "needs" and not (several and _held_otherwise(station, named, catalogue)):
            station.load = load


def _held_otherwise(station: StationDraft, named: str, catalogue: Catalogue) -> bool:
    """Of `bar 50/35 kg, bell 20/12 kg`, the load is of what this station does not hold."""
    held = catalogue.movements[station.movement].implement
    return named in _HELD and held in _HELD.values() and _HELD[named] != held


_HELD = {
    "bar": "barbell",
    "kettlebell": "kettlebell",
    "kettlebells": "kettlebell",
    "dumbbell": "dumbbell",
    "dumbbells": "dumbbell",
}


def _raised(
    stations: list[tuple[SectionDraft, GroupDraft, StationDraft]], height: Height, named: str, group: GroupDraft
) -> None:
    """A height stated before the stations: of the box for those on a box, of the target for wall balls."""
    started = False
    for _, own, station in stations:
        started = started or own is group
        fits = (
            station.movement == "wall_ball"
            if named == "target"
            else "box_" in station.movement or station.movement in _ON_A_BOX
        )
        if started and fits and station.movement != "box_squat" and station.height is None:
            station.height = height


def _carry_forward(stations: list[tuple[SectionDraft, GroupDraft, StationDraft]], catalogue: Catalogue) -> None:
    seen: dict[str, tuple[SectionDraft, StationDraft]] = {}
    for section, _, station in stations:
        before = seen.get(station.movement)
        if before is not None and before[1].level not in ("", station.level):
            before = None
        needs = catalogue.movements[station.movement].load == "needs"
        if (
            station.load is None
            and (needs or not station.unvested)
            and before is not None
            and before[1].load is not None
            and (needs or before[0] is section)
        ) and len(before[1].load.steps) == 1:
            station.load = before[1].load
            station.per_hand, station.implement = before[1].per_hand, before[1].implement
        if station.height is None and before is not None and before[1].height is not None:
            station.height = before[1].height
        if station.load is not None or station.height is not None:
            seen[station.movement] = (section, station)


def spread_levels(work: Assembler) -> None:
    """Stations without a load or height, once for each level that has one told."""
    if len(work.of_levels) < 2:
        return
    for group in (group for section in work.sections for group in section.groups):
        spread: list[StationDraft] = []
        for station in group.stations:
            boxed = "box_" in station.movement or station.movement in _ON_A_BOX
            loads = station.load is None and station.needs_load and any(load for load, _ in work.of_levels.values())
            boxes = station.height is None and boxed and any(height for _, height in work.of_levels.values())
            if station.level or not (loads or boxes):
                spread.append(station)
                continue
            for level, (load, height) in work.of_levels.items():
                own = replace(station, level=level, load=load if loads else station.load)
                own.height = height if boxes else station.height
                spread.append(own)
        group.stations = spread


def share_loads(work: Assembler, catalogue: Catalogue) -> None:
    """Give each station without a load or height the one that is meant for it."""
    stations = every_station(work)
    for section, group, station in stations:
        _rise(station, section, group)
        needs = catalogue.movements[station.movement].load
        if station.load is None and needs != "never":
            station.load = group.load_for_all
        if station.load is None and needs == "needs":
            station.load = group.load
        _rising_percent(station)
    _units_of_neighbours(stations)
    _units_of_lines(stations)
    for _, _, station in stations:
        if work.default_unit and station.load is not None and not station.load.unit:
            station.load = replace(station.load, unit=work.default_unit)
    _complexes(work, catalogue)
    _lists_of_lifts(work, catalogue)
    _same_again(stations)
    several_names = len({named for _, named, _ in work.carried}) > 1
    for load, named, group in work.carried:
        _carried(stations, load, named, group, catalogue, several_names)
    for height, named, group in work.raised:
        _raised(stations, height, named, group)
    for _, _, station in stations:
        if station.load is None and station.movement in work.loads_for:
            station.load = work.loads_for[station.movement]
        if station.height is None:
            station.height = work.heights_for.get(station.movement)
    _carry_forward(stations, catalogue)


def of_training_maximum(work: Assembler) -> None:
    """All percentages of nothing else become those of the training maximum that was told."""
    whole = work.training_max
    if whole is None:
        _of_lines(work)
        return
    for _, _, station in every_station(work):
        load = station.load
        if load is None or load.unit != "percent" or load.of not in (None, TRAINING_MAX):
            continue
        shared = share_of(replace(load, of=None), whole)
        station.load = replace(shared, unit="percent") if whole.unit == "percent" else shared


def _rising_percent(station: StationDraft) -> None:
    """`5x2 @ 80/85 %`: one for each of two sets, or from one to the other, as no two standards have such shares."""
    load, amount = station.load, station.amount
    if load is None or load.unit != "percent" or len(load.steps) != 1:
        return
    step = load.steps[0]
    if step.lighter is None or step.lighter <= step.value:
        return
    sets = amount.sets * len(amount.steps) if amount is not None else 1
    both = (Quantity(step.value), Quantity(step.lighter))
    station.load = replace(load, steps=both if sets == 2 else (Quantity(step.value, top=step.lighter),))


def _of_lines(work: Assembler) -> None:
    """`TM squat 5x3 @ 75 %`: the percentages on the line, or on those below where it has none, are of that maximum."""
    stations = [s for _, _, s in every_station(work) if s.load is not None and s.load.unit == "percent"]
    for line in sorted(work.training_max_lines):
        own = [station for station in stations if station.line == line]
        for station in own or [station for station in stations if station.line > line]:
            if station.load is not None and station.load.of is None:
                station.load = replace(station.load, of=TRAINING_MAX)


def _units_of_neighbours(stations: list[tuple[SectionDraft, GroupDraft, StationDraft]]) -> None:
    """`squat 5 @ 60, 5 @ 70 kg`: the unit of one set is that of the sets beside it on the line."""
    backwards = [*reversed(stations)]
    for (_, _, one), (_, _, other) in [*itertools.pairwise(stations), *itertools.pairwise(backwards)]:
        if one.movement != other.movement or one.load is None or other.load is None:
            continue
        if one.load.unit in _KG and other.load.unit == "":
            other.load = replace(other.load, unit=one.load.unit)


def _same_again(stations: list[tuple[SectionDraft, GroupDraft, StationDraft]]) -> None:
    """`same weight`, `same box`: the load or height of the station before."""
    held: StationDraft | None = None
    raised: StationDraft | None = None
    for _, _, station in stations:
        if station.same == "load" and station.load is None and held is not None:
            station.load, station.per_hand = _load_of(held), held.per_hand
        elif station.same == "height" and station.height is None and raised is not None:
            station.height = raised.height
        held = station if station.load is not None else held
        raised = station if station.height is not None else raised


def _load_of(station: StationDraft) -> Load | None:
    """The load of a station for another one: a percentage stays one of the first lift."""
    load = station.load
    bare = load is not None and load.unit == "percent" and load.of is None
    return replace(load, of=station.movement) if load is not None and bare else load


def _units_of_lines(stations: list[tuple[SectionDraft, GroupDraft, StationDraft]]) -> None:
    """`press 5x5 @ 40, jerk 3x3 @ 60 kg`: the unit at the end of a line is for the loads before it on the line."""
    units: dict[int, str] = {}
    for _, _, station in reversed(stations):
        if station.load is None:
            continue
        if station.load.unit in _KG:
            units[station.line] = station.load.unit
        elif not station.load.unit and station.line in units and station.load.steps[0].lighter is None:
            station.load = replace(station.load, unit=units[station.line])


def every_station(work: Assembler) -> list[tuple[SectionDraft, GroupDraft, StationDraft]]:
    return [(s, g, station) for s in work.sections for g in s.groups for station in g.stations]
