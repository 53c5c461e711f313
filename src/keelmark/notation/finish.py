"""Close the drafts: share out loads and ladders, notice what is missing or beyond belief, and freeze the tree."""

from __future__ import annotations

from dataclasses import replace

from keelmark.catalogue import Catalogue
from keelmark.notation.assemble import Assembler, Finding
from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.stations import AMOUNTS
from keelmark.notation.trade import most_kg, most_reps, trade
from keelmark.notation.tree import Amount, Group, Load, Prescription, Quantity, Scaled, Section, Station

__all__ = ["doubts_of", "finish"]

_KG = {"kg": 1.0, "lb": 0.45359237}


def finish(work: Assembler, catalogue: Catalogue) -> Prescription:
    """The tree that an assembler has read; what must not be used is left out, with a finding."""
    _options(work, catalogue)
    _loads(work, catalogue)
    sections = []
    for section in work.sections:
        if section.dropped:
            section.groups = []
        for group in section.groups:
            _sets_in_words(group)
            if section.kind in ("amrap", "until_miss"):
                _written_out(section, group)
            _ladders(work, section, group, catalogue)
        _slots(work, section)
        for group in section.groups:
            _check(work, section, group, catalogue)
    _totals(work)
    for section in work.sections:
        for group in section.groups:
            if group.scheme is not None and not group.stations and (group.scheme.sets > 1 or group.load is not None):
                work.find("unknown_movement", *group.scheme_at, word=work.text[slice(*group.scheme_at)])
    waiting = 0
    for section in work.sections:
        frozen = _section(section, work)
        if frozen is not None:
            sections.extend([frozen] * max(1, section.repeats + waiting))
            waiting = 0
        elif section.kind == "amrap" and section.headed and section.fresh:
            waiting += 1
        else:
            waiting = 0
    return Prescription(tuple(sections))


def _every_station(work: Assembler) -> list[tuple[SectionDraft, GroupDraft, StationDraft]]:
    return [(s, g, station) for s in work.sections for g in s.groups for station in g.stations]


# --- options ----------------------------------------------------------------------------------------------------------


def _options(work: Assembler, catalogue: Catalogue) -> None:
    stations = _every_station(work)
    for original, substitute, ratio in work.swaps:
        for _, _, station in stations:
            if station.movement == original and station.scaled is None:
                station.scaled = Scaled(substitute, ratio)
    for last, piece, figures, items in work.options:
        target = _stood_for(last, piece, stations, catalogue)
        if target is None and piece is None:
            load = next((item.value for item in figures if item.kind == "load"), None)
            for _, _, station in stations:
                if load is not None and catalogue.movements[station.movement].load == "needs" and station.scaled is None:
                    station.scaled = Scaled(None, 1.0, None, load)
        if target is None:
            continue
        if target.scaled is not None and piece is None:
            continue
        load = next((item.value for item in figures if item.kind == "load"), None)
        height = next((item.value for item in figures if item.kind == "height"), None)
        amount = next((item.value for item in figures if item.kind in AMOUNTS), None)
        if piece is not None:
            own = next((s for _, _, s in stations if s.movement == piece.movement and s is not target), None)
            if own is not None and (piece.load or piece.height) and piece.movement != target.movement:
                own.scaled = Scaled(None, 1.0, piece.amount, piece.load, piece.height)
                continue
            movement = None if piece.movement == target.movement else piece.movement
            ratio = next((item.value for item in items if item.kind == "ratio"), 1.0)
            amount = piece.amount
            if amount is not None and len(amount.steps) == 1 and any(item.kind in ("per", "each") for item in items):
                ratio, amount = amount.steps[0].value, None
            target.scaled = Scaled(movement, ratio, amount, piece.load, piece.height)
        elif load or height or amount:
            chosen = target
            if load is not None and target.load is None:
                chosen = next((s for _, _, s in reversed(stations) if s.load is not None), target)
            chosen.scaled = Scaled(None, 1.0, amount, load, height)


def _stood_for(
    last: StationDraft | None,
    piece: StationDraft | None,
    stations: list[tuple[SectionDraft, GroupDraft, StationDraft]],
    catalogue: Catalogue,
) -> StationDraft | None:
    """Which station an option stands in for: one it is a known swap of, one of a like name, else the last before it."""
    if piece is None:
        return last
    if any(station.movement == piece.movement for _, _, station in stations):
        return next(station for _, _, station in stations if station.movement == piece.movement)
    words = set(piece.movement.split("_"))

    def likeness(station: StationDraft) -> int:
        movement = catalogue.movements[station.movement]
        if any(swap.to == piece.movement for swap in movement.swaps):
            return 4
        if words & set(station.movement.split("_")):
            return 3
        same = catalogue.movements[piece.movement]
        return 2 if movement.category == same.category else (1 if station is last else 0)

    ranked = sorted((station for _, _, station in stations), key=lambda s: (likeness(s), s is last), reverse=True)
    return ranked[0] if ranked and likeness(ranked[0]) > 0 else last


# --- loads ------------------------------------------------------------------------------------------------------------


def _loads(work: Assembler, catalogue: Catalogue) -> None:
    stations = _every_station(work)
    for section, group, station in stations:
        if station.rise is not None:
            _risen(station, section)
        if station.load is None and group.load is not None and catalogue.movements[station.movement].load == "needs":
            station.load = group.load
    for (_, _, one), (_, _, other) in [
        *zip(stations, stations[1:], strict=False),
        *zip(reversed(stations), [*reversed(stations)][1:], strict=False),
    ]:
        if (
            one.movement == other.movement
            and one.line == other.line
            and one.load is not None
            and other.load is not None
        ):
            if one.load.unit in _KG and other.load.unit == "":
                other.load = replace(other.load, unit=one.load.unit)
    for _, _, station in stations:
        if work.default_unit and station.load is not None and not station.load.unit:
            station.load = replace(station.load, unit=work.default_unit)
    _complexes(work, catalogue)
    held: StationDraft | None = None
    raised: StationDraft | None = None
    for _, _, station in stations:
        if station.same == "load" and station.load is None and held is not None:
            station.load, station.per_hand = held.load, held.per_hand
        elif station.same == "height" and station.height is None and raised is not None:
            station.height = raised.height
        held = station if station.load is not None else held
        raised = station if station.height is not None else raised
    for load, named, group in work.carried:
        _carried(stations, load, named, group, catalogue)
    for _, _, station in stations:
        if station.load is None and station.movement in work.loads_for:
            station.load = work.loads_for[station.movement]
    _carry_forward(stations, catalogue)


def _risen(station: StationDraft, section: SectionDraft) -> None:
    """Loads that rise from set to set, written out."""
    assert station.rise is not None
    step, unit = station.rise
    first = station.start_load or station.load
    if first is None or first.unit != unit or station.amount is None:
        return
    sets = max(station.amount.sets, 1) * max(len(station.amount.steps), 1)
    if sets == 1 and section.kind == "every":
        seconds, window = section.seconds, section.window
        sets = section.windows or (int(seconds / window) if seconds and window else 1)
    if sets > 60:
        return
    start = first.steps[0]
    station.load = replace(
        first,
        steps=tuple(
            Quantity(start.value + n * step, None if start.lighter is None else start.lighter + n * step)
            for n in range(sets)
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


def _carried(
    stations: list[tuple[SectionDraft, GroupDraft, StationDraft]],
    load: Load,
    named: str,
    group: GroupDraft,
    catalogue: Catalogue,
) -> None:
    """A load stated before the stations: for those that hold the implement named, or that need a load."""
    started = False
    for _, own, station in stations:
        started = started or own is group or named == "vest"
        if not started or station.load is not None:
            continue
        needs = catalogue.movements[station.movement].load
        if named == "vest":
            if needs != "needs":
                station.load = load
        elif named in ("plate", "sandbag", "ball"):
            if station.implement == named:
                station.load = load
        elif needs == "needs":
            station.load = load


def _carry_forward(stations: list[tuple[SectionDraft, GroupDraft, StationDraft]], catalogue: Catalogue) -> None:
    seen: dict[str, tuple[SectionDraft, StationDraft]] = {}
    for section, _, station in stations:
        before = seen.get(station.movement)
        needs = catalogue.movements[station.movement].load == "needs"
        if (
            station.load is None
            and before is not None
            and before[1].load is not None
            and (needs or before[0] is section)
        ):
            if len(before[1].load.steps) == 1:
                station.load = before[1].load
                station.per_hand, station.implement = before[1].per_hand, before[1].implement
        if station.height is None and before is not None and before[1].height is not None:
            station.height = before[1].height
        if station.load is not None or station.height is not None:
            seen[station.movement] = (section, station)


# --- ladders and slots ------------------------------------------------------------------------------------------------


def _is_ladder(amount: Amount | None) -> bool:
    return amount is not None and amount.sets == 1 and (len(amount.steps) > 1 or amount.continues)


def _ladders(work: Assembler, section: SectionDraft, group: GroupDraft, catalogue: Catalogue) -> None:
    """A ladder written with the first station is for those after it that have no amount of their own."""
    if group.scheme is None:
        for place, station in enumerate(group.stations):
            if not _is_ladder(station.amount):
                continue
            after = [other for other in group.stations[place + 1 :] if other.amount is None and not other.nothing]
            if after and station.amount is not None and station.load is not None and len(station.load.steps) > 1:
                continue
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
    lengths = {
        len(amount.steps)
        for amount in [scheme, *(station.amount for station in group.stations)]
        if amount is not None and _is_ladder(amount) and not amount.continues
    }
    timed = section.kind in ("for_time", "amrap") or scheme is not None
    if len(lengths) > 1 and timed:
        first = next(station for station in group.stations if _is_ladder(station.amount))
        work.find(
            "ladder_mismatch",
            first.start,
            group.stations[-1].end,
            lengths=" and ".join(str(n) for n in sorted(lengths)),
        )
        for station in group.stations:
            if _is_ladder(station.amount) or station.amount is None:
                station.dropped = True
        return
    for amount, station in [(scheme, None), *((s.amount, s) for s in group.stations)]:
        gap = _missing_rung(amount)
        if gap is not None:
            start, end = group.scheme_at if station is None else (station.start, station.end)
            work.find("ladder_mismatch", start, end, gap=f"{gap:g}")
            for other in group.stations:
                if other is station or (station is None and other.amount is None):
                    other.dropped = True


def _sets_in_words(group: GroupDraft) -> None:
    """`4 sets of 10 pull-ups and 15 push-ups`: the sets are for both."""
    sets = 0
    for before, station in zip([None, *group.stations], group.stations, strict=False):
        amount = station.amount
        if station.words_sets and amount is not None:
            sets = amount.sets
        elif sets and before is not None and station.joined and station.line == before.line and amount is not None:
            if amount.sets == 1 and len(amount.steps) == 1 and not amount.open:
                station.amount = replace(amount, sets=sets)
        else:
            sets = 0


def _written_out(section: SectionDraft, group: GroupDraft) -> None:
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
    steps = [after - before for before, after in zip(values, values[1:], strict=False)]
    common = max(set(steps), key=steps.count)
    odd = [place for place, step in enumerate(steps) if step != common]
    if common != 0 and len(odd) == 1 and steps[odd[0]] == 2 * common and len(steps) >= 4:
        return values[odd[0]] + common
    return None


def _slots(work: Assembler, section: SectionDraft) -> None:
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
    if section.alternate and not marked and section.kind in ("every", "intervals"):
        section.groups = marked = _spread(groups)
    for group in marked:
        if group.parity:
            group.slots = (1,) if group.parity == "odd" else (2,)
    bare = [group for group in marked if group.bare and not group.stations]
    if bare:
        first = next((group for group in marked if group.stations), None)
        if first is not None:
            _growing(section, first, bare)


def _spread(groups: list[GroupDraft]) -> list[GroupDraft]:
    """Stations that take turns, one group for each; those joined by a plus sign stay together."""
    spread: list[GroupDraft] = []
    for group in groups:
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
        for group in bare:
            if place < len(group.bare):
                steps.extend(group.bare[place].steps)
        if station.amount is not None:
            station.amount = replace(station.amount, steps=tuple(steps), continues=True)
    first.slots = ()
    section.groups = [group for group in section.groups if group not in bare]
    section.kind = "until_miss"


# --- checks -----------------------------------------------------------------------------------------------------------


def _check(work: Assembler, section: SectionDraft, group: GroupDraft, catalogue: Catalogue) -> None:
    for station in group.stations:
        if station.dropped:
            continue
        movement = catalogue.movements[station.movement]
        _missing(work, section, group, station)
        if station.dropped:
            continue
        amount = station.amount or group.scheme
        if amount is not None and amount.measure == "duration_s" and (station.skill or section.label == "practice"):
            work.find("unquantified_work", station.start, station.end, movement=station.movement)
            station.dropped = True
            continue
        if amount is not None and _beyond(work, group, station, amount, movement.implement):
            station.dropped = True
            continue
        if station.load is not None:
            _check_load(work, station)
        if not station.dropped:
            _check_words(work, group, station, catalogue)


def _missing(work: Assembler, section: SectionDraft, group: GroupDraft, station: StationDraft) -> None:
    if station.amount is not None:
        if not station.amount.steps and not station.amount.open:
            station.amount = replace(station.amount, open=True) if section.kind != "work" else station.amount
        if station.amount.steps or station.amount.open:
            return
    elif group.scheme is not None or (section.work is not None and section.kind == "intervals"):
        return
    elif section.kind == "until_miss":
        station.amount = Amount(steps=(Quantity(1.0), Quantity(2.0)), continues=True)
        return
    elif section.kind == "amrap" and len(group.stations) == 1:
        station.amount = Amount(open=True)
        return
    code = "unquantified_work" if station.loose else "missing_reps"
    work.find(code, station.start, station.end, movement=station.movement)
    station.dropped = True


def _beyond(work: Assembler, group: GroupDraft, station: StationDraft, amount: Amount, implement: str) -> bool:
    top = max((step.value for step in amount.steps), default=0.0)
    if amount.sets > 500 or group.rounds > 1000:
        work.find("implausible_reps", station.start, station.end, count=f"{max(amount.sets, group.rounds)} times")
        return True
    if amount.measure == "reps" and station.uncounted and amount.steps and not amount.open:
        work.find("ambiguous_unit", station.start, station.end, figure=f"{top:g}")
        if station.movement == "row":
            work.find(
                "ambiguous_movement",
                station.start,
                station.end,
                word=station.word,
                choices="row, bent_over_row, ring_row",
            )
        return True
    if amount.measure == "reps":
        written, total = most_reps(station.movement, implement)
        if top > written or top * amount.sets * group.rounds > total:
            work.find("implausible_reps", station.start, station.end, count=f"{top * amount.sets * group.rounds:g}")
            return True
        return False
    factor = {"km": 1000.0, "mi": 1609.344, "min": 60.0, "h": 3600.0}.get(amount.unit, 1.0)
    if top * factor * amount.sets > trade()["most_other"][amount.measure]:
        work.find("implausible_reps", station.start, station.end, count=f"{top:g} {amount.unit}")
        return True
    return False


def _check_load(work: Assembler, station: StationDraft) -> None:
    load = station.load
    assert load is not None
    top = max((step.top or step.value for step in load.steps), default=0.0)
    if load.unit == "percent" and station.effortless:
        station.load = None
    elif load.unit == "percent" and top > trade()["most_percent"]["value"]:
        work.find("implausible_percent", station.start, station.end, percent=f"{top:g}")
        station.dropped = True
    elif load.unit in _KG and top * _KG[load.unit] * load.count > most_kg(station.movement):
        work.find(
            "implausible_load", station.start, station.end, load=f"{top:g} {load.unit}", movement=station.movement
        )
        station.dropped = True
    elif load.unit == "bodyweight" and top > 5:
        work.find(
            "implausible_load", station.start, station.end, load=f"{top:g} x body mass", movement=station.movement
        )
        station.dropped = True


def _check_words(work: Assembler, group: GroupDraft, station: StationDraft, catalogue: Catalogue) -> None:
    facts = trade()
    load = station.load
    if load is not None and load.unit == "":
        work.find("ambiguous_unit", station.start, station.end, figure=f"{load.steps[0].value:g}")
    elif load is not None and load.unit in ("pood", "st"):
        work.find("ambiguous_unit", station.start, station.end, figure=f"{load.steps[0].value:g} {load.unit}")
    if station.height is not None and station.height.unit == "":
        work.find("ambiguous_unit", station.start, station.end, figure=f"{station.height.value.value:g}")
    if (
        load is not None and load.unit in _KG and load.count == 1 and not load.added and station.movement in facts["two_bells"]
        and not station.per_hand and station.implement not in ("single", "pair", "vest")
    ):  # fmt: skip
        work.find("ambiguous_load", station.start, station.end, load=f"{load.steps[0].value:g} {load.unit}")
        station.load = replace(load, count=0)
    amount = station.amount
    if (
        station.movement in facts["one_sided"] and station.side == "" and not group.per_side and amount is not None
        and amount.sides == 1 and amount.steps
    ):  # fmt: skip
        work.find("ambiguous_sides", station.start, station.end, movement=station.movement)
    _generic(work, station, catalogue)


def _generic(work: Assembler, station: StationDraft, catalogue: Catalogue) -> None:
    if not station.word:
        return
    could_be = catalogue.names.doubt(station.word, work.language)
    if could_be is not None:
        if station.load is not None and catalogue.movements[station.movement].load != "needs":
            loaded = (name for name in could_be if catalogue.movements[name].load == "needs")
            station.movement = next(loaded, station.movement)
        work.find("ambiguous_movement", station.start, station.end, word=station.word, choices=", ".join(could_be))


def _totals(work: Assembler) -> None:
    """A total stated in words against what was prescribed."""
    for station, group, item in work.totals:
        stated = item.value
        amount = station.amount or group.scheme
        if amount is None or not stated.steps or not amount.steps or amount.measure != stated.measure:
            continue
        each = sum(step.value for step in amount.steps) * amount.sets
        sides = 2 if station.side == "each" else amount.sides
        told = stated.steps[0].value
        choices = {each, each * sides, each * group.rounds, each * group.rounds * sides, amount.steps[0].value}
        if not any(abs(told - choice) < 1e-6 for choice in choices):
            work.find("contradictory_total", item.start, item.end, stated=f"{told:g}", found=f"{each * group.rounds:g}")
            station.dropped = True


# --- freezing ---------------------------------------------------------------------------------------------------------


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
        share = "even" if share == "split" else share
    return Section(
        kept,
        draft.kind,
        draft.label,
        draft.seconds,
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
        draft.movement, amount, draft.load, draft.height, draft.start_height, draft.when, side if side != "each" or amount is None else "",
        draft.rpe, draft.scaled, draft.own, draft.start, draft.end,
    )  # fmt: skip


def doubts_of(tree: Prescription) -> list[Finding]:
    """The doubts that a tree in the exact form still holds: loads and heights without a unit, one bell or both."""
    found: list[Finding] = []
    for station in (s for section in tree.sections for group in section.groups for s in group.stations):
        load = station.load
        if load is not None and load.unit in ("", "pood", "st"):
            found.append(Finding("ambiguous_unit", station.start, station.end, {"figure": f"{load.steps[0].value:g}"}))
        if load is not None and load.count == 0:
            found.append(
                Finding("ambiguous_load", station.start, station.end, {"load": f"{load.steps[0].value:g} {load.unit}"})
            )
        if station.height is not None and station.height.unit == "":
            found.append(
                Finding("ambiguous_unit", station.start, station.end, {"figure": f"{station.height.value.value:g}"})
            )
    return found
