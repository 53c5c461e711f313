"""The rules that a row must keep, each yielding the reasons it finds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from keelmark.catalogue import Catalogue
from keelmark.catalogue.heights import height_kinds
from keelmark.ingest.cells import as_text
from keelmark.ingest.columns import Column
from keelmark.ingest.movement_words import loaded_choices, name_hint
from keelmark.ingest.options import LogOptions
from keelmark.ingest.people import People
from keelmark.ingest.reasons import Finding
from keelmark.ingest.values.counts import Reps
from keelmark.ingest.values.loads import Load
from keelmark.ingest.words import plain

__all__ = ["RULES", "Checked", "check_rows"]

MAX_SETS = 200
AMOUNTS = ("reps", "volume", "distance", "duration", "calories", "reps_low")


@dataclass(slots=True)
class Checked:
    """What a rule may look at."""

    columns: dict[str, Column]
    count: int
    options: LogOptions
    people: People
    catalogue: Catalogue

    def filled(self, kind: str, position: int) -> bool:
        """True when the cell holds something, readable or not."""
        column = self.columns.get(kind)
        return column is not None and (column.values[position] is not None or position in column.faults)

    def found(self, code: str, kind: str, position: int, hint: str = "") -> Finding:
        """A finding in one cell."""
        column = self.columns.get(kind)
        if column is None:
            return Finding(position, code, hint=hint)
        return Finding(position, code, column.title, as_text(column.cells[position]).strip(), hint)

    def is_session_row(self, position: int) -> bool:
        """True for a row that rates a whole session and holds no movement."""
        return (
            not self.filled("movement", position)
            and not any(self.filled(kind, position) for kind in (*AMOUNTS, "sets", "load"))
            and self.filled("session_rpe", position)
            and self.filled("session_min", position)
        )


def check_rows(checked: Checked) -> dict[int, list[Finding]]:
    """Every finding of every rule, by position, in the order of the rules."""
    findings: dict[int, list[Finding]] = {}
    for rule in RULES:
        for finding in rule(checked):
            findings.setdefault(finding.index, []).append(finding)
    return findings


def dates(checked: Checked) -> Iterator[Finding]:
    """A day must be there, readable, and within the plausible range."""
    column = checked.columns["date"]
    first, last = checked.options.earliest, checked.options.latest
    for position, day in enumerate(column.values):
        if position in column.faults:
            for code in column.faults[position]:
                yield checked.found(code, "date", position, _year_hint(day))
        elif day is None:
            yield checked.found("bad_date", "date", position)
        if day is not None and not first <= day <= last:
            yield checked.found("date_out_of_range", "date", position, f"{first} to {last}")


def _year_hint(day: dt.date | None) -> str:
    return "" if day is None else f"; the rows around it make it {day}, which is used when repairs are accepted"


def athletes(checked: Checked) -> Iterator[Finding]:
    """An athlete must be named and known."""
    column = checked.columns["athlete"]
    for position, athlete in enumerate(column.values):
        if position in column.faults:
            code = column.faults[position][0]
            hint = checked.people.suggestion(as_text(column.cells[position])) if code == "unknown_athlete" else ""
            yield checked.found(code, "athlete", position, hint)
        elif athlete is None:
            yield checked.found("missing_athlete", "athlete", position)


def first_names(checked: Checked) -> Iterator[Finding]:
    """Where family names stand beside first names, one first name belongs to one person."""
    family = checked.columns.get("family_name")
    if family is None:
        return
    athletes = checked.columns["athlete"].values
    named: dict[str, set[str]] = {}
    for athlete, name in zip(athletes, family.values, strict=True):
        if athlete is not None and name is not None:
            named.setdefault(athlete, set()).add(plain(name))
    for position, athlete in enumerate(athletes):
        if len(named.get(athlete, ())) > 1:
            yield checked.found("same_first_name", "athlete", position)


def movements(checked: Checked) -> Iterator[Finding]:
    """A movement must be named and known, except in a row that rates a whole session."""
    column = checked.columns.get("movement")
    for position in range(checked.count):
        if column is not None and position in column.faults:
            code = column.faults[position][0]
            hint = name_hint(as_text(column.cells[position]), checked.catalogue) if code == "unknown_movement" else ""
            yield checked.found(code, "movement", position, hint)
        elif not checked.filled("movement", position) and not checked.is_session_row(position):
            yield checked.found("missing_movement", "movement", position)


def loaded_words(checked: Checked) -> Iterator[Finding]:
    """A word for several movements, usually done without a load, is not settled when a load stands beside it."""
    movement, load = checked.columns.get("movement"), checked.columns.get("load")
    if movement is None or load is None:
        return
    unclear: dict[str, str] = {}
    for position, found in enumerate(movement.values):
        carried = load.values[position]
        if found is None or carried is None or not carried.kg:
            continue
        text = as_text(movement.cells[position])
        if text not in unclear:
            unclear[text] = loaded_choices(text, checked.catalogue)
        if unclear[text]:
            yield checked.found("unclear_movement", "movement", position, unclear[text])


def sets(checked: Checked) -> Iterator[Finding]:
    """Sets are whole numbers; reps without sets are incomplete when the log has a column for sets."""
    column = checked.columns.get("sets")
    if column is None:
        return
    for position, number in enumerate(column.values):
        if position in column.faults:
            yield checked.found(column.faults[position][0], "sets", position)
        elif number is None:
            if checked.filled("reps", position):
                yield checked.found("missing_sets", "sets", position)
        elif not (1 <= number <= MAX_SETS and float(number).is_integer()):
            yield checked.found("implausible_sets", "sets", position, str(MAX_SETS))


def reps(checked: Checked) -> Iterator[Finding]:
    """Reps are whole, above zero and within bounds."""
    most = checked.options.max_reps
    column = checked.columns.get("reps")
    if column is None:
        return
    for position, value in enumerate(column.values):
        if position in column.faults:
            yield checked.found(column.faults[position][0], "reps", position)
        elif isinstance(value, Reps):
            if value.low != value.high and checked.options.rep_ranges == "quarantine":
                yield checked.found("non_numeric_reps", "reps", position)
            elif code := _reps_fault(value, most):
                yield checked.found(code, "reps", position, f"{most:g}")


def _reps_fault(value: Reps, most: float) -> str | None:
    if value.low < 0:
        return "negative_reps"
    whole = value.low.is_integer() and value.high.is_integer()
    return None if whole and value.low >= 1 and value.high <= most else "implausible_reps"


def volumes(checked: Checked) -> Iterator[Finding]:
    """Sets and reps written together keep the same bounds."""
    column = checked.columns.get("volume")
    if column is None:
        return
    for position, pair in enumerate(column.values):
        if position in column.faults:
            yield checked.found(column.faults[position][0], "volume", position)
        elif pair is not None and not (1 <= pair[0] <= MAX_SETS and 1 <= pair[1] <= checked.options.max_reps):
            yield checked.found("implausible_reps", "volume", position, f"{checked.options.max_reps:g}")


def rep_bounds(checked: Checked) -> Iterator[Finding]:
    """Columns for the fewest and the most reps hold plain numbers in rising order."""
    low, high = checked.columns.get("reps_low"), checked.columns.get("reps_high")
    if low is None or high is None:
        return
    for position in range(checked.count):
        fewest, most = low.values[position], high.values[position]
        if position in low.faults or position in high.faults or (fewest is None) != (most is None):
            yield checked.found("non_numeric_reps", "reps_low", position)
        elif fewest is not None and not 1 <= fewest <= most <= checked.options.max_reps:
            yield checked.found("implausible_reps", "reps_low", position, f"{checked.options.max_reps:g}")


def amounts(checked: Checked) -> Iterator[Finding]:
    """A row with a movement says how much was done."""
    column = checked.columns.get("movement")
    if column is None:
        return
    for position, movement in enumerate(column.values):
        if checked.is_session_row(position) or any(checked.filled(kind, position) for kind in AMOUNTS):
            continue
        by_reps = movement is None or checked.catalogue[movement].measures[0] == "reps"
        kind = "reps" if by_reps else "distance"
        yield checked.found("missing_reps" if by_reps else "missing_amount", kind, position)


def loads(checked: Checked) -> Iterator[Finding]:
    """Loads are readable, in the unit of their column, not negative and within bounds."""
    column = checked.columns.get("load")
    if column is None:
        return
    most = checked.options.max_load_kg
    for position, load in enumerate(column.values):
        for code in column.faults.get(position, ()):
            yield checked.found(code, "load", position, _converted(load, code))
        if isinstance(load, Load) and load.kg is not None:
            if load.kg < 0:
                yield checked.found("negative_load", "load", position)
            elif load.kg > most:
                yield checked.found("implausible_load", "load", position, f"{most:g}")


def _converted(load: Load | None, code: str) -> str:
    if load is None or load.kg is None:
        return ""
    return f"{load.kg:.2f} kg" if code == "lb_in_kg_column" else f"{load.kg / 0.45359237:.1f} lb"


def _bounded(
    kind: str, fault: str, low: float, high: float, below: str | None = None
) -> Callable[[Checked], Iterator[Finding]]:
    """A rule for a plain figure: readable and within bounds; `below` names the fault of negative figures."""

    def rule(checked: Checked) -> Iterator[Finding]:
        column = checked.columns.get(kind)
        if column is None:
            return
        for position, value in enumerate(column.values):
            if position in column.faults:
                yield checked.found(column.faults[position][0], kind, position)
            elif value is not None and not low <= value <= high:
                yield checked.found(below if below and value < 0 else fault, kind, position)

    rule.__name__ = kind
    rule.__doc__ = f"The column {kind} lies between {low:g} and {high:g}."
    return rule


def heights(checked: Checked) -> Iterator[Finding]:
    """A height is readable and lies between the bounds of what it stands for beside that movement."""
    column, movement = checked.columns.get("height"), checked.columns.get("movement")
    if column is None:
        return
    for position, height in enumerate(column.values):
        name = movement.values[position] if movement is not None else None
        kind = checked.catalogue.height_kind(name) if isinstance(name, str) else height_kinds()["other"]
        if position in column.faults:
            yield checked.found(column.faults[position][0], "height", position)
        elif height is not None and not kind.holds(height):
            yield checked.found("implausible_height", "height", position, f"{kind.label}, {kind.bounds}")


def _words(kind: str) -> Callable[[Checked], Iterator[Finding]]:
    """A rule for a column of fixed words."""

    def rule(checked: Checked) -> Iterator[Finding]:
        column = checked.columns.get(kind)
        for position, codes in (column.faults if column else {}).items():
            yield checked.found(codes[0], kind, position)

    rule.__name__ = kind
    rule.__doc__ = f"The column {kind} holds known words."
    return rule


TINY = 1e-9
RULES: tuple[Callable[[Checked], Iterator[Finding]], ...] = (
    dates,
    athletes,
    first_names,
    movements,
    loaded_words,
    sets,
    reps,
    volumes,
    rep_bounds,
    amounts,
    loads,
    heights,
    _bounded("distance", "implausible_distance", TINY, 300_000.0, "negative_distance"),
    _bounded("duration", "implausible_duration", TINY, 86_400.0),
    _bounded("calories", "implausible_calories", TINY, 10_000.0),
    _bounded("rpe", "rpe_out_of_range", 1.0, 10.0),
    _bounded("session_rpe", "session_rpe_out_of_range", 0.0, 10.0),
    _bounded("session_min", "implausible_session_min", 1.0, 1440.0),
    _words("version"),
    _words("side"),
    _words("load_unit"),
)
