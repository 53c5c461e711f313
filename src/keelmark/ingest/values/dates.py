"""Calendar days, in the many ways people write them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from dateutil.parser import ParserError, parser, parserinfo

from keelmark.ingest.cells import Cell
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.words import date_words, plain

__all__ = ["DateRule", "day_first_evidence", "in_sequence", "parse_date", "slash_parts", "with_year"]

_CLOCK = r"(?:[T ,]+\d{1,2}(?::\d{2}){1,2}(?:\.\d+)?\s*(?:[ap]m|Z|[-+]\d{2}:?\d{2})?)?"
_YEAR_FIRST = re.compile(rf"(\d{{4}})([-/.])(\d{{1,2}})\2(\d{{1,2}}){_CLOCK}", re.IGNORECASE)
_COMPACT = re.compile(r"((?:19|20)\d{2})(\d{2})(\d{2})")
_NUMERIC = re.compile(rf"(\d{{1,2}})\s?([./-])\s?(\d{{1,2}})\s?\2\s?(\d{{4}}|\d{{2}}){_CLOCK}", re.IGNORECASE)
_NO_YEAR = re.compile(r"(\d{1,2})([./-])(\d{1,2})\.?")
_SERIAL = re.compile(r"\d{5}(?:\.\d+)?")
_ORDINAL = re.compile(r"(?<=\d)(?:st|nd|rd|th|º|°|er|\.)(?=[\s,]|$)")
EPOCH_1900 = dt.date(1899, 12, 30)
EPOCH_1904 = dt.date(1904, 1, 1)
CLEAR_SHARE = 0.9


@dataclass(frozen=True, slots=True)
class DateRule:
    """How the dates of one file are read; `day_first` None where nothing decides."""

    day_first: bool | None
    epoch_1904: bool = False
    serials_as_text: bool = False


@cache
def _reader() -> parser:
    """A dateutil parser that knows the month and weekday names of five languages."""

    class Words(parserinfo):
        MONTHS = [tuple(names) for names in date_words()["months"]]  # noqa: RUF012  (dateutil reads class attributes)
        WEEKDAYS = [tuple(names) for names in date_words()["weekdays"]]  # noqa: RUF012
        JUMP = [" ", ".", ",", ";", "-", "/", "'", *date_words()["joining"]]  # noqa: RUF012

    return parser(Words())


@cache
def _months() -> frozenset[str]:
    return frozenset(name for names in date_words()["months"] for name in names)


@cache
def _weekdays() -> frozenset[str]:
    return frozenset(name for names in date_words()["weekdays"] for name in names)


def slash_parts(text: str) -> tuple[int, int, int] | None:
    """First, second and year of a date whose order is open, such as 03/04/2026; points always mean day first."""
    found = _NUMERIC.fullmatch(_without_weekday(text))
    if found is None or found[2] == ".":
        return None
    return int(found[1]), int(found[3]), _full_year(found[4])


def day_first_evidence(texts: Iterable[str]) -> bool | None:
    """What the dates that can only be read one way say, when nine in ten of them agree."""
    day_first = month_first = 0
    for text in texts:
        parts = slash_parts(text)
        if parts is None:
            continue
        day_first += parts[0] > 12 >= parts[1]
        month_first += parts[1] > 12 >= parts[0]
    clear = day_first + month_first
    if not clear:
        return None
    if day_first >= CLEAR_SHARE * clear:
        return True
    return False if month_first >= CLEAR_SHARE * clear else None


def in_sequence(days: Sequence[dt.date]) -> float:
    """The share of steps from one row to the next that do not go back in time; 1 for fewer than two days."""
    steps = [later >= earlier for earlier, later in pairwise(days)]
    return sum(steps) / len(steps) if steps else 1.0


def parse_date(cell: Cell, rule: DateRule) -> Parsed[dt.date]:
    """One calendar day.

    Returns
    -------
    Parsed
        Reasons `bad_date`, `ambiguous_date` (day and month could change places) or `date_without_year`; note
        `two_digit_year` or `serial_date`.
    """
    if isinstance(cell, dt.datetime):
        return Parsed(cell.date())
    if isinstance(cell, dt.date):
        return Parsed(cell)
    if isinstance(cell, (int, float)) and not isinstance(cell, bool):
        return _serial(float(cell), rule)
    if not isinstance(cell, str):
        return Parsed(reasons=("bad_date",))
    return _from_text(" ".join(cell.split()), rule)


def with_year(text: str, year: int, rule: DateRule) -> dt.date | None:
    """The day that a text without a year names in the year given."""
    text = _without_weekday(" ".join(text.split()))
    if found := _NO_YEAR.fullmatch(text):
        return _numeric(int(found[1]), int(found[3]), year, found[2], rule).value
    return _by_words(f"{text} {year}").value


def _from_text(text: str, rule: DateRule) -> Parsed[dt.date]:
    text = _without_weekday(text)
    if found := _YEAR_FIRST.fullmatch(text):
        return _day(int(found[1]), int(found[3]), int(found[4]))
    if found := _COMPACT.fullmatch(text):
        return _day(int(found[1]), int(found[2]), int(found[3]))
    if found := _NUMERIC.fullmatch(text):
        read = _numeric(int(found[1]), int(found[3]), _full_year(found[4]), found[2], rule)
        return Parsed(read.value, read.reasons, ("two_digit_year",)) if len(found[4]) == 2 else read
    if rule.serials_as_text and _SERIAL.fullmatch(text):
        return _serial(float(text), rule)
    if found := _NO_YEAR.fullmatch(text):
        possible = _numeric(int(found[1]), int(found[3]), 2024, found[2], DateRule(rule.day_first is not False))
        return Parsed(reasons=("date_without_year",)) if possible.value else Parsed(reasons=("bad_date",))
    return _by_words(text)


def _numeric(first: int, second: int, year: int, mark: str, rule: DateRule) -> Parsed[dt.date]:
    if mark == "." or rule.day_first:
        return _day(year, second, first)
    if rule.day_first is False:
        return _day(year, first, second)
    if first > 12 or first == second:
        return _day(year, second, first)
    if second > 12:
        return _day(year, first, second)
    return Parsed(reasons=("ambiguous_date",))


def _day(year: int, month: int, day: int) -> Parsed[dt.date]:
    try:
        return Parsed(dt.date(year, month, day))
    except ValueError:
        return Parsed(reasons=("bad_date",))


def _serial(number: float, rule: DateRule) -> Parsed[dt.date]:
    epoch = EPOCH_1904 if rule.epoch_1904 else EPOCH_1900
    try:
        return Parsed(epoch + dt.timedelta(days=int(number)), notes=("serial_date",))
    except (ValueError, OverflowError):
        return Parsed(reasons=("bad_date",))


def _by_words(text: str) -> Parsed[dt.date]:
    """Dates with a month's name; dateutil reads them, once it is sure that day and month are both there."""
    bare = _ORDINAL.sub(" ", plain(text.replace(".", ". ")))
    words = re.findall(r"[a-z]+", bare.replace("feira", ""))
    numbers = re.findall(r"\d+", bare.partition(":")[0] if ":" in bare else bare)
    known = _months() | _weekdays() | set(date_words()["joining"]) | {"am", "pm"}
    months = [word for word in words if word in _months()]
    if not months or not numbers or not set(words) <= known:
        return Parsed(reasons=("bad_date",))
    try:
        first = _reader().parse(bare, dayfirst=True, default=dt.datetime(2000, 1, 1)).date()
        second = _reader().parse(bare, dayfirst=True, default=dt.datetime(2004, 2, 2)).date()
    except (ParserError, ValueError, OverflowError):
        return Parsed(reasons=("bad_date",))
    if first.day != second.day:
        return Parsed(reasons=("bad_date",))
    if first.year != second.year:
        return Parsed(reasons=("date_without_year",))
    return Parsed(first)


def _without_weekday(text: str) -> str:
    head, _, rest = text.strip().partition(" ")
    return rest.strip() if rest and plain(head.rstrip(".,")) in _weekdays() and rest[0].isdigit() else text.strip()


def _full_year(digits: str) -> int:
    return int(digits) + 2000 if len(digits) == 2 else int(digits)
