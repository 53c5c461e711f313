"""Headings of days, dates and times in five languages, and texts put back where they stood."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.plan import read_week, with_texts

NEAR = dt.date(2026, 3, 1)


@pytest.mark.parametrize(
    ("heading", "day", "minute", "monday"),
    [
        ("Mon", 0, None, None),
        ("MONDAY:", 0, None, None),
        ("**Wednesday**", 2, None, None),
        ("# Thu 18:30", 3, 1110, None),
        ("Fri 7pm", 4, 1140, None),
        ("Friday 12 am", 4, 0, None),
        ("Montag, 9. März, 18.30 Uhr", 0, 1110, dt.date(2026, 3, 9)),
        ("Mi 11.3.", 2, None, dt.date(2026, 3, 9)),
        ("Sonnabend", 5, None, None),
        ("miércoles 11 de marzo", 2, None, dt.date(2026, 3, 9)),
        ("Jeudi 12 mars 18h30", 3, 1110, dt.date(2026, 3, 9)),
        ("sexta-feira 13/03/2026", 4, None, dt.date(2026, 3, 9)),
        ("Sábado 14/3/26", 5, None, dt.date(2026, 3, 9)),
        ("Monday 9 March", 0, None, dt.date(2026, 3, 9)),
        ("Monday March 9 2026 18:30", 0, 1110, dt.date(2026, 3, 9)),
        ("Sunday (2026-03-15)", 6, None, dt.date(2026, 3, 9)),
    ],
)
def test_a_heading_is_read(heading: str, day: int, minute: int | None, monday: dt.date | None) -> None:
    week = read_week(f"{heading}\n5x5 back squat", near=NEAR)
    (session,) = week.sessions
    assert (session.day, session.minute, week.monday) == (day, minute, monday)
    assert session.text == "5x5 back squat"


@pytest.mark.parametrize(
    "line", ["Sat 4 rounds", "mar 200 m", "Mo run 5 km", "Do 10 burpees", "So what", "Sun salutations"]
)
def test_a_line_of_work_is_no_heading(line: str) -> None:
    week = read_week(f"Mon\n5x5 back squat\n{line}")
    assert [session.text for session in week.sessions] == [f"5x5 back squat\n{line}"]


def test_text_behind_a_colon_belongs_to_the_session() -> None:
    week = read_week("Tue: 21-15-9\nthrusters\nWed - 5 km run")
    assert [(one.key, one.text) for one in week.sessions] == [("tue", "21-15-9\nthrusters"), ("wed", "5 km run")]


def test_days_of_rest_have_no_session_and_a_day_may_have_two() -> None:
    week = read_week("Mon 18:00\nb\n\nMon 9:00\na\n\nTue\nrest\n\nMittwoch\nRuhetag\n\nJeudi\n\nSun\nc")
    assert [(one.key, one.text) for one in week.sessions] == [("mon-2", "a"), ("mon", "b"), ("sun", "c")]
    assert week.sessions[0].name == "Monday, second session"


def test_a_text_without_days_is_one_session_and_says_so() -> None:
    week = read_week("5x5 back squat\n\n10 push-ups")
    assert [one.key for one in week.sessions] == ["mon"]
    assert "one session on Monday" in week.remarks[0].words


@pytest.mark.parametrize(
    "written", ["Munday", "Wensday:", "Thrusday 18:30", "Freitga", "Mecredi", "miercolesz 11 de marzo"]
)
def test_a_misspelt_day_is_told(written: str) -> None:
    week = read_week(f"Tue\n10 push-ups\n\n{written}\n5x5 back squat", near=NEAR)
    assert [one.key for one in week.sessions] == ["tue"]
    (remark,) = week.remarks
    assert (remark.line, remark.words.split(" ", 1)[1][:25]) == (4, "is not read as a day. Wri")


def test_nothing_above_the_first_day_is_lost_without_a_word() -> None:
    week = read_week("week of the storm drill\nMunday\n5 x 5 deadlift\nTue\n10 push-ups")
    assert [one.key for one in week.sessions] == ["tue"]
    assert [(one.line, one.words) for one in week.remarks] == [
        (2, "Text before the first day is not read as a session. Put a day's name above it."),
        (2, '"Munday" is not read as a day. Write Monday or Sunday if that is meant.'),
    ]
    dated = read_week("2026-W11\n5 x 5 deadlift\nTue\n10 push-ups")
    assert [one.line for one in dated.remarks] == [2]


@pytest.mark.parametrize(
    "line", ["marches", "thrusters", "dominadas", "Mobility:", "Segundos", "Sunny", "Freestyle", "Friends"]
)
def test_words_of_work_are_no_misspelt_days(line: str) -> None:
    assert read_week(f"Mon\n{line}\n10 push-ups").remarks == ()


def test_a_date_that_does_not_fit_its_day_is_told() -> None:
    week = read_week("Monday 10 March 2026\nx")
    assert week.monday is None
    assert week.remarks[0].words == "10.3.2026 is a Tuesday, not a Monday; the name of the day counts."
    other = read_week("Mon 2026-03-09\nx\nTue 2026-03-17\ny")
    assert other.monday == dt.date(2026, 3, 9)
    assert "another week" in other.remarks[0].words


@pytest.mark.parametrize("line", ["2026-W11", "Week 2026-W11", "Week of 9 March 2026", "Woche vom 11.3.2026"])
def test_a_line_above_the_days_names_the_week(line: str) -> None:
    assert read_week(f"{line}\n\nMon\nx").monday == dt.date(2026, 3, 9)


def test_a_date_without_a_year_needs_a_day_near_it() -> None:
    assert read_week("Mon 9 March\nx").monday is None
    assert read_week("Mon 4 January\nx", near=dt.date(2026, 12, 20)).monday == dt.date(2027, 1, 4)


@given(st.text())
def test_any_text_is_cut_without_complaint_and_stands_where_it_is_said_to_stand(text: str) -> None:
    week = read_week(text)
    for session in week.sessions:
        assert week.text[session.start : session.start + len(session.text)] == session.text
    assert with_texts(week, {one.key: one.text for one in week.sessions}) == text


def test_texts_are_put_back_in_their_places() -> None:
    text = "Mon\n5x5 back squat\n\nTue\n10 push-ups\n"
    assert with_texts(read_week(text), {"mon": "3x5 front squat"}) == "Mon\n3x5 front squat\n\nTue\n10 push-ups\n"
