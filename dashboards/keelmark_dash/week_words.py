"""One week's figure in words: amount, interval and usual range, each with as many digits as the interval leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from keelmark.contracts.channels import Channel
from keelmark_dash.words import amount_parts, digits_of, interval, usual_range

__all__ = ["WeekWords", "week_words"]

_DAYS = "days that are not fully known leave it open upwards"
_LAW = "reps beyond the end of its law count as one at that end, and leave it open upwards"


@dataclass(frozen=True, slots=True)
class WeekWords:
    """`5 600`, `kN rep`, `between 4 200 and 7 200 kN rep`, `3 200 to 5 500`."""

    figure: str
    unit: str
    interval: str
    usual: str

    @property
    def amount(self) -> str:
        """Figure and unit."""
        return f"{self.figure} {self.unit}".strip()


def week_words(row: dict[str, Any], channel: Channel) -> WeekWords:
    """Words for one row of weekly figures with its marks."""
    value, ends, marks = row["value"], (row["low"], row["high"]), (row["lower"], row["upper"])
    if value is None and row.get("on_record") is not None:
        return _on_record(row, channel)
    place = None if value is None else digits_of(value, *ends, marks, channel.unit)
    figure, unit = amount_parts(value, channel.unit, *ends, place=place)
    return WeekWords(
        figure,
        unit,
        interval(*ends, channel.unit, value=value, why_open=_why_open(channel, row.get("known_days", 7))),
        usual_range(*marks, channel.unit, name_unit=False, place=place),
    )


def _on_record(row: dict[str, Any], channel: Channel) -> WeekWords:
    """Words for a week of which too few days are known for a figure: what is on record, and why it is no more."""
    figure, unit = amount_parts(row["on_record"], channel.unit)
    reason = row.get("value_gate") or "too few days are known"
    usual = usual_range(row["lower"], row["upper"], channel.unit, name_unit=False)
    return WeekWords(f"{figure} or more", unit, f"on record so far; no figure is given: {reason}", usual)


def _why_open(channel: Channel, known_days: int) -> str:
    if channel.key != "lumbar_fatigue":
        return _DAYS
    return _LAW if known_days == 7 else f"{_LAW}, as do days that are not fully known"
