"""Planned ramps against what was done, and calendars out and in."""

from __future__ import annotations

import datetime as dt

import icalendar
import pytest

from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.plan import TAPER_CONTEXT, NamedDays, calendar_of, named_days_from, planned_against_done, ramp, read_week
from tests.plan.conftest import MONDAY

STAMP = dt.datetime(2026, 6, 1, 12, 0, tzinfo=dt.UTC)


def test_a_ramp_worked_by_hand() -> None:
    """Derived: 1000, 1100, 1210, then 1331 x 0.6 = 798.6 as a lighter week, then on from 1331."""
    weeks = ramp(MONDAY, 5, "tonnage", 1000, 0.1, lighter_every=4)
    assert [week.amount for week in weeks] == pytest.approx([1000, 1100, 1210, 798.6, 1331])
    assert weeks[-1].monday == MONDAY + dt.timedelta(weeks=4)
    with pytest.raises(SettingError, match="planned ramp"):
        ramp(MONDAY + dt.timedelta(days=1), 5, "tonnage", 1000, 0.1)


def test_planned_stands_beside_done() -> None:
    weekly = WEEKLY_FIGURE.build(
        [
            {
                "athlete_id": "ada", "week": MONDAY.strftime("%G-W%V"), "monday": MONDAY, "channel": "tonnage",
                "value": 900.0, "low": 880.0, "high": 950.0, "known_days": 7, "assumed_rest_days": 0, "trained_days": 3,
            }
        ]
    )  # fmt: skip
    table = planned_against_done(ramp(MONDAY, 2, "tonnage", 1000, 0.1), weekly, "ada")
    assert table.select("planned", "done", "difference").rows() == [
        pytest.approx((1000.0, 900.0, -100.0)),
        (pytest.approx(1100.0), None, None),
    ]


def test_the_taper_is_context_and_no_limit() -> None:
    """Bosquet et al. 2007, Med Sci Sports Exerc 39(8):1358-1365: 41 to 60 % less over two weeks."""
    assert "41 to 60 %" in TAPER_CONTEXT
    assert "It is no limit" in TAPER_CONTEXT


def test_a_week_goes_out_as_a_calendar() -> None:
    """RFC 5545: whole-day events end on the day after (3.6.1), and another reader finds the text unharmed."""
    week = read_week("Mon 8 June 2026 18:30\n5x5 back squat; 10 push-ups, all out\n\nWed\n5 km run")
    data = calendar_of(week, [NamedDays(dt.date(2026, 6, 12), dt.date(2026, 6, 14), "Regatta")], stamp=STAMP)
    lines = data.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(len(line) for line in lines) <= 75
    monday, wednesday, regatta = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert monday.decoded("dtstart") == dt.datetime(2026, 6, 8, 18, 30)
    assert str(monday["description"]) == "5 x 5 back squat, 10 push-up."
    assert (wednesday.decoded("dtstart"), wednesday.decoded("dtend")) == (dt.date(2026, 6, 10), dt.date(2026, 6, 11))
    assert regatta.decoded("dtend") == dt.date(2026, 6, 15)
    assert len({str(event["uid"]) for event in (monday, wednesday, regatta)}) == 3
    assert data == calendar_of(week, [NamedDays(dt.date(2026, 6, 12), dt.date(2026, 6, 14), "Regatta")], stamp=STAMP)


def test_a_calendar_holds_nothing_of_what_was_typed() -> None:
    """A calendar is shared: what a coach wrote beside the work may be about somebody's body."""
    text = "Mon 8 June 2026\n\n5x5 back squat, Tove has a sore knee: box only\n\nWed\nDilys sees the doctor"
    monday, wednesday = icalendar.Calendar.from_ical(calendar_of(read_week(text), stamp=STAMP)).walk("VEVENT")
    said = f"{monday['summary']} {monday['description']} {wednesday['summary']} {wednesday['description']}"
    assert "back squat" in said
    assert not [word for word in ("knee", "Tove", "sore", "Dilys", "doctor") if word in said]
    assert str(wednesday["description"]) == "Its text stands in keelmark."


def test_dates_of_events_come_in() -> None:
    written = (
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\n"
        b"BEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20260101T000000Z\r\nDTSTART;VALUE=DATE:20260612\r\nDTEND;VALUE=DATE:20260615\r\n"
        b"SUMMARY:Regatta\r\nEND:VEVENT\r\n"
        b"BEGIN:VEVENT\r\nUID:2\r\nDTSTAMP:20260101T000000Z\r\nDTSTART:20260520T090000Z\r\nDTEND:20260520T110000Z\r\n"
        b"SUMMARY:Open day\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    assert named_days_from(written) == [
        NamedDays(dt.date(2026, 5, 20), dt.date(2026, 5, 20), "Open day"),
        NamedDays(dt.date(2026, 6, 12), dt.date(2026, 6, 14), "Regatta"),
    ]


def test_what_is_no_calendar_is_refused() -> None:
    with pytest.raises(RefusedInput, match="not an iCalendar file"):
        named_days_from(b"hello")
    with pytest.raises(SettingError, match="the week has no date"):
        calendar_of(read_week("Mon\n5 km run"), stamp=STAMP)
