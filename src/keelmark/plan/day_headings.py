"""The line above a session: the name of a day, with a date and a time where a coach gives them, in five languages."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from keelmark.catalogue import fold

__all__ = ["DAY_NAMES", "Heading", "heading_of", "is_rest", "meant_for_a_day", "monday_of", "names_week", "week_of"]

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
ALIKE = 0.81
"""Share of letters in common, in order, from which a word is taken for the misspelt name of a day (judgement)."""
LEAST_LETTERS = 5
"""Shorter names of days are too much like other words."""

_FIRST_WORD = re.compile(r"\s*[#*>\s]*([^\W\d_]+(?:[-‑ ][fF]eira)?)\.?(?=[\s,:–—()*-]|$)", re.UNICODE)
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DAY_MONTH = re.compile(r"(\d{1,2})\s*[./]\s*(\d{1,2})(?:\s*[./]\s*(\d{4}|\d{2})(?![\d.:h]))?(?![\d:])")
_CLOCK = re.compile(
    r"(\d{1,2})(?::(\d{2})|\s*h\s*(\d{2})?|\.(\d{2})(?=\s*[uU]hr))|(\d{1,2})(?=\s*(?:am|pm|uhr)\b)", re.I
)
_NUMBER = re.compile(r"\d{1,4}")
_WORD = re.compile(r"[^\W\d_]+", re.UNICODE)
_ISO_WEEK = re.compile(r"\b(\d{4})-?W(\d{1,2})\b")
_ENDS_HEADING = ":–—-|"


@dataclass(frozen=True, slots=True)
class Heading:
    """A line that names a day.

    Parameters
    ----------
    day : int
        0 Monday to 6 Sunday.
    date : date, optional
        Where one is written and its year is known.
    minute : int, optional
        Minutes after midnight.
    rest : int
        Character at which the session's text begins on the same line.
    """

    day: int
    date: dt.date | None
    minute: int | None
    rest: int


@cache
def _words() -> dict[str, frozenset[str]]:
    given = tomllib.loads((files("keelmark.plan.words") / "days.toml").read_text(encoding="utf-8"))
    return {kind: frozenset(map(fold, words)) for kind, words in given["other"].items()}


@cache
def _numbers(kind: str) -> dict[str, int]:
    given = tomllib.loads((files("keelmark.plan.words") / "days.toml").read_text(encoding="utf-8"))
    return {fold(word): place for names in given[kind].values() for place, words in enumerate(names) for word in words}


def heading_of(line: str, near: dt.date | None) -> Heading | None:
    """The heading that a line is; None for a line of work. `near` is a day near the week, for dates without a year."""
    first = _FIRST_WORD.match(line)
    day = _numbers("days").get(fold(first.group(1))) if first else None
    return None if first is None or day is None else _heading(line, near, day, first.end())


def meant_for_a_day(line: str, near: dt.date | None) -> str:
    """What to say of a line that would be a heading if its first word were spelt like a day; nothing of any other."""
    first = _FIRST_WORD.match(line)
    word = fold(first.group(1)) if first else ""
    if first is None or len(word) < LEAST_LETTERS or word in _numbers("days"):
        return ""
    names = [name for name in _numbers("days") if len(name) >= LEAST_LETTERS]
    like = get_close_matches(word, names, n=len(names), cutoff=ALIKE)
    if not like or _heading(line, near, 0, first.end()) is None:
        return ""
    days = " or ".join(DAY_NAMES[day] for day in sorted({_numbers("days")[name] for name in like}))
    return f'"{first.group(1)}" is not read as a day. Write {days} if that is meant.'


def is_rest(text: str) -> bool:
    """Whether a day's text says no more than that it is a day of rest."""
    return fold(text) in _words()["rest"]


def _heading(line: str, near: dt.date | None, day: int, at: int) -> Heading | None:
    """A heading whose day is known and whose rest begins at a place."""
    date: dt.date | None = None
    minute: int | None = None
    stop = len(line.rstrip("\r\n"))
    while at < stop:
        sign = line[at]
        if sign in _ENDS_HEADING:
            return Heading(day, date, minute, at + 1)
        if sign in " \t,.*()#":
            at += 1
            continue
        clock, dated = _CLOCK.match(line, at), _date(line, at, near)
        if dated is not None:
            date, at = dated
        elif clock is not None:
            minute, at = _minute(clock, line), clock.end()
        elif (word := _WORD.match(line, at)) and fold(word.group()) in (_words()["of"] | _words()["clock"]):
            at = word.end()
        else:
            return None
    return Heading(day, date, minute, stop)


def _minute(clock: re.Match[str], line: str) -> int | None:
    hour = int(clock.group(1) or clock.group(5))
    minutes = int(clock.group(2) or clock.group(3) or clock.group(4) or 0)
    after = line[clock.end() : clock.end() + 4].strip().lower()
    if after.startswith("pm") and hour < 12:
        hour += 12
    if after.startswith("am") and hour == 12:
        hour = 0
    return hour * 60 + minutes if hour < 24 and minutes < 60 else None


def _date(line: str, at: int, near: dt.date | None) -> tuple[dt.date | None, int] | None:
    """A date that begins at a place, and where it ends; the date is None where its year is not known."""
    iso = _ISO.match(line, at)
    if iso is not None:
        return _day(int(iso.group(1)), int(iso.group(2)), int(iso.group(3))), iso.end()
    short = _DAY_MONTH.match(line, at)
    if short is not None and not line[short.end() :].lstrip().lower().startswith("uhr"):
        year = int(short.group(3)) if short.group(3) else None
        year = year + 2000 if year is not None and year < 100 else year
        return _near(int(short.group(1)), int(short.group(2)), year, near), short.end()
    return _worded_date(line, at, near)


def _worded_date(line: str, at: int, near: dt.date | None) -> tuple[dt.date | None, int] | None:
    """`9 March`, `9. März 2026`, `9 de marzo`, `March 9`."""
    day = month = year = None
    end = at
    for token in re.finditer(r"\d{1,4}|[^\W\d_]+|\S", line[at:]):
        word = fold(token.group())
        if word.isdigit() and len(word) <= 2 and day is None:
            if re.match(r"\s*(:|h\b|am\b|pm\b|uhr\b)", line[at + token.end() :], re.I):
                break
            day = int(word)
        elif word.isdigit() and len(word) == 4 and month is not None:
            year = int(word)
        elif word in _numbers("months") and month is None:
            month = _numbers("months")[word] + 1
        elif not (word in _words()["of"] or token.group() in ".,"):
            break
        end = at + token.end()
    if day is None or month is None:
        return None
    return _near(day, month, year, near), end


def _near(day: int, month: int, year: int | None, near: dt.date | None) -> dt.date | None:
    if year is not None:
        return _day(year, month, day)
    if near is None:
        return None
    dates = [found for at in (-1, 0, 1) if (found := _day(near.year + at, month, day))]
    return min(dates, key=lambda date: abs((date - near).days), default=None)


def _day(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def names_week(text: str) -> bool:
    """Whether a line says which week it is, such as `2026-W11` or one with the word week in it."""
    return bool(_ISO_WEEK.search(text)) or any(fold(word) in _words()["week"] for word in _WORD.findall(text))


def week_of(line: str, near: dt.date | None) -> dt.date | None:
    """The Monday that a line above the first day names: `2026-W11`, `Week of 9 March 2026`."""
    iso = _ISO_WEEK.search(line)
    if iso is not None:
        try:
            return dt.date.fromisocalendar(int(iso.group(1)), int(iso.group(2)), 1)
        except ValueError:
            return None
    if not names_week(line):
        return None
    for number in _NUMBER.finditer(line):
        dated = _date(line, number.start(), near)
        if dated is not None and dated[0] is not None:
            return dated[0] - dt.timedelta(days=dated[0].weekday())
    return None


def monday_of(heading: Heading, monday: dt.date | None) -> tuple[dt.date | None, str]:
    """The week's Monday after a heading, and what does not fit."""
    if heading.date is None:
        return monday, ""
    date = heading.date
    if date.weekday() != heading.day:
        said = f"{date.day}.{date.month}.{date.year} is a {DAY_NAMES[date.weekday()]}"
        return monday, f"{said}, not a {DAY_NAMES[heading.day]}; the name of the day counts."
    found = date - dt.timedelta(days=date.weekday())
    if monday is not None and found != monday:
        return monday, f"This date lies in another week than the first one; the week of {monday} counts."
    return found, ""
