"""Figures are written as precisely as they deserve, with units a coach would say."""

from __future__ import annotations

from datetime import date

import pytest

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.marks.amounts import amount, channel_amount, channel_words, day_words, figure, list_words, week_words


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
