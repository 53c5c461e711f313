"""Figures, days and work written out for a reader."""

from __future__ import annotations

import math
from datetime import date

from keelmark.contracts.channels import Channel
from keelmark.contracts.rounding import told_at

__all__ = [
    "COUNTED",
    "amount",
    "amount_of",
    "channel_amount",
    "channel_words",
    "day_words",
    "figure",
    "list_words",
    "week_words",
]

_PLURALS = {
    "contact": "contacts",
    "rep": "reps",
    "cycle": "cycles",
    "strike": "strikes",
    "capacity": "capacities",
    "index": "index points",
}
COUNTED = frozenset({"contact", "rep", "cycle", "strike"})
"""Units of which no digit below 1 is told."""
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def figure(value: float, unit: str = "", place: int | None = None) -> str:
    """A figure as precise as it deserves: whole where things are counted, else three significant digits.

    With a `place` it is told down to that power of ten instead, as `place_of` gives it for a figure with an interval.

    >>> figure(41234.0, "N m s"), figure(0.873), figure(59.6, "rep")
    ('41 200', '0.873', '60')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else "without end"
    if place is not None:
        return told_at(value, max(place, 0) if unit in COUNTED else place).replace(",", "\u202f")
    places = 2 - math.floor(math.log10(abs(value)))
    if unit in COUNTED:
        places = min(places, 0) if abs(value) >= 1000 else 0
    text = f"{round(value, places):,.{max(places, 0)}f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace(",", "\u202f")


def amount(value: float, unit: str, place: int | None = None) -> str:
    """A figure with its unit: `412 contacts`, `41 200 N m s`."""
    return amount_of(figure(value, unit, place), unit)


def amount_of(text: str, unit: str) -> str:
    """A figure that is written out already, with its unit."""
    return f"{text} {unit if text == '1' else _PLURALS.get(unit, unit)}".rstrip()


def channel_words(channel: Channel) -> str:
    """The channel inside a sentence: `jump contacts`, `vertical pull reps`, `tonnage`."""
    label = channel.label[0].lower() + channel.label[1:]
    return f"{label} reps" if channel.unit == "rep" else label


def channel_amount(value: float, channel: Channel, place: int | None = None) -> str:
    """A figure, with its unit unless the channel's words already say it: `412`, `41 200 N m s`."""
    said = channel.unit in channel_words(channel).split()[-1]
    return figure(value, channel.unit, place) if said else amount(value, channel.unit, place)


def week_words(monday: date) -> str:
    """`the week of 2 March`."""
    return f"the week of {monday.day} {_MONTHS[monday.month - 1]}"


def day_words(day: date) -> str:
    """`Tue 3 Mar`."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1][:3]}"


def list_words(words: list[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
