"""Figures, days and weeks as a paper says them."""

from __future__ import annotations

from datetime import date, timedelta

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.rounding import told, told_alone, told_at

__all__ = ["between", "channel_label", "days_of", "in_full", "joined", "percent", "short_day", "usual", "week_named"]

_WHOLE = frozenset({"contact", "rep", "cycle", "strike"})
_MANY = {"contact": "contacts", "rep": "reps", "cycle": "cycles", "strike": "strikes", "capacity": "capacities"}


def between(value: float | None, low: float | None, high: float | None, unit: str) -> str:
    """A figure and its bounds: `412 (380 to 450)`, `412 (at least 380)`, or the figure alone where it is exact."""
    if value is None:
        return "not known"
    figure = told(value, low, high, whole=unit in _WHOLE)
    if figure.high is None and figure.low is not None:
        return f"{_thin(figure.value)} (at least {_thin(figure.low)})"
    if figure.low is None or figure.low == figure.high:
        return _thin(figure.value)
    return _thin(f"{figure.value} ({figure.low} to {figure.high})")


def usual(lower: float | None, upper: float | None, unit: str, place: int | None = None) -> str:
    """A usual range: `120 to 300`, or that there is none yet."""
    if upper is None:
        return "none yet"

    def shown(mark: float) -> str:
        return told_alone(mark, whole=unit in _WHOLE) if place is None else told_at(mark, place)

    return _thin(f"up to {shown(upper)}" if lower is None else f"{shown(lower)} to {shown(upper)}")


def channel_label(key: str) -> str:
    """A kind of work with its unit: `Jump contacts`, `Tonnage, kg`."""
    channel = CHANNEL_BY_KEY[key]
    unit = _MANY.get(channel.unit, channel.unit)
    return channel.label if unit in channel.label.lower() else f"{channel.label}, {unit}"


def percent(share: float) -> str:
    """A change as whole percent with its sign."""
    return f"{share * 100:+.0f} %".replace("-", "−")


def joined(words: list[str]) -> str:
    """`Ada, Bo and Cleo`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def in_full(day: date) -> str:
    """`3 March 2026`."""
    return f"{day.day} {day:%B %Y}"


def short_day(day: date) -> str:
    """`3 Mar`."""
    return f"{day.day} {day:%b}"


def days_of(monday: date) -> str:
    """`2 to 8 March 2026`."""
    last = monday + timedelta(days=6)
    if monday.year != last.year:
        return f"{in_full(monday)} to {in_full(last)}"
    start = f"{monday.day}" if monday.month == last.month else f"{monday.day} {monday:%B}"
    return f"{start} to {in_full(last)}"


def week_named(monday: date) -> str:
    """`week 10, 2 to 8 March 2026`."""
    return f"week {monday.isocalendar().week}, {days_of(monday)}"


def _thin(text: str) -> str:
    return text.replace(",", "\u00a0")
