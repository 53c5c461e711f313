"""Amounts with a unit: loads, heights, distances, durations."""

from __future__ import annotations

import datetime as dt
import re

from keelmark.ingest.cells import Cell
from keelmark.ingest.values.numbers import NUMBER, DecimalMark, parse_number
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.words import cell_words, plain

__all__ = ["KG_PER_LB", "TO_CM", "TO_KG", "TO_M", "TO_S", "parse_amount", "parse_duration", "split_unit"]

KG_PER_LB = 0.45359237
TO_KG = {"kg": 1.0, "lb": KG_PER_LB}
TO_M = {"m": 1.0, "km": 1000.0, "mi": 1609.344, "yd": 0.9144, "ft": 0.3048, "cm": 0.01}
TO_CM = {"cm": 1.0, "in": 2.54, "m": 100.0, "ft": 30.48}
TO_S = {"s": 1.0, "min": 60.0, "h": 3600.0}

_WITH_UNIT = re.compile(rf"\s*({NUMBER})\s*([^\d\s.,].*?)?\s*")
_FEET_INCHES = re.compile(r"(\d)\s*(?:'|′|’|ft\.?)\s*(\d{1,2}(?:[.,]\d+)?)\s*(?:\"|″|”|''|in\.?)?")
_CLOCK = re.compile(r"(\d{1,3}):([0-5]?\d)(?::([0-5]\d))?(?:[.,]\d+)?")
_PARTS = re.compile(r"(\d+(?:[.,]\d+)?)\s*([a-z'\"′″]+)\.?")
_TICKS = {"'": "min", "′": "min", "’": "min", '"': "s", "″": "s", "''": "s"}


def split_unit(text: str) -> tuple[str, str | None] | None:
    """Number and unit of a text such as `95 lb`, the unit None when there is none; None when it is something else."""
    found = _WITH_UNIT.fullmatch(text)
    if found is None:
        return None
    if not found[2]:
        return found[1].strip(), None
    unit = cell_words("units").get(plain(found[2].strip().rstrip(".")))
    return (found[1].strip(), unit) if unit else None


def parse_amount(cell: Cell, unit: str | None, factors: dict[str, float], mark: DecimalMark | None) -> Parsed[float]:
    """An amount in the house unit; `factors` turns each accepted unit into it, `unit` is that of the column.

    Returns
    -------
    Parsed
        Reason `not_a_number` or `ambiguous_number`; note `no_unit` when neither cell nor column says a unit.
    """
    if cell is None or isinstance(cell, (bool, dt.date, dt.time, dt.timedelta)):
        return Parsed(reasons=("not_a_number",))
    if isinstance(cell, (int, float)):
        return _scaled(Parsed(float(cell)), unit, factors) if cell == cell else Parsed(reasons=("not_a_number",))
    if factors is TO_CM and (found := _FEET_INCHES.fullmatch(cell.strip())):
        return Parsed(float(found[1]) * TO_CM["ft"] + float(found[2].replace(",", ".")) * TO_CM["in"])
    parts = split_unit(cell)
    if parts is None or (parts[1] is not None and parts[1] not in factors):
        return Parsed(reasons=("not_a_number",))
    return _scaled(parse_number(parts[0], mark), parts[1] or unit, factors)


def _scaled(number: Parsed[float], unit: str | None, factors: dict[str, float]) -> Parsed[float]:
    if number.value is None:
        return number
    if unit is None:
        return Parsed(number.value, notes=(*number.notes, "no_unit"))
    return Parsed(number.value * factors[unit], notes=number.notes)


def parse_duration(cell: Cell, unit: str | None, mark: DecimalMark | None, *, long: bool) -> Parsed[float]:
    """A duration in seconds: 1:30, 90 s, 1 min 30, 1'30", a bare number in the column's unit.

    `long` durations (whole sessions) read 1:30 as hours and minutes, up to four hours; short ones as minutes and
    seconds. A spreadsheet's clock cell of an hour or more is `ambiguous_duration` in a column of short ones.
    """
    if isinstance(cell, dt.datetime):
        return Parsed(reasons=("not_a_number",))
    if isinstance(cell, dt.time):
        cell = dt.timedelta(hours=cell.hour, minutes=cell.minute, seconds=cell.second)
    if isinstance(cell, dt.timedelta):
        seconds = cell.total_seconds()
        return Parsed(seconds) if long or seconds < 3600 else Parsed(reasons=("ambiguous_duration",))
    if isinstance(cell, str):
        if found := _CLOCK.fullmatch(cell.strip()):
            return _clock(int(found[1]), int(found[2]), found[3], long)
        if (spoken := _spoken(cell)) is not None:
            return Parsed(spoken)
    return parse_amount(cell, unit, TO_S, mark)


def _clock(first: int, second: int, third: str | None, long: bool) -> Parsed[float]:
    if third is not None:
        return Parsed(first * 3600.0 + second * 60 + int(third))
    return Parsed(first * 3600.0 + second * 60) if long and first <= 4 else Parsed(first * 60.0 + second)


def _spoken(text: str) -> float | None:
    """Durations of several parts, such as 1 min 30 s; None when the text is something else."""
    lowered = text.strip().lower()
    total, rest = 0.0, lowered
    last = ""
    for number, unit in _PARTS.findall(lowered):
        name = _TICKS.get(unit) or cell_words("units").get(plain(unit))
        if name not in TO_S:
            return None
        total += float(number.replace(",", ".")) * TO_S[name]
        last = name
    rest = _PARTS.sub("", lowered).strip()
    if not last:
        return None
    if rest == "":
        return total
    below = {"h": 60.0, "min": 1.0}.get(last)
    return total + float(rest) * below if below and re.fullmatch(r"\d{1,2}", rest) else None
