"""Sessions and named days as an iCalendar file (RFC 5545), and dates of events from one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from icalendar import Calendar, Event

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.contracts.text_file import plain_text
from keelmark.notation import read
from keelmark.notation.render import render
from keelmark.plan.week_text import WeekText

__all__ = ["NamedDays", "calendar_of", "calendar_of_days", "named_days_from"]

SESSION_LENGTH = dt.timedelta(hours=1)
"""Length of a session in the calendar where the text gives only its start (a convention)."""
NOTHING_READ = "Its text stands in keelmark."


@dataclass(frozen=True, slots=True)
class NamedDays:
    """A stretch of days with a name, first and last day included."""

    first: dt.date
    last: dt.date
    name: str


def calendar_of(
    week: WeekText, days: Sequence[NamedDays] = (), *, stamp: dt.datetime, catalogue: Catalogue | None = None
) -> bytes:
    """A week's sessions, and named days, as an iCalendar file.

    A calendar is often shared, and what was typed may say something about somebody's body. So it holds none of it: a
    session is described by what was understood of it, in the exact form of a whiteboard text.

    Parameters
    ----------
    week : WeekText
        A week with a date. A session with a time becomes an event of one hour in floating local time, one without a
        time an event of the whole day.
    days : sequence of NamedDays
        Calendar labels.
    stamp : datetime
        When the file is made, in UTC.
    catalogue : Catalogue, optional
        The squad's movements; as shipped unless given.

    Raises
    ------
    SettingError
        When the week has no date.
    """
    if week.monday is None:
        raise SettingError(
            "the week has no date",
            where="calendar file",
            wanted="a date beside one of the days, or a line such as 2026-W11 above them",
            remedy="write the date of the first day behind its name",
        )
    calendar = _empty()
    for session in week.sessions:
        event = _event(f"{week.monday}/{session.key}", session.name, stamp)
        date = week.monday + dt.timedelta(days=session.day)
        if session.minute is None:
            _whole_days(event, date, date)
        else:
            start = dt.datetime.combine(date, dt.time()) + dt.timedelta(minutes=session.minute)
            event.add("dtstart", start)
            event.add("dtend", start + SESSION_LENGTH)
        event.add("description", render(read(session.text, catalogue=catalogue).tree, catalogue) or NOTHING_READ)
        calendar.add_component(event)
    _add_days(calendar, days, stamp)
    return bytes(calendar.to_ical())


def calendar_of_days(days: Sequence[NamedDays], *, stamp: dt.datetime) -> bytes:
    """Named days alone as an iCalendar file.

    Parameters
    ----------
    days : sequence of NamedDays
        Calendar labels, and weeks with what is meant in them.
    stamp : datetime
        When the file is made, in UTC.
    """
    calendar = _empty()
    _add_days(calendar, days, stamp)
    return bytes(calendar.to_ical())


def named_days_from(data: bytes) -> list[NamedDays]:
    """The events of an iCalendar file as named days, in order of date; repeating events count once.

    Raises
    ------
    RefusedInput
        When the bytes are not an iCalendar file.
    """
    text = plain_text(data, where="calendar file", wanted="an iCalendar file in UTF-8")
    try:
        calendar = Calendar.from_ical(text)
        if calendar.name != "VCALENDAR":
            raise ValueError(f"it is a {calendar.name}")
        return _named_days(calendar)
    except (ValueError, IndexError, KeyError, TypeError, AttributeError, OverflowError, RecursionError) as error:
        raise RefusedInput(
            f"the file is not an iCalendar file ({error})",
            where="calendar file",
            wanted="a file that begins with BEGIN:VCALENDAR",
            remedy="export the calendar again, as iCalendar or .ics",
        ) from error


def _named_days(calendar: Any) -> list[NamedDays]:
    found = []
    for event in calendar.walk("VEVENT"):
        if event.get("dtstart") is None:
            continue
        first = event.decoded("dtstart")
        last = event.decoded("dtend") if event.get("dtend") is not None else None
        found.append(_named(first, last, str(event.get("summary", "")).strip() or "event"))
    return sorted(found, key=lambda days: (days.first, days.last, days.name))


def _empty() -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", "-//keelmark//plan//EN")
    calendar.add("version", "2.0")
    return calendar


def _add_days(calendar: Calendar, days: Sequence[NamedDays], stamp: dt.datetime) -> None:
    for label in days:
        event = _event(f"{label.first}/{label.last}/{label.name}", label.name, stamp)
        _whole_days(event, label.first, label.last)
        calendar.add_component(event)


def _named(first: dt.date, last: dt.date | None, name: str) -> NamedDays:
    """Days of an event; the end of whole-day events is the day after the last one."""
    if isinstance(first, dt.datetime):
        end = last if isinstance(last, dt.datetime) else first
        return NamedDays(first.date(), max(end.date(), first.date()), name)
    end_day = first if last is None else last - dt.timedelta(days=1)
    return NamedDays(first, max(end_day, first), name)


def _event(key: str, summary: str, stamp: dt.datetime) -> Event:
    event = Event()
    event.add("uid", f"{sha256(key.encode()).hexdigest()[:32]}@keelmark")
    event.add("dtstamp", stamp)
    event.add("summary", summary)
    return event


def _whole_days(event: Event, first: dt.date, last: dt.date) -> None:
    event.add("dtstart", first)
    event.add("dtend", last + dt.timedelta(days=1))
