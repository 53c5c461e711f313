"""What is missing, beyond belief or open to doubt in a draft."""

from __future__ import annotations

from dataclasses import replace

from keelmark.catalogue import Catalogue, fold
from keelmark.catalogue.heights import HeightKind, height_kinds
from keelmark.notation.assemble import Assembler
from keelmark.notation.desk import Finding
from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.trade import most_kg, most_reps, trade
from keelmark.notation.tree import CM_OF, Amount, Height, Prescription, Quantity

__all__ = ["check_group", "check_totals", "doubts_of"]

_KG = {"kg": 1.0, "lb": 0.45359237}


_ONE = Amount(steps=(Quantity(1.0),))
_LENGTHS = {"min": 60.0, "h": 3600.0, "km": 1000.0, "mi": 1609.344}


def check_group(work: Assembler, section: SectionDraft, group: GroupDraft, catalogue: Catalogue) -> None:
    for station in group.stations:
        if station.dropped:
            continue
        movement = catalogue.movements[station.movement]
        _missing(work, section, group, station)
        if station.dropped:
            continue
        rises = station.load is not None and len(station.load.steps) > 1
        single = station.amount is not None and station.amount.steps == _ONE.steps
        if section.kind == "until_miss" and single and not rises:
            station.amount = Amount(steps=(Quantity(1.0), Quantity(2.0)), continues=True)
        amount = station.amount or group.scheme
        if station.uncounted and station.load is not None and amount is not None and amount.measure == "reps":
            _lifted_instead(work, station, catalogue)
            movement = catalogue.movements[station.movement]
        if amount is not None and amount.measure == "duration_s" and (station.skill or section.label == "practice"):
            work.find("unquantified_work", station.start, station.end, movement=station.movement)
            station.dropped = True
            continue
        if amount is not None and _beyond(work, group, station, amount, movement.implement):
            station.dropped = True
            continue
        if station.load is not None:
            _check_load(work, station)
        _check_heights(work, station, catalogue)
        if not station.dropped:
            _check_words(work, group, station, catalogue)


def _lifted_instead(work: Assembler, station: StationDraft, catalogue: Catalogue) -> None:
    """`row 3x8 50 kg`: with reps and a load it is the lift of that name, not the machine."""
    could_be = work.lexicon.doubt(station.word, work.language) or trade()["lifted_names"].get(station.movement, ())
    lifts = [name for name in could_be if catalogue.movements[name].load == "needs"]
    if lifts:
        station.movement, station.uncounted, station.needs_load = lifts[0], False, True
        work.find("ambiguous_movement", station.start, station.end, word=station.word, choices=", ".join(lifts))
        station.word = ""


def _missing(work: Assembler, section: SectionDraft, group: GroupDraft, station: StationDraft) -> None:
    if station.amount is not None:
        if not station.amount.steps and not station.amount.open:
            station.amount = replace(station.amount, open=True) if section.kind != "work" else station.amount
        if station.amount.steps or station.amount.open:
            return
    elif group.scheme is not None or (section.work is not None and section.kind == "intervals"):
        return
    elif group.inline == -2 and all(other.amount is None or other.amount == _ONE for other in group.stations):
        station.amount = _ONE
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
        same = _unit_before(work, station, top)
        if same is not None:
            station.amount = replace(amount, measure=same.measure, unit=same.unit)
            return False
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
    if top * _LENGTHS.get(amount.unit, 1.0) * amount.sets > trade()["most_other"][amount.measure]:
        work.find("implausible_reps", station.start, station.end, count=f"{top:g} {amount.unit}")
        return True
    return False


def _unit_before(work: Assembler, station: StationDraft, top: float) -> Amount | None:
    """The amount of the same movement before, where the figure without a unit is of its size: `then row 2000 more`."""
    for section in work.sections:
        for group in section.groups:
            for other in group.stations:
                if other is station:
                    return None
                amount = other.amount
                if other.movement != station.movement or amount is None or amount.measure == "reps" or not amount.steps:
                    continue
                if 0.25 <= top / max(amount.steps[0].value, 1e-9) <= 4:
                    return amount
    return None


def _check_load(work: Assembler, station: StationDraft) -> None:
    load = station.load
    assert load is not None
    top = max((step.top or step.value for step in load.steps), default=0.0)
    effort = work.lexicon.catalogue.movements[station.movement].category == "monostructural"
    barred = work.lexicon.catalogue.movements[station.movement].implement == "barbell"
    if (load.unit == "percent" and (station.effortless or effort)) or (
        load.unit == "bodyweight" and load.steps == _ONE.steps and not (station.needs_load or barred)
    ):
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


def _check_heights(work: Assembler, station: StationDraft, catalogue: Catalogue) -> None:
    """Set aside a height that is most likely in another unit or meant for something else; the work is kept."""
    if station.height is not None and _unbelievable(
        work, station, station.height, catalogue.height_kind(station.movement)
    ):
        station.height = None
    if station.start_height is not None and _unbelievable(work, station, station.start_height, height_kinds()["bar"]):
        station.start_height = None


def _unbelievable(work: Assembler, station: StationDraft, height: Height, kind: HeightKind) -> bool:
    if height.unit not in CM_OF:
        return False
    ends = (height.value.value, height.value.lighter, height.value.top)
    odd = next((end for end in ends if end is not None and not kind.holds(end * CM_OF[height.unit])), None)
    if odd is None:
        return False
    told = f"{odd:g} {height.unit}"
    work.find(
        "implausible_height", station.start, station.end, height=told, movement=station.movement, bounds=kind.bounds
    )
    return True


def _check_words(work: Assembler, group: GroupDraft, station: StationDraft, catalogue: Catalogue) -> None:
    facts = trade()
    load = station.load
    if load is not None and load.unit == "":
        work.find("ambiguous_unit", station.start, station.end, figure=f"{load.steps[0].value:g}")
    elif load is not None and load.unit in ("pood", "st"):
        work.find("ambiguous_unit", station.start, station.end, figure=f"{load.steps[0].value:g} {load.unit}")
    ranged = next((step for step in load.steps if step.top is not None), None) if load is not None else None
    if ranged is not None and ranged.top is not None:
        middle = (ranged.value + ranged.top) / 2
        work.find(
            "load_range",
            station.start,
            station.end,
            low=f"{ranged.value:g}",
            high=f"{ranged.top:g}",
            middle=f"{middle:g}",
        )
    if station.odd_words is not None and work.lexicon.doubt(station.word, work.language) is not None:
        words = work.text[slice(*station.odd_words)]
        work.find("unknown_movement", *station.odd_words, word=f"{words} {station.word}")
        station.dropped = True
        return
    if station.odd_words is not None:
        work.find(
            "unread_word", *station.odd_words, word=work.text[slice(*station.odd_words)], movement=station.movement
        )
    if station.height is not None and station.height.unit == "":
        work.find("ambiguous_unit", station.start, station.end, figure=f"{station.height.value.value:g}")
    if (
        load is not None
        and load.unit in _KG
        and load.count == 1
        and not load.added
        and station.movement in facts["two_bells"]
        and not station.per_hand
        and station.implement not in ("single", "pair", "vest")
    ):
        work.find("ambiguous_load", station.start, station.end, load=f"{load.steps[0].value:g} {load.unit}")
        station.load = replace(load, count=0)
    amount = station.amount
    if (
        station.movement in facts["one_sided"]
        and station.side == ""
        and not group.per_side
        and amount is not None
        and amount.sides == 1
        and amount.steps
    ):
        work.find("ambiguous_sides", station.start, station.end, movement=station.movement)
    _generic(work, station, catalogue)
    _check_held(work, station)


def _check_held(work: Assembler, station: StationDraft) -> None:
    """`10 burpees 20 kg`, `air squat 80 kg`: a load for a movement that is done with empty hands, as far as told."""
    facts, load = trade()["empty_handed"], station.load
    if load is None or load.unit not in _KG or load.added or station.implement or station.per_hand:
        return
    top = max(step.top or step.value for step in load.steps) * _KG[load.unit]
    bare = station.movement in facts["movements"]
    if not bare and not (station.movement in facts["light"] and top > facts["most_kg"]):
        return
    if any(item.kind == "vest" for segment in work.segments for item in segment.items):
        return
    told = f"{load.steps[0].value:g} {load.unit}"
    work.find("load_not_usual", station.start, station.end, load=told, movement=station.movement)


def _generic(work: Assembler, station: StationDraft, catalogue: Catalogue) -> None:
    if not station.word:
        return
    if station.height is not None and station.movement in ("rope_climb", "legless_rope_climb"):
        return
    could_be = work.lexicon.doubt(station.word, work.language)
    if could_be is not None and station.amount is not None and station.amount.measure in ("distance_m", "calories"):
        fitting = [name for name in could_be if station.amount.measure in catalogue.movements[name].measures]
        if len(fitting) == 1:
            station.movement = fitting[0]
            return
    loaded = station.load is not None and station.implement != "vest"
    if could_be is None and loaded:
        could_be = tuple(trade()["loaded_words"].get(fold(station.word), ())) or None
    if could_be is not None:
        lifted = station.amount is not None and station.amount.open and bool(station.amount.steps)
        if (loaded or lifted) and catalogue.movements[station.movement].load != "needs":
            lifts = (name for name in could_be if catalogue.movements[name].load == "needs")
            station.movement = next(lifts, station.movement)
        work.find("ambiguous_movement", station.start, station.end, word=station.word, choices=", ".join(could_be))


def check_totals(work: Assembler) -> None:
    """A total stated in words against what was prescribed."""
    if _are_running(work):
        return
    for station, group, item in work.totals:
        stated = item.value
        amount = station.amount or group.scheme
        if amount is None or not stated.steps or not amount.steps or amount.measure != stated.measure:
            continue
        each = sum(step.value for step in amount.steps) * amount.sets
        sides = 2 if station.side == "each" else amount.sides
        told = stated.steps[0].value * _LENGTHS.get(stated.unit, 1.0) / _LENGTHS.get(amount.unit, 1.0)
        if station.load is not None and any(
            abs(told - step.value * max(1, station.load.count)) < 1e-6 for step in station.load.steps
        ):
            continue
        if item.kind == "dist" and 0 < told < amount.steps[0].value and not amount.steps[0].value % told:
            work.comments.append((item.start, item.end))
            continue
        choices = {each, each * sides, each * group.rounds, each * group.rounds * sides, amount.steps[0].value}
        if not any(abs(told - choice) < 1e-6 for choice in choices):
            work.find("contradictory_total", item.start, item.end, stated=f"{told:g}", found=f"{each * group.rounds:g}")
            station.dropped = True


def _are_running(work: Assembler) -> bool:
    """`60 skips = 60`, `50 squats = 110`, `40 sit-ups = 150`: each total holds all that stands before it."""
    if len(work.totals) < 3:
        return False
    so_far = 0.0
    for station, group, item in work.totals:
        amount = station.amount or group.scheme
        if amount is None or group.rounds > 1 or not item.value.steps or not amount.steps:
            return False
        counted = amount.measure in ("reps", "calories")
        so_far += sum(step.value for step in amount.steps) * amount.sets * amount.sides if counted else 1.0
        if abs(item.value.steps[0].value - so_far) > 1e-6:
            return False
    return True


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
