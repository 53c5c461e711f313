"""How many digits of a figure are told: as many as its interval leaves, no more."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import NamedTuple

__all__ = ["ROUNDING_RULE", "Told", "place_of", "told", "told_alone", "told_at", "told_at_least"]

ROUNDING_RULE = (
    "A figure is told to the place of the first digit of half the width of its interval, one place finer where that "
    "digit is 1. Bounds are rounded outwards to the same place. Marks beside it have the same place, or as fine a one "
    "as it takes to tell them from the figure. No figure loses its first digit. What is counted is told whole below "
    "100. A figure that is open upwards has two digits at the most. A figure without an interval has three digits and "
    "is whole from 100 up. JSON keeps every digit."
)
"""The rule of this module in words, for readers."""


_FEW = 100


class Told(NamedTuple):
    """A figure and its bounds as text with commas between thousands; an open bound is None."""

    value: str
    low: str | None
    high: str | None


def place_of(value: float, low: float | None, high: float | None, beside: Sequence[float] = ()) -> int | None:
    """Power of ten of the last digit that is told; None where the interval has no width.

    Where the upper bound is open, what lies below the figure stands for half the width, and two digits are enough.

    Parameters
    ----------
    value, low, high : float or None
        The figure and its bounds.
    beside : sequence of float
        Other figures, such as marks, that must not read as the same one unless they are.
    """
    if low is None or high == low:
        return None
    half = value - low if high is None else (high - low) / 2
    if half <= 0:
        return None
    place = _first_digit(half)
    if half < 2 * 10.0**place:
        place -= 1
    if high is None and value:
        place = max(place, _first_digit(value) - 1)
    finest = _first_digit(value) - 3 if value else place
    while place > finest and any(other != value and told_at(other, place) == told_at(value, place) for other in beside):
        place -= 1
    return place


def told(
    value: float, low: float | None, high: float | None, *, whole: bool = False, beside: Sequence[float] = ()
) -> Told:
    """A figure and its bounds by the rounding rule.

    Parameters
    ----------
    value, low, high : float or None
        The figure and its bounds, None where open.
    whole : bool
        Whether it counts things that are not cut: below 100 they are told one by one, and no digit below 1 ever is.
    beside : sequence of float
        As for `place_of`.
    """
    if value and low == value and high is None:
        least = told_at_least(value, whole=whole)
        return Told(least, least, None)
    place = place_of(value, low, high, beside)
    if place is None:
        alone = told_alone(value, whole=whole)
        return Told(alone, None if low is None else alone, None if high is None else alone)
    if whole:
        place = 0 if abs(value) < _FEW else max(place, 0)
    return Told(
        _text(value, place, ROUND_HALF_EVEN),
        None if low is None else _text(low, place, ROUND_FLOOR),
        None if high is None else _text(high, place, ROUND_CEILING),
    )


def told_at(value: float, place: int) -> str:
    """A figure rounded to a place, for marks that stand beside one with an interval."""
    return _text(value, place, ROUND_HALF_EVEN)


def told_at_least(value: float, *, whole: bool = False) -> str:
    """A figure that may be larger, rounded down to two digits; what is counted is whole below 100."""
    if value == 0:
        return "0"
    place = _first_digit(value) - 1
    if whole:
        place = 0 if abs(value) < _FEW else max(place, 0)
    return _text(value, place, ROUND_FLOOR)


def told_alone(value: float, *, whole: bool = False) -> str:
    """A figure without an interval: three digits, whole from 100 up; no zeros behind the decimal mark."""
    if value == 0:
        return "0"
    place = 0 if whole else min(0, _first_digit(value) - 2)
    text = _text(value, place, ROUND_HALF_EVEN)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _first_digit(value: float) -> int:
    return math.floor(math.log10(abs(value)))


def _text(value: float, place: int, way: str) -> str:
    if value == 0:
        return "0"
    own = min(place, _first_digit(value))
    rounded = Decimal(str(value)).quantize(Decimal(1).scaleb(own), rounding=way)
    return f"{rounded:,f}"
