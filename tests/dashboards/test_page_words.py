"""Figures and dates in words."""

from __future__ import annotations

from datetime import date

import pytest

from keelmark_dash import words
from keelmark_dash.words import THIN


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (0, "kg", "0 kg"),
        (1, "contact", "1 contact"),
        (412.0, "contact", "412 contacts"),
        (96.2, "contact", "96 contacts"),
        (18.42, "kN rep", "18.4 kN rep"),
        (0.9566, "capacity", "0.957 capacities"),
        (1, "capacity", "1 capacity"),
        (3, "index", "3 index points"),
        (52_340.0, "N m s", f"52{THIN}340 N m s"),
        (99.96, "kg", "100 kg"),
        (None, "kg", "not known"),
    ],
)
def test_amounts_read_as_a_person_would_say_them(value: float | None, unit: str, text: str) -> None:
    assert words.amount(value, unit) == text


def test_an_open_interval_says_that_it_is_open() -> None:
    assert words.interval(380, None, "rep") == "at least 380 reps; days that are not fully known leave it open upwards"
    assert words.interval(380, 440, "rep") == "between 380 and 440 reps"
    assert words.interval(380, 380, "rep") == "no spread: every amount was written down"
    assert words.interval(None, None, "rep") == "nothing is known"


def test_weeks_are_iso_weeks() -> None:
    # ISO 8601: week 1 holds the first Thursday of the year, so 2026-W01 begins on Monday, 29 December 2025.
    assert words.week_monday("2026-W01") == date(2025, 12, 29)
    assert words.week_dates("2026-W01") == "29 December 2025 to 4 January 2026"
    assert words.week_dates("2026-W10") == "2 to 8 March 2026"
    assert words.week_dates("2026-W18") == "27 April to 3 May 2026"
    assert words.week_title("2026-W09") == "Week 9"


def test_the_name_of_a_gauge_says_amount_place_and_range() -> None:
    said = words.cell_words("Ada", "2026-W10", 412, "above", (120, 300), "contact", 7)
    assert said == "Ada, week 10: 412 contacts, above the usual range 120 to 300"
    said = words.cell_words("Ada", "2026-W10", 412, "above", (120, 300), "contact", 5)
    assert said.endswith(", 5 of 7 days known")
    said = words.cell_words("Ada", "2026-W10", None, "not_known", (120, 300), "contact", 0)
    assert said == "Ada, week 10: not known; no day of this week is known"
    said = words.cell_words("Ada", "2026-W10", 4, "not_known", (None, None), "contact", 7)
    assert said == "Ada, week 10: 4 contacts, no usual range to compare with yet"


def test_changes_carry_their_sign() -> None:
    assert words.percent(0.38) == f"+38{THIN}%"
    assert words.percent(-0.5) == f"−50{THIN}%"
    assert words.percent(None) == "not known"
