"""Counts and ratings: sets, reps, calories, RPE."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from keelmark.ingest.cells import Cell
from keelmark.ingest.values.numbers import DecimalMark, parse_number
from keelmark.ingest.values.parsed import Parsed

__all__ = ["Reps", "parse_count", "parse_rating", "parse_reps", "parse_volume"]

_RANGE = re.compile(r"(\d{1,4})\s*(?:-|–|to|bis|a|à)\s*(\d{1,4})")
_VOLUME = re.compile(r"(\d{1,3})\s*[x×*]\s*(\d{1,4})")
_RATING = re.compile(r"(?:rpe|@|pse)?\s*([-+]?\d+(?:[.,]\d+)?)\s*(?:/\s*10)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reps:
    """Reps per set with bounds."""

    value: float
    low: float
    high: float


def parse_count(cell: Cell, mark: DecimalMark | None) -> Parsed[float]:
    """A plain number; reasons `not_a_number` or `ambiguous_number`."""
    if cell is None or isinstance(cell, (bool, dt.date, dt.time, dt.timedelta)):
        return Parsed(reasons=("not_a_number",))
    if isinstance(cell, (int, float)):
        return Parsed(float(cell)) if cell == cell else Parsed(reasons=("not_a_number",))
    return parse_number(cell, mark)


def parse_reps(cell: Cell, mark: DecimalMark | None) -> Parsed[Reps]:
    """Reps per set: a number, or a range such as 8-10 (note `rep_range`)."""
    if isinstance(cell, str) and (found := _RANGE.fullmatch(cell.strip().lower())):
        low, high = float(found[1]), float(found[2])
        if low < high:
            return Parsed(Reps((low + high) / 2, low, high), notes=("rep_range",))
    number = parse_count(cell, mark)
    if number.value is None:
        return Parsed(reasons=number.reasons)
    return Parsed(Reps(number.value, number.value, number.value), notes=number.notes)


def parse_volume(cell: Cell) -> Parsed[tuple[float, float]]:
    """Sets and reps written together, such as 5x3."""
    found = _VOLUME.fullmatch(cell.strip()) if isinstance(cell, str) else None
    return Parsed((float(found[1]), float(found[2]))) if found else Parsed(reasons=("not_a_volume",))


def parse_rating(cell: Cell, mark: DecimalMark | None) -> Parsed[float]:
    """A rating: 7, 7,5, RPE 8, 8/10."""
    if isinstance(cell, str) and (found := _RATING.fullmatch(cell.strip())):
        return parse_number(found[1], mark)
    return parse_count(cell, mark)
