"""Small changes of a session's text that a coach would write: fewer reps, less load, a lower box, another movement.

Edits only propose text. What an edited text comes to is never reckoned from the edit: it is read again like any text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from keelmark.catalogue import Catalogue
from keelmark.notation import Prescription
from keelmark.notation.tree import Amount, Group, Station
from keelmark.plan.practical import ladders, nearest_amount, nearest_load, number, steps

__all__ = ["Edit", "Item", "apply", "edits_of"]

_PLAIN = r"\d+(?:[.,]\d+)?"
_LOAD = re.compile(rf"(?P<one>{_PLAIN})(?:\s*/\s*(?P<two>{_PLAIN}))?\s*(?P<unit>kg|lbs?|%)", re.I)
_HEIGHT = re.compile(rf"(?P<one>{_PLAIN})(?:\s*/\s*(?P<two>{_PLAIN}))?\s*(?P<unit>cm)\b", re.I)
_AMOUNT_PREFIX = re.compile(
    rf"\s*(?:{_PLAIN}\s*[x×]\s*)?{_PLAIN}(?:\s*[-–]\s*\d+)*\s*(?:/\s*{_PLAIN}\s*)?(?:(?:km|m|s|sec|min|cals?|calories|reps)\b\s*)?",
    re.I,
)
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_TO_M = {"m": 1.0, "km": 1000.0}


@dataclass(frozen=True, slots=True)
class Edit:
    """One change of a text.

    Parameters
    ----------
    changes : tuple of (start, end, text)
        Characters to replace.
    kind : str
        amount, load, height, start_height, movement or scheme.
    words : str
        The change in words: `10 toes to bar to 8`.
    """

    changes: tuple[tuple[int, int, str], ...]
    kind: str
    words: str


@dataclass(frozen=True, slots=True)
class Item:
    """A piece of the text whose edits exclude one another: a station, or all stations under one rep scheme."""

    section: int
    movements: tuple[str, ...]
    edits: tuple[Edit, ...]


def apply(text: str, edits: tuple[Edit, ...]) -> str:
    """A text with edits of different items made in it."""
    changes = sorted((change for edit in edits for change in edit.changes), reverse=True)
    for start, end, new in changes:
        text = text[:start] + new + text[end:]
    return text


def edits_of(text: str, tree: Prescription, catalogue: Catalogue) -> list[Item]:
    """Items of a text with the edits that could be made to each; each proposal has still to be read.

    Parameters
    ----------
    text : str
        Whiteboard text.
    tree : Prescription
        What was read from it.
    catalogue : Catalogue
        Implements, swaps and names.
    """
    items: list[Item] = []
    used: set[tuple[int, int]] = set()
    for place, section in enumerate(tree.sections):
        for group in section.groups:
            scheme = _scheme_edits(text, group)
            if scheme:
                items.append(Item(place, tuple(station.movement for station in group.stations), tuple(scheme)))
            for station in group.stations:
                span = (station.start, station.end)
                if span in used or station.end <= station.start:
                    continue
                used.add(span)
                found = tuple({edit.changes: edit for edit in _station_edits(text, station, catalogue)}.values())
                if found:
                    items.append(Item(place, (station.movement,), found))
    return items


def _station_edits(text: str, station: Station, catalogue: Catalogue) -> Iterator[Edit]:
    start, end = station.start, station.end
    words = text[start:end]
    yield from _fewer(words, start, station)
    yield from _lighter(words, start, station, catalogue)
    yield from _lower(words, start)
    yield from _raised(words, start, end, station, catalogue)
    yield from _swapped(words, start, station, catalogue)


def _scheme_edits(text: str, group: Group) -> list[Edit]:
    scheme = group.scheme
    stations = group.stations
    if scheme is None or len(scheme.steps) < 2 or not stations:
        return []
    before = text[: min(station.start for station in stations)]
    pattern = r"\s*[-–,/]\s*".join(re.escape(number(step.value)) for step in scheme.steps)
    places = list(re.finditer(rf"(?<![\d.]){pattern}(?![\d.])", before))
    if not places:
        return []
    place = places[-1]
    return [
        Edit(
            ((place.start(), place.end(), "-".join(map(number, ladder))),),
            "scheme",
            f"{place.group()} to {'-'.join(map(number, ladder))}",
        )
        for ladder in ladders(tuple(step.value for step in scheme.steps))
    ]


def _fewer(words: str, start: int, station: Station) -> Iterator[Edit]:
    amount = station.amount
    if amount is None or amount.open or not amount.steps:
        return
    if len(amount.steps) > 1:
        yield from _fewer_rungs(words, start, amount)
        return
    step = amount.steps[0]
    if step.top is not None:
        return
    found = [match for match in _NUMBER.finditer(words) if _value(match.group()) == step.value]
    place = found[1] if amount.sets == step.value and len(found) > 1 else (found[0] if found else None)
    if place is not None and amount.unit in ("rep", "m", "km", "s", "cal") and step.lighter is None:
        factor = _TO_M.get(amount.unit, 1.0)
        for share in steps("amounts"):
            yield from _one_amount(words, start, amount, place, share, factor)
    if amount.sets > 2:
        sets = next((m for m in _NUMBER.finditer(words) if _value(m.group()) == amount.sets), None)
        for fewer in (amount.sets - 1, amount.sets - 2):
            if sets is not None and fewer >= 2:
                change = (start + sets.start(), start + sets.end(), str(fewer))
                yield Edit((change,), "amount", f"{_said(words)}: {fewer} sets")


def _one_amount(
    words: str, start: int, amount: Amount, place: re.Match[str], share: float, factor: float
) -> Iterator[Edit]:
    value, measure = _value(place.group()), amount.measure
    new = nearest_amount(measure, value * factor * share)
    if new >= value * factor:
        return
    text, stop = number(new), place.end()
    if amount.unit == "km":
        unit = re.compile(r"\s*km\b", re.I).match(words, stop)
        if unit is None:
            return
        text, stop = f"{number(new)} m", unit.end()
    yield Edit(
        ((start + place.start(), start + stop, text),),
        "amount",
        f"{_said(words)}: {text} instead of {words[place.start() : stop]}",
    )


def _fewer_rungs(words: str, start: int, amount: Amount) -> Iterator[Edit]:
    written = tuple(step.value for step in amount.steps)
    pattern = r"\s*[-–,/]\s*".join(re.escape(number(value)) for value in written)
    place = re.search(rf"(?<![\d.]){pattern}(?![\d.])", words)
    if place is None:
        return
    for ladder in ladders(written):
        text = "-".join(map(number, ladder))
        change = (start + place.start(), start + place.end(), text)
        yield Edit((change,), "amount", f"{_said(words)}: {text} instead of {place.group()}")


def _lighter(words: str, start: int, station: Station, catalogue: Catalogue) -> Iterator[Edit]:
    place = _LOAD.search(words)
    if place is None:
        return
    implement = catalogue[station.movement].implement
    unit = place["unit"].lower()
    seen = {words[place.start() : place.end()]}
    for step in steps("percent") if unit == "%" else steps("loads"):
        figures = []
        for figure in (place["one"], place["two"]):
            if figure is None:
                continue
            value = _value(figure)
            new = (
                value - step if unit == "%" else nearest_load(implement, "lb" if unit[0] == "l" else "kg", value * step)
            )
            figures.append(number(min(new, value)))
        text = "/".join(figures) + words[place.end(2) if place["two"] else place.end(1) : place.end()]
        if text in seen or any(_value(figure) <= 0 for figure in figures):
            continue
        seen.add(text)
        yield Edit(((start + place.start(), start + place.end(), text),), "load", f"{_said(words)}: {text.strip()}")


def _lower(words: str, start: int) -> Iterator[Edit]:
    place = _HEIGHT.search(words)
    if place is None:
        return
    least = steps("least_height_cm")[0]
    for step in steps("heights_cm"):
        values = [_value(figure) - step for figure in (place["one"], place["two"]) if figure is not None]
        if min(values) < least:
            return
        text = "/".join(map(number, values)) + " cm"
        yield Edit(((start + place.start(), start + place.end(), text),), "height", f"{_said(words)}: {text}")


def _raised(words: str, start: int, end: int, station: Station, catalogue: Catalogue) -> Iterator[Edit]:
    movement = catalogue[station.movement]
    from_floor = "deadlift" in movement.name and movement.implement == "barbell" and "romanian" not in movement.name
    if not from_floor or station.start_height is not None or station.height is not None:
        return
    for height in steps("start_heights_cm"):
        text = f" from blocks {number(height)} cm"
        yield Edit(((end, end, text),), "start_height", f"{_said(words)}: bar at {number(height)} cm")


def _swapped(words: str, start: int, station: Station, catalogue: Catalogue) -> Iterator[Edit]:
    movement = catalogue[station.movement]
    amount = station.amount
    prefix = _AMOUNT_PREFIX.match(words)
    begin = prefix.end() if prefix is not None and amount is not None else len(words) - len(words.lstrip())
    extras = [found.start() for pattern in (_LOAD, _HEIGHT) if (found := pattern.search(words, begin))]
    stop = min(extras, default=len(words.rstrip()))
    name_end = begin + len(words[begin:stop].rstrip(" @,(-–"))
    if name_end <= begin:
        return
    for swap in movement.swaps:
        other = catalogue[swap.to]
        keeps_load = other.implement == movement.implement and movement.load == other.load == "needs"
        if other.load == "needs" and not keeps_load:
            continue
        label = catalogue.names.label(other.name)
        tail_end = name_end if keeps_load or not extras else len(words.rstrip())
        changes = [(start + begin, start + tail_end, label)]
        if amount is not None and swap.ratio.value != 1:
            changes.extend(_as_many(words[:begin], start, amount, swap.ratio.value))
        yield Edit(tuple(sorted(changes)), "movement", f"{_said(words)}: {label} instead")


def _as_many(words: str, start: int, amount: Amount, ratio: float) -> Iterator[tuple[int, int, str]]:
    """The figure of an amount times the ratio of a swap."""
    if len(amount.steps) != 1 or amount.steps[0].lighter is not None or amount.unit not in ("rep", "m", "cal", "s"):
        return
    value = amount.steps[0].value
    found = [match for match in _NUMBER.finditer(words) if _value(match.group()) == value]
    if found:
        place = found[1] if amount.sets == value and len(found) > 1 else found[0]
        yield start + place.start(), start + place.end(), number(nearest_amount(amount.measure, value * ratio))


def _value(text: str) -> float:
    return float(text.replace(",", "."))


def _said(words: str) -> str:
    return " ".join(words.split())
