"""What is told about a file or a row although it was accepted."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ROW_NOTES", "FileWarning", "counted"]


@dataclass(frozen=True, slots=True)
class FileWarning:
    """A code and its sentence; `row` is None when it concerns the whole file."""

    code: str
    text: str
    row: int | None = None


def counted(count: int, one: str, several: str | None = None) -> str:
    """A number with its noun: 1 row, 3 rows."""
    return f"{count} {one if count == 1 else several or one + 's'}"


ROW_NOTES: dict[str, str] = {
    "dot_decimal": "a decimal point in a column of decimal commas; read as a decimal mark",
    "comma_decimal": "a decimal comma in a column of decimal points; read as a decimal mark",
    "two_digit_year": "the year has two digits; read as 20..",
    "rep_range": "reps are a range; the middle is used, with both ends as bounds",
    "zero_load": "the load is 0; read as a bar or implement of no weight",
    "load_on_body_weight": "a load stands beside a movement that is usually done without one; kept",
    "sets_taken_as_one": "there is no number of sets; the amount is taken once",
    "converted": "pounds were converted to kilograms",
    "year_filled": "the year was filled in from the rows around it",
}
