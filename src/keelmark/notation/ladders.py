"""Ladders shared by stations, and rungs written out."""

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
    "settle_between_rounds",
    "settle_complex",
    "settle_ladders",
    "settle_loads_of_rounds",
    "settle_rises",
    "settle_waves",
    "spread_parts",
    "spread_sets",
    "write_out_to_one",
]


def is_ladder(amount: Amount | None) -> bool:
    return amount is not None and amount.sets == 1 and (len(amount.steps) > 1 or amount.continues)


def _climbs(amount: Amount | None) -> bool:
    return amount is not None and (len(amount.steps) > 1 or amount.continues)


def settle_ladders(work: Assembler, section: SectionDraft, group: GroupDraft, catalogue: Catalogue) -> None:
    """A ladder written with the first station is for those after it that have no amount of their own."""
    _find_loads_left_over(work, section, group)
    if group.scheme is None and not any(_climbs(station.amount) for station in group.stations):
        return
    _hand_out_scheme(work, group)
    if group.scheme is None:
        _share_ladder(section, group, catalogue)
    scheme = group.scheme
    for station in group.stations:
        if scheme is not None and station.amount is None and station.in_calories and scheme.measure == "reps":
            station.amount = replace(scheme, measure="calories", unit="cal")
    _find_loads_of_others(work, group)
    if not _find_uneven(work, section, group):
        _find_gaps(work, group)


def _hand_out_scheme(work: Assembler, group: GroupDraft) -> None:
    """A scheme of one step is no ladder: each station without an amount has it for its own."""
    scheme = group.scheme
    if scheme is None or not group.stations or len(scheme.steps) != 1 or scheme.continues or scheme.open:
        return
    if scheme.measure != "reps" and scheme.sets > 1 and all(s.amount is not None for s in group.stations):
        work.find("unknown_movement", *group.scheme_at, word=work.text[slice(*group.scheme_at)])
    loaded = group.load is not None and scheme.sets > 1 and not any(s.needs_load for s in group.stations)
    if loaded and all(s.amount is not None and s.amount != scheme and not s.joined for s in group.stations):
        work.find("unknown_movement", *group.scheme_at, word=work.text[slice(*group.scheme_at)])
    for station in group.stations:
        station.amount = station.amount or scheme
    group.scheme = None


def _share_ladder(section: SectionDraft, group: GroupDraft, catalogue: Catalogue) -> None:
    """The first ladder becomes the scheme of its group; what stood before it is a group of its own."""
    for place, station in enumerate(group.stations):
        amount = station.amount
        if amount is None or not is_ladder(amount):
            continue
        after = [other for other in group.stations[place + 1 :] if other.amount is None and not other.nothing]
        if not after:
            return
        if station.load is not None and len(station.load.steps) > 1:
            continue
        if place and group.rounds == 1 and not group.slots:
            before = GroupDraft(group.stations[:place], role=group.role, load=group.load)
            group.stations = group.stations[place:]
            section.groups.insert(section.groups.index(group), before)
        if amount.measure == "calories":
            for other in after:
                measures = catalogue.movements[other.movement].measures
                fits = "calories" in measures and "reps" not in measures
                other.amount = amount if fits else replace(amount, measure="reps", unit="rep")
            return
        group.scheme, group.scheme_at = amount, (station.start, station.end)
        station.amount = None
        return


def _find_uneven(work: Assembler, section: SectionDraft, group: GroupDraft) -> bool:
    """Ladders of different lengths that should be climbed together."""
    scheme = group.scheme
    lengths = {
        len(amount.steps)
        for amount in [scheme, *(station.amount for station in group.stations)]
        if amount is not None and is_ladder(amount) and not amount.continues
    }
    timed = section.kind in ("for_time", "amrap") or scheme is not None or section.ladder
    if len(lengths) < 2 or not timed:
        return False
    first = next(station for station in group.stations if is_ladder(station.amount))
    told = " and ".join(str(n) for n in sorted(lengths))
    work.find("ladder_mismatch", first.start, group.stations[-1].end, lengths=told)
    for station in group.stations:
        if is_ladder(station.amount) or station.amount is None:
            station.dropped = True
    return True


def _find_loads_left_over(work: Assembler, section: SectionDraft, group: GroupDraft) -> None:
    """`5x5 @ 80-75-70 kg`: three loads for five sets, of which nobody knows which is whose."""
    for station in group.stations:
        amount, load = station.amount, station.load
        if amount is None or load is None or section.kind != "work" or amount.open or amount.continues:
            continue
        sets, loads = amount.sets * len(amount.steps), len(load.steps)
        if loads > 2 and sets > 1 and group.rounds == 1 and sets % loads and loads % sets:
            work.find("ladder_mismatch", station.start, station.end, lengths=f"{loads} and {sets}")
            station.dropped = True


def _find_gaps(work: Assembler, group: GroupDraft) -> None:
    """Ladders that leave out a rung."""
    rungs = [(group.scheme, None), *((station.amount, station) for station in group.stations)]
    for amount, climber in rungs:
        gap = _missing_rung(amount)
        if gap is None:
            continue
        start, end = group.scheme_at if climber is None else (climber.start, climber.end)
        work.find("ladder_mismatch", start, end, gap=f"{gap:g}")
        for other in group.stations:
            if other is climber or (climber is None and other.amount is None):
                other.dropped = True


def _find_loads_of_others(work: Assembler, group: GroupDraft) -> None:
    """`5-4-3-2-1 @ 70/75/80/85 %`: five rungs and four loads."""
    for station in group.stations:
        load, amount = station.load, station.amount
        if load is None or amount is None or amount.sets > 1 or amount.continues or amount.open:
            continue
        rungs, loads = len(amount.steps), len(load.steps)
        if rungs > 2 and loads > 2 and rungs != loads and rungs % loads and not station.dropped:
            work.find("ladder_mismatch", station.start, station.end, lengths=f"{rungs} and {loads}")
            station.dropped = True


def settle_loads_of_rounds(section: SectionDraft, group: GroupDraft) -> None:
    """`5 rounds ... 40-45-50-50-55 kg`: a load for each round, as sets of every station."""
    if group.rounds < 2 or section.kind not in ("work", "for_time"):
        return
    climbing = [s for s in group.stations if s.load is not None and len(s.load.steps) == group.rounds]
    plain = all(s.amount is not None and s.amount.sets == 1 and len(s.amount.steps) == 1 for s in group.stations)
    if not climbing or not plain:
        return
    for station in group.stations:
        assert station.amount is not None
        station.amount = replace(station.amount, sets=group.rounds)
    group.rounds = 1


_LEAST_TO_ONE = 5


def write_out_to_one(group: GroupDraft) -> None:
    """`10-1 thrusters`, `1-10 pull-ups`: every rung from one end to the other, for nobody writes so wide a range."""
    group.scheme = _to_one(group.scheme) if group.scheme is not None else None
    for station in group.stations:
        station.amount = _to_one(station.amount) if station.amount is not None else None


def _to_one(amount: Amount) -> Amount:
    plain = amount.measure == "reps" and amount.sets == 1 and not amount.continues and not amount.open
    values = [step.value for step in amount.steps]
    first = amount.steps[0] if amount.steps else None
    if plain and first is not None and len(values) == 1 and values[0] == 1 and first.top is not None:
        values = [1.0, first.top]
    if not plain or len(values) != 2 or 1.0 not in values or max(values) < _LEAST_TO_ONE or max(values) > 60:
        return amount
    if any(step.lighter is not None for step in amount.steps) or not all(value.is_integer() for value in values):
        return amount
    step = 1 if values[1] > values[0] else -1
    rungs = range(int(values[0]), int(values[1]) + step, step)
    return replace(amount, steps=tuple(Quantity(float(rung)) for rung in rungs))


def spread_sets(group: GroupDraft) -> None:
    """`4 sets of 10 pull-ups and 15 push-ups`: the sets are for both."""
    sets = 0
    waiting: list[StationDraft] = []
    if not any(station.words_sets for station in group.stations):
        return
    told = Counter([station.line for station in group.stations if station.words_sets])
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


def settle_waves(group: GroupDraft) -> None:
    """`two waves` above `3-2-1-3-2-1`: both are written out already."""
    if group.rounds < 2 or len(group.stations) != 1:
        return
    amount = group.scheme or group.stations[0].amount
    if amount is None or amount.sets > 1 or len(amount.steps) < 4 or len(amount.steps) % group.rounds:
        return
    once = len(amount.steps) // group.rounds
    if once > 1 and amount.steps == amount.steps[:once] * group.rounds:
        group.rounds = 1


def settle_between_rounds(section: SectionDraft) -> None:
    """`3 waves of 3-2-1`, `15 face pulls between waves`: once less than there are waves, not between all sets."""
    rounds = 1
    for group in list(section.groups):
        tied = [station for station in group.stations if station.between_rounds and station.amount is not None]
        waves = [s for s in group.stations if s not in tied and s.amount is not None and len(s.amount.steps) > 1]
        rounds = group.rounds if waves or (group.scheme is not None and len(group.scheme.steps) > 1) else rounds
        if not tied or rounds < 2:
            continue
        for station in tied:
            assert station.amount is not None
            station.amount, station.when = replace(station.amount, sets=station.amount.sets * (rounds - 1)), ""
        if group.rounds > 1:
            group.stations = [station for station in group.stations if not station.between_rounds]
            section.groups.insert(section.groups.index(group) + 1, GroupDraft(tied))


def settle_after_every(group: GroupDraft) -> None:
    """`24 muscle-ups, 5 burpees after every 8`: as many sets as the station before has whole eights."""
    for before, station in itertools.pairwise(group.stations):
        amount = before.amount
        if station.after_every and amount is not None and amount.steps and station.amount is not None:
            whole = sum(step.value for step in amount.steps) * amount.sets * amount.sides
            station.amount = replace(station.amount, sets=max(1, int(whole // station.after_every)))


def settle_complex(group: GroupDraft, catalogue: Catalogue) -> None:
    """`power clean + hang clean + 2 jerks`: one of each lift without a count, where another of the row has one."""
    run: list[StationDraft] = []
    for station in [*group.stations, None]:
        if station is not None and (station.joined == "plus" or not run):
            run.append(station)
            continue
        bars = all(catalogue.movements[s.movement].implement == "barbell" and not s.loose for s in run)
        few = [s for s in run if s.amount is not None and len(s.amount.steps) == 1 and s.amount.steps[0].value <= 4]
        bare = [s for s in run if s.amount is None]
        if len(run) > 1 and bars and bare and few and len(few) + len(bare) == len(run) and group.scheme is None:
            for lift in bare:
                lift.amount = Amount(steps=(Quantity(1.0),), sets=few[0].amount.sets if few[0].amount else 1)
        run = [station] if station is not None else []


def spread_parts(group: GroupDraft) -> None:
    """`5 x (1+2+1) clean, front squat, jerk`: the parts of the first figure, one for each movement of the complex."""
    for place, station in enumerate(group.stations):
        _spread_wave(station)
        amount, parts = station.amount, station.parts
        run = group.stations[place : place + len(parts)]
        if not parts or amount is None or len(run) < len(parts) or any(s.amount is not None for s in run[1:]):
            continue
        for other, part in zip(run, parts, strict=True):
            other.amount = replace(amount, steps=(Quantity(part),))
        for other in run[1:]:
            other.joined = other.joined or "plus"


def _spread_wave(station: StationDraft) -> None:
    """`2 x (3-2-1) @ 80/85/90 %`: a load for each part of the bracket, so the parts are sets and no cluster."""
    amount, load, parts = station.amount, station.load, station.parts
    if amount is None or load is None or len(parts) < 2 or len(load.steps) != len(parts):
        return
    if amount.sets == len(parts) and len(set(parts)) == 1:
        return  # three clusters, each at its load
    if len(amount.steps) == 1 and amount.steps[0].value == sum(parts):
        station.amount = replace(amount, steps=tuple(Quantity(part) for part in parts) * amount.sets, sets=1)
        station.load = replace(load, steps=load.steps * amount.sets)
        station.parts = ()


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
