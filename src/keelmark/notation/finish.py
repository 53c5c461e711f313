"""Close the drafts: loads and ladders are shared out, doubts noticed, and the tree is frozen."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

from keelmark.catalogue import Catalogue
from keelmark.notation.after_sets import settle_after_sets
from keelmark.notation.assemble import Assembler
from keelmark.notation.checks import check_group, check_totals
from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.ladders import (
    gather_rungs,
    settle_after_every,
    settle_between_rounds,
    settle_complex,
    settle_ladders,
    settle_loads_of_rounds,
    settle_rises,
    settle_waves,
    spread_parts,
    spread_sets,
    write_out_to_one,
)
from keelmark.notation.options import take_options
from keelmark.notation.rotations import settle_slots
from keelmark.notation.sharing_loads import of_training_maximum, share_loads, spread_levels
from keelmark.notation.tied import settle_ways, spread_ties
from keelmark.notation.tree import Amount, Group, Prescription, Quantity, Section, Station

__all__ = ["finish"]

_SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0}


def finish(work: Assembler, catalogue: Catalogue) -> Prescription:
    """The tree that an assembler has read; what must not be used is left out, with a finding."""
    take_options(work, catalogue)
    for before, section in itertools.pairwise(work.sections):
        _of_clock_before(work, before, section)
    for section in work.sections:
        settle_after_sets(work, section)
        for group in section.groups:
            spread_parts(group)
            settle_after_every(group)
            settle_ways(group)
            spread_ties(work, group)
            settle_complex(group, catalogue)
            settle_rises(section, group)
    spread_levels(work)
    share_loads(work, catalogue)
    of_training_maximum(work)
    for section in work.sections:
        _settle(work, section, catalogue)
    check_totals(work)
    _find_schemes_of_nothing(work)
    return Prescription(tuple(_frozen(work)))


def _settle(work: Assembler, section: SectionDraft, catalogue: Catalogue) -> None:
    """Ladders, rotations and loads of a section, which then is checked."""
    if section.dropped:
        section.groups = []
    for group in list(section.groups):
        write_out_to_one(group)
        spread_sets(group)
        _climb_for_a_time(section, group)
        _round_after_round(section, group)
        settle_waves(group)
        climbs = section.clock or any(s.amount and len(s.amount.steps) > 1 for s in group.stations)
        if section.continues and section.kind == "work" and climbs:
            section.kind = "amrap"
        if section.continues and section.kind in ("amrap", "until_miss"):
            _go_on(group)
        if section.grows:
            _grow(section, group)
        if section.kind in ("amrap", "until_miss"):
            gather_rungs(section, group)
        settle_ladders(work, section, group, catalogue)
    settle_between_rounds(section)
    settle_slots(section)
    _again_from_start(section)
    for group in section.groups:
        settle_loads_of_rounds(section, group)
    for group in section.groups:
        check_group(work, section, group, catalogue)


def _time_behind(section: SectionDraft, last: StationDraft) -> None:
    """`2-4-6-... burpees and thrusters for 9 minutes`: how long the ladder is climbed."""
    amount = last.amount
    if amount is None or amount.measure != "duration_s" or last.is_hold or amount.sets > 1 or len(amount.steps) != 1:
        return
    section.kind, last.amount = "amrap", None
    section.seconds = section.seconds or amount.steps[0].value * _SECONDS[amount.unit]


def _climb_for_a_time(section: SectionDraft, group: GroupDraft) -> None:
    """`For 10 min: 3-6-9-12... thrusters and pull-ups`: the time is that of the ladder, no count of a station."""
    scheme = group.scheme
    climbs = any(station.amount is not None and station.amount.continues for station in group.stations)
    timed = scheme is not None and scheme.measure == "duration_s" and scheme.sets == 1 and len(scheme.steps) == 1
    if section.kind == "work" and climbs and group.stations[-1].amount is not None:
        _time_behind(section, group.stations[-1])
    if section.kind != "work" or not climbs or not timed or scheme is None:
        return
    section.kind, group.scheme = "amrap", None
    section.seconds = section.seconds or scheme.steps[0].value * _SECONDS[scheme.unit]


def _round_after_round(section: SectionDraft, group: GroupDraft) -> None:
    """`12 min: 1 min row, 1 min burpees, 1 min rest`: the minutes of the parts fill the time four times over."""
    alone = [one for one in section.groups if one.stations] == [group]
    scheme, seconds = group.scheme, section.seconds or section.clock
    mine = alone if scheme is None else scheme.measure == "duration_s" and scheme.sets == 1
    if section.kind != "work" or not seconds or not mine or group.rounds > 1:
        return
    lasting = [station.amount for station in group.stations if not station.when]
    parts = len(lasting) + bool(group.rest)
    if parts < 2 or len(lasting) < len(group.stations):
        return
    whole = group.rest
    for amount in lasting:
        if amount is None or amount.measure != "duration_s" or amount.open or len(amount.steps) != 1:
            return
        whole += amount.steps[0].value * _SECONDS[amount.unit] * amount.sets * amount.sides
    if whole and seconds % whole == 0:
        group.rounds = int(seconds // whole)


def _of_clock_before(work: Assembler, before: SectionDraft, section: SectionDraft) -> None:
    """`Bar MU: 8 EMOM x 3, then 4 EMOM x 2`: the second clock on a line is for the only movement of the first."""
    stations = [station for group in before.groups for station in group.stations]
    told = [group for group in section.groups if group.scheme is not None or group.rounds > 1]
    if before.kind != "every" or section.kind != "every" or len(stations) != 1 or len(told) != 1:
        return
    tied = "\n" not in work.text[stations[0].start : section.start]
    if not tied or not section.start or any(g.stations or g.slots or g.bare for g in section.groups):
        return
    group = told[0]
    amount = group.scheme or Amount(steps=(Quantity(float(group.rounds)),))
    start, end = group.scheme_at if group.scheme is not None else (section.start, section.end)
    load = group.load or stations[0].load
    group.stations.append(replace(stations[0], start=start, end=end, amount=amount, load=load))
    group.rounds, group.scheme = 1, None


def _find_schemes_of_nothing(work: Assembler) -> None:
    """`5 x 5` or a load with no movement anywhere near."""
    for section in work.sections:
        for group in section.groups:
            if _of_what_was_built(work, section, group):
                continue
            if group.scheme is not None and not group.stations and (group.scheme.sets > 1 or group.load is not None):
                work.find("unknown_movement", *group.scheme_at, word=work.text[slice(*group.scheme_at)])


def _of_what_was_built(work: Assembler, section: SectionDraft, group: GroupDraft) -> bool:
    """`B. 5 x 3 @ 80 % of today's single`: of the lift that was built up before."""
    scheme, load = group.scheme, group.load
    if scheme is None or group.stations or load is None or load.of != "result":
        return False
    before = [s for part in work.sections[: work.sections.index(section)] for g in part.groups for s in g.stations]
    built = next((s for s in reversed(before) if s.amount is not None and s.amount.open), None)
    if built is None:
        return False
    start, end = group.scheme_at
    group.stations.append(StationDraft(built.movement, start, end, built.line, amount=scheme, load=load))
    group.scheme = None
    return True


def _frozen(work: Assembler) -> Iterator[Section]:
    """The sections as they stay, each as often as it is done; a clock with nothing to do repeats the one behind it."""
    waiting = 0
    for section in work.sections:
        frozen = _section(section, work)
        if frozen is not None:
            yield from [frozen] * max(1, section.repeats + waiting)
            waiting = 0
        elif section.kind == "amrap" and section.headed and section.fresh:
            waiting += 1
        else:
            waiting = 0


def _go_on(group: GroupDraft) -> None:
    """Ladders written rung by rung that end in dots go on."""
    for station in group.stations:
        if station.amount is not None and len(station.amount.steps) > 1 and station.amount.sets == 1:
            station.amount = replace(station.amount, continues=True)


def _grow(section: SectionDraft, group: GroupDraft) -> None:
    """Every station climbs by the same each time."""
    for station in group.stations:
        amount = station.amount
        if amount is not None and len(amount.steps) == 1 and amount.sets == 1 and not amount.continues:
            more = replace(amount.steps[0], value=amount.steps[0].value + section.grows)
            station.amount = replace(amount, steps=(amount.steps[0], more), continues=True)
    if len(section.groups) == 1:
        group.slots = ()


def _again_from_start(section: SectionDraft) -> None:
    """`4 burpees at 0:00 and again at the top of every minute`: the first turn is told by itself."""
    first = [station for group in section.groups if group.role == "buy_in" for station in group.stations]
    for station in (station for group in section.groups for station in group.stations):
        told = any(s.movement == station.movement and s.amount == station.amount for s in first)
        if station.when == "each_minute" and told:
            station.when = "each_minute_later"


def _section(draft: SectionDraft, work: Assembler) -> Section | None:
    groups = [_group(group) for group in draft.groups]
    rotation = max((max(group.slots) for group in draft.groups if group.slots), default=0)
    kept = tuple(
        replace(group, of_slots=rotation) if group.slots else group for group in groups if group.stations or group.slots
    )
    if not any(group.stations for group in kept):
        return None
    share = draft.share
    if share == "loose" and work.team_seen:
        share = "split"
    if share in ("split", "turns") and work.each_known and draft is work.sections[-1]:
        share = "even"
    return Section(
        kept,
        draft.kind,
        draft.label,
        draft.clock if draft.seconds is None and draft.kind == "work" else draft.seconds,
        draft.window,
        draft.windows,
        draft.work,
        draft.rest,
        draft.cap,
        share,
        (work.people or 2) if share else 1,
    )


def _group(draft: GroupDraft) -> Group:
    stations = tuple(_station(draft, station) for station in draft.stations if not station.dropped)
    scheme = draft.scheme if any(station.amount is None for station in stations) else None
    constant = draft.scheme if scheme is None and draft.scheme is not None and stations else None
    return Group(stations, draft.rounds, scheme or constant, draft.role, draft.slots)


def _station(group: GroupDraft, draft: StationDraft) -> Station:
    amount, side = draft.amount, draft.side
    if amount is not None and (side == "each" or (group.per_side and side == "")):
        amount = replace(amount, sides=2)
    side = "alternating" if side == "alternating" else ("each" if side == "each" else "")
    return Station(
        draft.movement,
        amount,
        draft.load,
        draft.height,
        draft.start_height,
        draft.when,
        side if side != "each" or amount is None else "",
        draft.rpe,
        draft.scaled,
        draft.own,
        draft.level,
        draft.start,
        max(draft.start, draft.end),
    )
