"""A week as a coach types it: whiteboard texts under the names of days, in any of five languages.

A day begins with a line that holds the day's name, with a date and a time where the coach gives them, and nothing else
before a colon or a dash: `Mon`, `Monday 9 March 18:30`, `Montag:`. All up to the next such line
is the session's whiteboard text.
"""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from keelmark.catalogue import fold

__all__ = ["DAY_NAMES", "PlannedSession", "Remark", "WeekText", "read_week", "with_texts"]

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

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
class Remark:
    """Something to say about the text of a week: line from 1, and words."""

    line: int
    words: str


@dataclass(frozen=True, slots=True)
class PlannedSession:
    """One session of a week.

    Parameters
    ----------
    key : str
        `mon`, and `mon-2` for a second session of the day.
    day : int
        0 Monday to 6 Sunday.
    minute : int, optional
        Minutes after midnight at which it begins, where the heading says so.
    text : str
        Whiteboard text.
    start, line : int
        First character of the text in the week's text; line of the heading, from 1.
    heading : str
        The heading as written.
    """

    key: str
    day: int
    minute: int | None
    text: str
    start: int
    line: int
    heading: str

    @property
    def name(self) -> str:
        """`Monday`, `Monday, second session`."""
        _, _, number = self.key.partition("-")
        ordinal = {"2": "second", "3": "third", "4": "fourth"}.get(number, f"{number}th") if number else ""
        return DAY_NAMES[self.day] + (f", {ordinal} session" if ordinal else "")

    @property
    def hour(self) -> float:
        """Hours from Monday 0:00; where no time is written, noon stands for it and only whole days count."""
        return 24.0 * self.day + (720 if self.minute is None else self.minute) / 60.0


@dataclass(frozen=True, slots=True)
class WeekText:
    """A week as read: its text, its sessions in order, its Monday where a date tells it, and remarks."""

    text: str
    sessions: tuple[PlannedSession, ...]
    monday: dt.date | None
    remarks: tuple[Remark, ...]

    def session(self, key: str) -> PlannedSession:
        """The session with a key."""
        return next(session for session in self.sessions if session.key == key)


@dataclass(frozen=True, slots=True)
class _Heading:
    day: int
    date: dt.date | None
    minute: int | None
    rest: int
    doubt: str = ""


def read_week(text: str, *, near: dt.date | None = None) -> WeekText:
    """Cut a week's text into its sessions.

    Parameters
    ----------
    text : str
        Headings with days, and under each the whiteboard text. Without any heading the whole text is one session on
        Monday, and a remark says so.
    near : date, optional
        A day near the week, for dates that are written without a year.

    Returns
    -------
    WeekText
        Sessions in the order of day, time and text. Days of rest have no session.
    """
    found: list[tuple[int, int, _Heading, str]] = []
    remarks: list[Remark] = []
    monday: dt.date | None = None
    place, before = 0, ""
    for number, line in enumerate(text.splitlines(keepends=True), start=1):
        heading = _heading(line, near)
        if heading is not None:
            found.append((number, place + heading.rest, heading, line[: heading.rest].strip()))
        elif not found:
            monday = monday or _week_of(line, near)
            before += line
        place += len(line)
    if not found:
        return _one_session(text, monday)
    if before.strip() and monday is None and not _names_week(before):
        remarks.append(Remark(1, "Text before the first day is not read as a session. Put a day's name above it."))
    starts_of_lines = _line_starts(text)
    ends = [starts_of_lines[number - 1] for number, _, _, _ in found[1:]] + [len(text)]
    sessions: list[PlannedSession] = []
    seen: dict[int, int] = {}
    for (number, start, heading, words), end in zip(found, ends, strict=True):
        monday, doubt = _monday_from(heading, monday)
        if doubt:
            remarks.append(Remark(number, doubt))
        body = text[start:end]
        lead = len(body) - len(body.lstrip())
        body = body.strip()
        if not body or fold(body) in _words()["rest"]:
            continue
        seen[heading.day] = seen.get(heading.day, 0) + 1
        key = DAY_NAMES[heading.day][:3].lower() + (f"-{seen[heading.day]}" if seen[heading.day] > 1 else "")
        sessions.append(PlannedSession(key, heading.day, heading.minute, body, start + lead, number, words))
    order = sorted(range(len(sessions)), key=lambda at: (sessions[at].day, sessions[at].hour, at))
    return WeekText(text, tuple(sessions[at] for at in order), monday, tuple(remarks))


def with_texts(week: WeekText, texts: dict[str, str]) -> str:
    """The week's text with the texts of some sessions, by key, in place of their own."""
    result = week.text
    for session in sorted(week.sessions, key=lambda one: one.start, reverse=True):
        if session.key in texts:
            result = result[: session.start] + texts[session.key] + result[session.start + len(session.text) :]
    return result


def _one_session(text: str, monday: dt.date | None) -> WeekText:
    body = text.strip()
    if not body:
        return WeekText(text, (), monday, ())
    session = PlannedSession("mon", 0, None, body, len(text) - len(text.lstrip()), 1, "")
    words = "No day is named, so all of it is taken as one session on Monday. Write a day's name above each session."
    return WeekText(text, (session,), monday, (Remark(1, words),))


def _line_starts(text: str) -> list[int]:
    starts, place = [], 0
    for line in text.splitlines(keepends=True):
        starts.append(place)
        place += len(line)
    return starts


@cache
def _words() -> dict[str, frozenset[str]]:
    given = tomllib.loads((files("keelmark.plan.words") / "days.toml").read_text(encoding="utf-8"))
    return {kind: frozenset(map(fold, words)) for kind, words in given["other"].items()}


@cache
def _numbers(kind: str) -> dict[str, int]:
    given = tomllib.loads((files("keelmark.plan.words") / "days.toml").read_text(encoding="utf-8"))
    return {fold(word): place for names in given[kind].values() for place, words in enumerate(names) for word in words}


def _heading(line: str, near: dt.date | None) -> _Heading | None:
    first = _FIRST_WORD.match(line)
    day = _numbers("days").get(fold(first.group(1))) if first else None
    if first is None or day is None:
        return None
    at, date, minute = first.end(), None, None
    stop = len(line.rstrip("\r\n"))
    while at < stop:
        sign = line[at]
        if sign in _ENDS_HEADING:
            return _Heading(day, date, minute, at + 1)
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
    return _Heading(day, date, minute, stop)


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


def _names_week(text: str) -> bool:
    return any(fold(word) in _words()["week"] for word in _WORD.findall(text))


def _week_of(line: str, near: dt.date | None) -> dt.date | None:
    """The Monday that a line above the first day names: `2026-W11`, `Week of 9 March 2026`."""
    iso = _ISO_WEEK.search(line)
    if iso is not None:
        try:
            return dt.date.fromisocalendar(int(iso.group(1)), int(iso.group(2)), 1)
        except ValueError:
            return None
    if not _names_week(line):
        return None
    for number in _NUMBER.finditer(line):
        dated = _date(line, number.start(), near)
        if dated is not None and dated[0] is not None:
            return dated[0] - dt.timedelta(days=dated[0].weekday())
    return None


def _monday_from(heading: _Heading, monday: dt.date | None) -> tuple[dt.date | None, str]:
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
