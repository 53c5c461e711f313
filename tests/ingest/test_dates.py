"""Days in many styles; each expected day is the plain meaning of the text in a calendar."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.ingest.values.dates import DateRule, day_first_evidence, parse_date, with_year

DAY_FIRST = DateRule(day_first=True, serials_as_text=True)
MONTH_FIRST = DateRule(day_first=False)
OPEN = DateRule(day_first=None)
MARCH_4 = dt.date(2026, 3, 4)


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-04",
        "2026/3/4",
        "2026.03.04",
        "20260304",
        "2026-03-04T18:30:00",
        "2026-03-04 18:30",
        "2026-03-04T18:30:00Z",
        "04.03.2026",
        "4.3.2026",
        "04. 03. 2026",
        "04/03/2026",
        "4-3-2026",
        "04.03.26",
        "04.03.2026 18:30",
        "Mi 04.03.2026",
        "Mi., 04.03.2026",
        "4 Mar 2026",
        "4 March 2026",
        "4-Mar-2026",
        "March 4, 2026",
        "Mar 4 2026",
        "Mar. 4, 2026",
        "4th March 2026",
        "Wed 4 Mar 2026",
        "Wednesday, 4 March 2026",
        "4. März 2026",
        "4 Mrz 2026",
        "Mittwoch, 4. März 2026",
        "4 de marzo de 2026",
        "miércoles 4 de marzo de 2026",
        "4 mars 2026",
        "mercredi 4 mars 2026",
        "4 de março de 2026",
        "4 mar. 2026",
        "quarta-feira, 4 de março de 2026",
        "46085",
        " 2026-03-04 ",
    ],
)
def test_one_day_in_many_styles(text: str) -> None:
    assert parse_date(text, DAY_FIRST).value == MARCH_4


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("1er février 2026", dt.date(2026, 2, 1)),
        ("3 févr. 2026", dt.date(2026, 2, 3)),
        ("15 août 2026", dt.date(2026, 8, 15)),
        ("mardi 17 mars 2026", dt.date(2026, 3, 17)),
        ("31. Dez. 2025", dt.date(2025, 12, 31)),
        ("9 Okt 2026", dt.date(2026, 10, 9)),
        ("2 ene 2026", dt.date(2026, 1, 2)),
        ("7 de setembro de 2026", dt.date(2026, 9, 7)),
        ("5 out 2026", dt.date(2026, 10, 5)),
        ("Mo, 5. Januar 2026", dt.date(2026, 1, 5)),
    ],
)
def test_month_names(text: str, day: dt.date) -> None:
    assert parse_date(text, OPEN).value == day


@pytest.mark.parametrize(
    "text",
    [
        "29.02.2026",
        "2026-00-12",
        "2026-13-05",
        "2026-04-31",
        "32/03/2026",
        "00.03.2026",
        "yesterday",
        "last Tue",
        "Mar 2026",
        "2026",
        "12",
        "hinten",
        "5,5",
        "march",
        "4 foo 2026",
        "10:30",
        "99999999",
        "4 Mar 2026 or so",
        "30 Feb 2026",
    ],
)
def test_what_is_not_a_day(text: str) -> None:
    assert parse_date(text, DAY_FIRST).reasons == ("bad_date",)


def test_order_of_day_and_month() -> None:
    assert parse_date("03/04/2026", DAY_FIRST).value == dt.date(2026, 4, 3)
    assert parse_date("03/04/2026", MONTH_FIRST).value == dt.date(2026, 3, 4)
    assert parse_date("03/04/2026", OPEN).reasons == ("ambiguous_date",)
    assert parse_date("13/04/2026", OPEN).value == dt.date(2026, 4, 13)
    assert parse_date("04/13/2026", OPEN).value == dt.date(2026, 4, 13)
    assert parse_date("05/05/2026", OPEN).value == dt.date(2026, 5, 5)
    assert parse_date("03.04.2026", MONTH_FIRST).value == dt.date(2026, 4, 3)
    assert parse_date("04/13/2026", DAY_FIRST).reasons == ("bad_date",)


def test_evidence_for_the_order() -> None:
    assert day_first_evidence(["03/04/2026", "13/04/2026"]) is True
    assert day_first_evidence(["03/04/2026", "04/13/2026"]) is False
    assert day_first_evidence(["03/04/2026", "13.04.2026"]) is None
    assert day_first_evidence(["13/04/2026", "04/13/2026"]) is None


@pytest.mark.parametrize(
    "text", ["7 Feb", "Feb 7", "7. Februar", "7 de febrero", "7 février", "07.02.", "7.2", "07/02"]
)
def test_a_day_without_a_year(text: str) -> None:
    assert parse_date(text, DAY_FIRST).reasons == ("date_without_year",)
    assert with_year(text, 2026, DAY_FIRST) == dt.date(2026, 2, 7)


def test_spreadsheet_days() -> None:
    """Day 1 of the 1904 count is 2 January 1904; 46085 days after 30 December 1899 is 4 March 2026 (derived)."""
    assert dt.date(1899, 12, 30) + dt.timedelta(46085) == MARCH_4
    assert parse_date(46085.0, OPEN).value == MARCH_4
    assert parse_date(46085.75, OPEN).value == MARCH_4
    assert parse_date(46085.0 - 1462, DateRule(None, epoch_1904=True)).value == MARCH_4
    assert parse_date(1e12, OPEN).reasons == ("bad_date",)
    assert parse_date(dt.datetime(2026, 3, 4, 18, 30), OPEN).value == MARCH_4
    assert parse_date(True, OPEN).reasons == ("bad_date",)


@given(st.dates(dt.date(2000, 1, 1), dt.date(2099, 12, 31)))
def test_every_day_comes_back_from_every_style(day: dt.date) -> None:
    for style in ("%Y-%m-%d", "%d.%m.%Y", "%d/%m/%Y", "%d %b %Y", "%d.%m.%y", "%Y%m%d", "%B %d, %Y", "%A %d %B %Y"):
        assert parse_date(day.strftime(style), DAY_FIRST).value == day, style
    assert parse_date(day.strftime("%m/%d/%Y"), MONTH_FIRST).value == day
