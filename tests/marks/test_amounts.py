"""Figures are written as precisely as they deserve, with units a coach would say."""

from __future__ import annotations

from datetime import date

import pytest

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.marks.amounts import amount, channel_amount, channel_words, day_words, figure, list_words, week_words
from keelmark.marks.notice_words import headline, not_known, usual


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (41234.0, "N m s", "41\u202f200"),
        (0.87349, "", "0.873"),
        (59.6, "rep", "60"),
        (1234.0, "contact", "1\u202f230"),
        (412.0, "contact", "412"),
        (0.0, "kg", "0"),
        (100.0, "kg", "100"),
        (2.5, "", "2.5"),
        (0.0000123, "index", "0.0000123"),
        (float("inf"), "kg", "without end"),
    ],
)
def test_three_digits_or_whole_counts(value: float, unit: str, text: str) -> None:
    assert figure(value, unit) == text


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (1.0, "rep", "1 rep"),
        (2.0, "rep", "2 reps"),
        (1.5, "capacity", "1.5 capacities"),
        (180.0, "kN rep", "180 kN rep"),
    ],
)
def test_units_in_the_plural(value: float, unit: str, text: str) -> None:
    assert amount(value, unit) == text


@pytest.mark.parametrize(
    ("channel", "text"),
    [
        ("jump_contacts", "jump contacts 412"),
        ("vertical_pull", "vertical pull reps 412"),
        ("tonnage", "tonnage 412 kg"),
        ("lumbar_moment", "lumbar loading 412 N m s"),
        ("spinal_flexion", "spinal flexion 412 cycles"),
    ],
)
def test_a_unit_is_said_once(channel: str, text: str) -> None:
    found = CHANNEL_BY_KEY[channel]
    assert f"{channel_words(found)} {channel_amount(412.0, found)}" == text


def test_days_weeks_and_lists() -> None:
    assert day_words(date(2026, 3, 3)) == "Tue 3 Mar"
    assert week_words(date(2026, 3, 2)) == "the week of 2 March"
    assert [list_words(words) for words in (["a"], ["a", "b"], ["a", "b", "c"])] == ["a", "a and b", "a, b and c"]


def test_a_place_cuts_the_digits_that_an_interval_does_not_leave() -> None:
    # derived: rounded to tens and to tenths; nothing that is counted is cut
    assert figure(248.0, "contact", 1) == "250"
    assert amount(18.42, "kN rep", -1) == "18.4 kN rep"
    assert amount(18.42, "contact", -1) == "18 contacts"


def test_a_notice_tells_no_more_digits_than_its_interval_leaves() -> None:
    """Half the width, 73, begins in the tens: so do the week and its marks; bounds go outwards."""
    row = {
        "channel": "jump_contacts", "monday": date(2026, 6, 1), "slow": False, "value": 248.0, "low": 194.0,
        "high": 340.0, "expected": 36.4, "lower": 16.0, "upper": 48.0, "weeks": 31, "with_it": [], "known_days": 7,
        "assumed_rest_days": 0, "label": None, "after": False,
    }  # fmt: skip
    assert headline("Tove", row) == "In the week of 1 June, Tove's jump contacts came to 250, 7 times the expected 36."
    assert usual(row) == "The usual range, from 31 earlier weeks, is 20 to 50 contacts."
    assert "it lies between 190 and 340 contacts." in not_known(row)
