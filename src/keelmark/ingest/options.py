"""How a file is to be read, where the file itself does not say."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from keelmark.contracts.errors import SettingError

__all__ = ["LogOptions"]


@dataclass(frozen=True, slots=True)
class LogOptions:
    """Settings of one reading; every one of them has a stated default.

    Units apply only where neither the column's name nor the cell says one; such a column is told as a warning.

    Parameters
    ----------
    load_unit, distance_unit, duration_unit : str
        Unit of bare numbers: kg or lb; m, km, mi, yd or ft; s, min or h.
    height_unit : str or None
        cm or in; None leaves a bare height unknown.
    day_first : bool or None
        Order of day and month in dates such as 03/04/2026; None lets the file's other dates decide.
    decimal : str or None
        `comma` or `point`; None lets each column decide.
    encoding, delimiter, sheet : str or None
        Of the file; None finds out.
    athlete : str or None
        Whose log it is, for a log that has no column for athletes.
    earliest, today : date
        Dates outside are quarantined; `today` None is the day of reading.
    max_load_kg, max_reps : float
        Above these a figure is quarantined as a slip of the pen.
    accept_repairs : bool
        Convert pounds written in a kilogram column and fill in a missing year, instead of quarantining.
    rep_ranges : str
        `quarantine` rows that give reps as 8-10, or take the `midpoint` with both ends as bounds.
    identical_rows : str
        A row that says the same as an earlier one is a `duplicate`, or a `separate` set.
    fill_down_dates : bool
        An empty date repeats the date above it.
    max_bytes, max_rows, max_columns : int
        Larger files are refused.
    """

    load_unit: Literal["kg", "lb"] = "kg"
    distance_unit: Literal["m", "km", "mi", "yd", "ft"] = "m"
    duration_unit: Literal["s", "min", "h"] = "s"
    height_unit: Literal["cm", "in"] | None = None
    day_first: bool | None = None
    decimal: Literal["comma", "point"] | None = None
    encoding: str | None = None
    delimiter: str | None = None
    sheet: str | None = None
    athlete: str | None = None
    earliest: dt.date = dt.date(2000, 1, 1)
    today: dt.date | None = None
    max_load_kg: float = 500.0
    max_reps: float = 1000.0
    accept_repairs: bool = False
    rep_ranges: Literal["quarantine", "midpoint"] = "quarantine"
    identical_rows: Literal["duplicate", "separate"] = "duplicate"
    fill_down_dates: bool = False
    max_bytes: int = 200 * 1024 * 1024
    max_rows: int = 2_000_000
    max_columns: int = 300

    def __post_init__(self) -> None:
        if self.delimiter is not None and len(self.delimiter) != 1:
            raise SettingError(
                f"delimiter is {self.delimiter!r}",
                where="option delimiter",
                wanted="one character, such as ; or ,",
                remedy="give one character, or leave the option out",
            )
        if self.latest < self.earliest:
            raise SettingError(
                f"today is {self.latest} and earliest is {self.earliest}",
                where="options today and earliest",
                wanted="earliest on or before today",
                remedy="give an earlier date for earliest",
            )

    @property
    def latest(self) -> dt.date:
        """The last day that counts as plausible."""
        return self.today or dt.date.today()
