"""What a squad may choose about its load figures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from keelmark.contracts.errors import SettingError

__all__ = ["LoadSettings"]


@dataclass(frozen=True, slots=True)
class LoadSettings:
    """Choices behind the weekly figures.

    Parameters
    ----------
    quiet_days : "unlogged" or "rest"
        What a day without a record means. With "rest", such a day counts as rest if it lies in an ISO week in which
        the athlete has a record, not before the athlete's first record and not after `until`.
    week_day : int
        ISO weekday, 1 for Monday to 7 for Sunday, on which rolling and weighted figures of a week are taken.
    standard_deviation : "sample" or "population"
        Which standard deviation monotony divides by.
    until : date, optional
        Last day that can be known; the last day on record if not given.
    """

    quiet_days: Literal["unlogged", "rest"] = "unlogged"
    week_day: int = 7
    standard_deviation: Literal["sample", "population"] = "sample"
    until: date | None = None

    def __post_init__(self) -> None:
        if self.quiet_days not in ("unlogged", "rest"):
            raise SettingError(
                f"{self.quiet_days!r} is not a meaning of a quiet day",
                where="setting quiet_days",
                wanted="unlogged or rest",
                remedy="use unlogged unless every session of the squad is logged",
            )
        if self.week_day not in range(1, 8):
            raise SettingError(
                f"{self.week_day!r} is not a weekday",
                where="setting week_day",
                wanted="a whole number from 1 (Monday) to 7 (Sunday)",
                remedy="use 7 to close the week on Sunday",
            )
        if self.standard_deviation not in ("sample", "population"):
            raise SettingError(
                f"{self.standard_deviation!r} is not a standard deviation",
                where="setting standard_deviation",
                wanted="sample or population",
                remedy="use sample to divide by one less than the number of days",
            )
