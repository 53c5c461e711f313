"""Ladders shared by stations, rungs written out, and the minutes of a rotation."""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import replace

from keelmark.catalogue import Catalogue
from keelmark.notation.assemble import Assembler
from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.tree import Amount, Quantity

__all__ = [
    "gather_rungs",
    "settle_after_every",
    "settle_ladders",
    "settle_loads_of_rounds",
    "settle_rises",
    "settle_slots",
    "spread_parts",
    "spread_sets",
]


def is_ladder(amount: Amount | None) -> bool:
    return amount is not None and amount.sets == 1 and (len(amount.steps) > 1 or amount.continues)


def settle_ladders(work: Assembler, section: SectionDraft, group: GroupDraft, catalogue: Catalogue) -> None:  # noqa: C901
    """A ladder written with the first station is for those after it that have no amount of their own."""
    scheme = group.scheme
    if scheme is not None and group.stations and len(scheme.steps) == 1 and not scheme.continues and not scheme.open:
        if scheme.measure != "reps" and scheme.sets > 1 and all(s.amount is not None for s in group.stations):
            work.find("unknown_movement", *group.scheme_at, word=work.text[slice(*group.scheme_at)])
        for station in group.stations:
            station.amount = station.amount or scheme
        group.scheme = None
    if group.scheme is None:
        for place, station in enumerate(group.stations):
            if not is_ladder(station.amount):
                continue
            after = [other for other in group.stations[place + 1 :] if other.amount is None and not other.nothing]
            if after and station.amount is not None and station.load is not None and len(station.load.steps) > 1:
                continue
            if after and place and group.rounds == 1 and not group.slots:
                before = GroupDraft(group.stations[:place], role=group.role, load=group.load)
                group.stations = group.stations[place:]
                section.groups.insert(section.groups.index(group), before)
            if after and station.amount is not None and station.amount.measure == "calories":
                for other in after:
                    measures = catalogue.movements[other.movement].measures
                    fits = "calories" in measures and "reps" not in measures
                    other.amount = station.amount if fits else replace(station.amount, measure="reps", unit="rep")
                break
            if after:
                group.scheme, group.scheme_at = station.amount, (station.start, station.end)
                station.amount = None
            break
    scheme = group.scheme
    for station in group.stations:
        if scheme is not None and station.amount is None and station.in_calories and scheme.measure == "reps":
            station.amount = replace(scheme, measure="calories", unit="cal")
    lengths = {
        len(amount.steps)
        for amount in [scheme, *(station.amount for station in group.stations)]
        if amount is not None and is_ladder(amount) and not amount.continues
    }
    timed = section.kind in ("for_time", "amrap") or scheme is not None or section.ladder
    if len(lengths) > 1 and timed:
        first = next(station for station in group.stations if is_ladder(station.amount))
        work.find(
            "ladder_mismatch",
            first.start,
            group.stations[-1].end,
            lengths=" and ".join(str(n) for n in sorted(lengths)),
        )
        for station in group.stations:
            if is_ladder(station.amount) or station.amount is None:
                station.dropped = True
        return
    rungs: list[tuple[Amount | None, StationDraft | None]] = [(scheme, None), *((s.amount, s) for s in group.stations)]
    for amount, climber in rungs:
        gap = _missing_rung(amount)
        if gap is not None:
            start, end = group.scheme_at if climber is None else (climber.start, climber.end)
            work.find("ladder_mismatch", start, end, gap=f"{gap:g}")
            for other in group.stations:
                if other is climber or (climber is None and other.amount is None):
                    other.dropped = True


def settle_loads_of_rounds(section: SectionDraft, group: GroupDraft) -> None:
    """`5 rounds ... 40-45-50-50-55 kg`: a load for each round, as sets of every station."""
    climbing = [s for s in group.stations if s.load is not None and len(s.load.steps) == group.rounds]
    plain = all(s.amount is not None and s.amount.sets == 1 and len(s.amount.steps) == 1 for s in group.stations)
    if section.kind not in ("work", "for_time") or group.rounds < 2 or not climbing or not plain:
        return
    for station in group.stations:
        assert station.amount is not None
        station.amount = replace(station.amount, sets=group.rounds)
    group.rounds = 1


def spread_sets(group: GroupDraft) -> None:
    """`4 sets of 10 pull-ups and 15 push-ups`: the sets are for both."""
    sets = 0
    waiting: list[StationDraft] = []
    told = Counter(station.line for station in group.stations if station.words_sets)
    for before, station in zip([None, *group.stations], group.stations, strict=False):
        amount = station.amount
        if station.words_sets and amount is not None:
            sets, waiting = amount.sets, []
            continue
        plain = amount is not None and amount.sets == 1 and len(amount.steps) == 1 and not amount.open
        if told[station.line] > 1 or not sets or before is None or station.line != before.line or not plain:
            sets, waiting = 0, []
            continue
        waiting.append(station)
        if station.joined:
            for other in waiting:
                if other.amount is not None:
                    other.amount = replace(other.amount, sets=sets)
            waiting = []


def settle_rises(section: SectionDraft, group: GroupDraft) -> None:
    """`start at 3, add 2 every minute`: a count that rises from one minute or round to the next."""
    for station in group.stations:
        amount = station.amount
        if station.rise is None or amount is None or amount.sets > 1 or len(amount.steps) != 1 or amount.open:
            continue
        step, unit = station.rise[:2]
        counts = unit == amount.unit if unit else (station.load is None or section.kind == "until_miss")
        if not counts or (not unit and station.needs_load and section.kind != "until_miss"):
            continue
        first = amount.steps[0]
        lighter = None if first.lighter is None else first.lighter + step
        station.amount = replace(amount, steps=(first, Quantity(first.value + step, lighter)), continues=True)
        station.rise, group.slots = None, ()
        if section.kind in ("work", "every") and section.windows is None and section.seconds is None:
            section.kind, section.window = "until_miss", section.window or 60.0


def settle_after_every(group: GroupDraft) -> None:
    """`24 muscle-ups, 5 burpees after every 8`: as many sets as the station before has whole eights."""
    for before, station in itertools.pairwise(group.stations):
        amount = before.amount
        if station.after_every and amount is not None and amount.steps and station.amount is not None:
            whole = sum(step.value for step in amount.steps) * amount.sets * amount.sides
            station.amount = replace(station.amount, sets=max(1, int(whole // station.after_every)))


def spread_parts(group: GroupDraft) -> None:
    """`5 x (1+2+1) clean, front squat, jerk`: the parts of the first figure, one for each movement of the complex."""
    for place, station in enumerate(group.stations):
        amount, parts = station.amount, station.parts
        run = group.stations[place : place + len(parts)]
        if not parts or amount is None or len(run) < len(parts) or any(s.amount is not None for s in run[1:]):
            continue
        for other, part in zip(run, parts, strict=True):
            other.amount = replace(amount, steps=(Quantity(part),))
        for other in run[1:]:
            other.joined = other.joined or "plus"


def gather_rungs(section: SectionDraft, group: GroupDraft) -> None:
    """`1 clean, 1 toes-to-bar` / `2 cleans, 2 toes-to-bar` / `...`: a ladder written out rung by rung."""
    names = [station.movement for station in group.stations]
    size = next((n for n in range(1, len(names) // 2 + 1) if names == names[:n] * (len(names) // n)), 0)
    if not size or not section.continues or any(s.amount is None or len(s.amount.steps) != 1 for s in group.stations):
        return
    first = group.stations[:size]
    for place, station in enumerate(first):
        same = group.stations[place::size]
        steps = tuple(other.amount.steps[0] for other in same if other.amount is not None)
        assert station.amount is not None
        station.amount = replace(station.amount, steps=steps, continues=True)
        station.load = next((other.load for other in same if other.load is not None), station.load)
    group.stations = first


def _missing_rung(amount: Amount | None) -> float | None:
    """The rung that an otherwise even ladder leaves out."""
    if amount is None or len(amount.steps) < 5 or amount.sets > 1:
        return None
    values = [step.value for step in amount.steps]
    steps = [after - before for before, after in itertools.pairwise(values)]
    common = max(set(steps), key=steps.count)
    odd = [place for place, step in enumerate(steps) if step != common]
    if common != 0 and len(odd) == 1 and steps[odd[0]] == 2 * common and len(steps) >= 4:
        return values[odd[0]] + common
    return None


def settle_slots(work: Assembler, section: SectionDraft) -> None:
    """The places of the groups in a rotation, counted from one even where the text counts from zero."""
    groups = section.groups
    stations = [station for group in groups for station in group.stations]
    if section.kind == "every" and section.seconds is None and section.windows is None and stations:
        sets = {station.amount.sets if station.amount is not None else 1 for station in stations}
        if len(sets) == 1 and max(sets) > 1 and not any(group.slots or group.parity for group in groups):
            section.windows = max(sets)
            for station in stations:
                if station.amount is not None:
                    station.amount = replace(station.amount, sets=1)
    marked = [group for group in groups if group.slots or group.parity]
    rotation = max((max(group.slots) for group in marked if group.slots), default=0)
    if section.kind == "intervals" and section.around and section.windows == rotation:
        section.windows *= rotation
    if section.alternate and not marked and section.kind in ("every", "intervals"):
        section.groups = marked = _spread(groups)
    for group in marked:
        if group.parity:
            group.slots = (1,) if group.parity == "odd" else (2,)
    if any(0 in group.slots for group in marked):
        for group in marked:
            group.slots = tuple(slot + 1 for slot in group.slots)
    if _climb_by_minutes(section, marked):
        return
    bare = [group for group in marked if group.bare and not group.stations]
    if bare:
        first = next((group for group in marked if group.stations), None) or _named_ahead(groups)
        if first is not None:
            _growing(section, first, bare)


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
    section.groups = [group for group in section.groups if group is kept or group not in marked]
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
            station.amount = replace(station.amount, steps=tuple(steps), continues=True)
    first.slots = ()
    section.groups = [group for group in section.groups if group not in bare]
    if section.windows is None and section.seconds is None:
        section.kind = "until_miss"
