"""Figures, weeks and places written out in plain words."""

from __future__ import annotations

from datetime import date, timedelta

from keelmark.contracts.channels import CHANNEL_BY_KEY, Channel
from keelmark.contracts.display import shown_unit, shown_value
from keelmark.contracts.rounding import Told, place_of, told, told_alone, told_at
from keelmark.contracts.words import PLACE_WORDS

__all__ = [
    "amount",
    "amount_parts",
    "cell_words",
    "channel_of",
    "count",
    "day_words",
    "digits_of",
    "interval",
    "number",
    "number_within",
    "percent",
    "span",
    "unit_beside",
    "usual_range",
    "week_dates",
    "week_monday",
    "week_title",
]

_MANY = {
    "contact": "contacts",
    "rep": "reps",
    "cycle": "cycles",
    "strike": "strikes",
    "capacity": "capacities",
    "index": "index points",
}
_ONE = {"index": "index point"}
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_WHOLE = frozenset({"contact", "rep", "cycle", "strike", "day", "week"})
THIN = "\u202f"


def channel_of(key: str) -> Channel:
    """The channel of a key; a key without a definition is shown under its own name, without a unit."""
    found = CHANNEL_BY_KEY.get(key)
    return found or Channel(key, key.replace("_", " ").capitalize(), "", "session", "not described")


def number(value: float, unit: str = "") -> str:
    """A figure for reading: three significant digits, whole from 100 up and where the unit is counted.

    Thousands are set apart by a thin space.
    """
    return _thin(told_alone(shown_value(value, unit), whole=unit in _WHOLE))


def number_within(value: float, low: float | None, high: float | None, unit: str = "") -> str:
    """A figure with as many digits as its interval leaves."""
    return _thin(_told(value, low, high, unit).value)


def span(value: float, low: float, high: float | None, unit: str = "") -> str:
    """The bounds of a figure by the same rule: `300 to 530`, `at least 300`; the figure itself where it is exact."""
    bounds = _told(value, low, high, unit)
    if bounds.high is None:
        return f"at least {_thin(bounds.low or '0')}"
    return _thin(bounds.value if low == high else f"{bounds.low} to {bounds.high}")


def amount(value: float | None, unit: str, low: float | None = None, high: float | None = None) -> str:
    """A figure with its unit and as many digits as its interval leaves: `412 contacts`, `1 rep`, `18 kN rep`."""
    if value is None:
        return "not known"
    return _with_unit(number_within(value, low, high, unit), unit, one=value == 1)


def amount_parts(
    value: float | None, unit: str, low: float | None = None, high: float | None = None, *, place: int | None = None
) -> tuple[str, str]:
    """The same, figure and unit apart, or with the digits down to a place."""
    if value is None:
        return "not known", ""
    figure = number_within(value, low, high, unit) if place is None else _at(value, unit, place)
    return figure, _with_unit("", unit, one=value == 1).strip()


def unit_beside(label: str, unit: str) -> str:
    """The unit to stand beside the name of a kind of work; empty where the name holds it already."""
    return "" if unit in _MANY and unit in label.lower() else _MANY.get(unit, shown_unit(unit))


def count(how_many: int, one: str, many: str | None = None) -> str:
    """`1 day`, `3 days`."""
    return f"{number(how_many)} {one if how_many == 1 else many or one + 's'}"


def interval(
    low: float | None,
    high: float | None,
    unit: str,
    *,
    value: float | None = None,
    why_open: str = "days that are not fully known leave it open upwards",
) -> str:
    """What is known of a figure: exact, between two bounds, or at least one and why no more is known."""
    if low is None:
        return "nothing is known"
    bounds = _told(low if value is None else value, low, high, unit)
    least, most = (None if bound is None else _thin(bound) for bound in (bounds.low, bounds.high))
    if most is None:
        return f"at least {_with_unit(least or '0', unit)}; {why_open}"
    if least == most:
        return "no spread: every amount was written down"
    return f"between {least} and {_with_unit(most, unit)}"


def usual_range(
    lower: float | None, upper: float | None, unit: str, *, name_unit: bool = True, place: int | None = None
) -> str:
    """`120 to 300 contacts`, `up to 300 contacts`, or that there is none yet; `place` is that of the figure beside."""
    if upper is None:
        return "no usual range yet"
    most, least = (None if mark is None else _at(mark, unit, place) for mark in (upper, lower))
    text = f"up to {most}" if least is None else f"{least} to {most}"
    return _with_unit(text, unit) if name_unit else text


def percent(share: float | None) -> str:
    """A share as whole percent with its sign: `+38 %`."""
    if share is None:
        return "not known"
    return f"{share * 100:+.0f}{THIN}%".replace("-", "−")


def week_monday(week: str) -> date:
    """Monday of an ISO week such as `2026-W10`."""
    year, number_ = week.split("-W")
    return date.fromisocalendar(int(year), int(number_), 1)


def week_title(week: str) -> str:
    """`Week 10`."""
    return f"Week {int(week.split('-W')[1])}"


def week_dates(week: str) -> str:
    """`2 to 8 March 2026`."""
    first = week_monday(week)
    last = first + timedelta(days=6)
    start = f"{first.day}"
    if first.month != last.month:
        start += f" {_MONTHS[first.month - 1]}"
    if first.year != last.year:
        start += f" {first.year}"
    return f"{start} to {last.day} {_MONTHS[last.month - 1]} {last.year}"


def day_words(day: date) -> str:
    """`Tuesday 3 March`."""
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"


def cell_words(
    name: str,
    week: str,
    value: float | None,
    place: str,
    marks: tuple[float | None, float | None],
    unit: str,
    known_days: int | None,
    ends: tuple[float | None, float | None] = (None, None),
) -> str:
    """The accessible name of one gauge: `Ada, week 10: 412 contacts, above the usual range 120 to 300`.

    `ends` are the bounds of the value, which decide how many digits are told.
    """
    digits = None if value is None else digits_of(value, *ends, marks, unit)
    figure = " ".join(part for part in amount_parts(value, unit, *ends, place=digits) if part)
    head = f"{name}, {week_title(week).lower()}: {figure}"
    if value is None:
        return head + "; no day of this week is known"
    lower, upper = marks
    if place == "not_known" or upper is None:
        said = ", no usual range to compare with yet"
    else:
        said = f", {PLACE_WORDS[place]} {usual_range(lower, upper, unit, name_unit=False, place=digits)}"
    if known_days is not None and known_days < 7:
        said += f", {known_days} of 7 days known"
    return head + said


def digits_of(
    value: float, low: float | None, high: float | None, marks: tuple[float | None, ...], unit: str
) -> int | None:
    """The place down to which a figure beside its marks is told, in the unit in which it is shown."""
    known = [shown_value(mark, unit) for mark in marks if mark is not None]
    return place_of(shown_value(value, unit), *(_shown(end, unit) for end in (low, high)), known)


def _shown(value: float | None, unit: str) -> float | None:
    return None if value is None else shown_value(value, unit)


def _told(value: float, low: float | None, high: float | None, unit: str) -> Told:
    return told(shown_value(value, unit), _shown(low, unit), _shown(high, unit), whole=unit in _WHOLE)


def _at(value: float, unit: str, place: int | None) -> str:
    if place is None:
        return number(value, unit)
    return _thin(told_at(shown_value(value, unit), max(place, 0) if unit in _WHOLE else place))


def _thin(text: str) -> str:
    return text.replace(",", THIN)


def _with_unit(text: str, unit: str, *, one: bool = False) -> str:
    if not unit:
        return text
    word = _ONE.get(unit, shown_unit(unit)) if one else _MANY.get(unit, shown_unit(unit))
    return f"{text} {word}"
