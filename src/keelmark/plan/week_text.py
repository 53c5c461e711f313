"""A week as a coach types it: whiteboard texts under the names of days, in any of five languages.

A day begins with a line that holds the day's name, with a date and a time where the coach gives them, and nothing else
before a colon or a dash: `Mon`, `Monday 9 March 18:30`, `Montag:`. All up to the next such line
is the session's whiteboard text.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from keelmark.plan.day_headings import (
    DAY_NAMES,
    Heading,
    heading_of,
    is_rest,
    meant_for_a_day,
    monday_of,
    names_week,
    week_of,
)

__all__ = ["PlannedSession", "Remark", "WeekText", "read_week", "with_texts"]


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
    found: list[tuple[int, int, Heading, str]] = []
    remarks: list[Remark] = []
    monday: dt.date | None = None
    place, unread = 0, 0
    for number, line in enumerate(text.splitlines(keepends=True), start=1):
        heading = heading_of(line, near)
        if heading is not None:
            found.append((number, place + heading.rest, heading, line[: heading.rest].strip()))
        else:
            meant = meant_for_a_day(line, near)
            if meant:
                remarks.append(Remark(number, meant))
            if not found:
                monday = monday or week_of(line, near)
                unread = unread or (number if line.strip() and not names_week(line) else 0)
        place += len(line)
    if not found:
        return _one_session(text, monday, remarks)
    if unread:
        words = "Text before the first day is not read as a session. Put a day's name above it."
        remarks.insert(0, Remark(unread, words))
    starts_of_lines = _line_starts(text)
    ends = [starts_of_lines[number - 1] for number, _, _, _ in found[1:]] + [len(text)]
    sessions: list[PlannedSession] = []
    seen: dict[int, int] = {}
    for (number, start, heading, words), end in zip(found, ends, strict=True):
        monday, doubt = monday_of(heading, monday)
        if doubt:
            remarks.append(Remark(number, doubt))
        body = text[start:end]
        lead = len(body) - len(body.lstrip())
        body = body.strip()
        if not body or is_rest(body):
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


def _one_session(text: str, monday: dt.date | None, remarks: list[Remark]) -> WeekText:
    body = text.strip()
    if not body:
        return WeekText(text, (), monday, ())
    session = PlannedSession("mon", 0, None, body, len(text) - len(text.lstrip()), 1, "")
    words = "No day is named, so all of it is taken as one session on Monday. Write a day's name above each session."
    return WeekText(text, (session,), monday, (Remark(1, words), *remarks))


def _line_starts(text: str) -> list[int]:
    starts, place = [], 0
    for line in text.splitlines(keepends=True):
        starts.append(place)
        place += len(line)
    return starts
