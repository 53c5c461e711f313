"""Numbers with commas, points and marks between thousands; expected values are the plain meaning of the text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.ingest.values.numbers import decimal_evidence, decimal_mark, parse_number


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("42,5", "comma"),
        ("42.5", "point"),
        ("1.234,5", "comma"),
        ("1,234.5", "point"),
        ("1.234.567", "comma"),
        ("1,234,567", "point"),
        ("0,125", "comma"),
        ("1234,567", "comma"),
        ("2.000", None),
        ("-2,000", None),
        ("40", None),
    ],
)
def test_what_a_number_says_of_its_decimal_mark(text: str, mark: str | None) -> None:
    assert decimal_evidence(text) == mark


@pytest.mark.parametrize(
    ("text", "mark", "value", "notes"),
    [
        ("42,5", "comma", 42.5, ()),
        ("42.5", "point", 42.5, ()),
        ("2.000", "comma", 2000.0, ()),
        ("2.000", "point", 2.0, ()),
        ("2,000", "point", 2000.0, ()),
        ("75.0", "comma", 75.0, ("dot_decimal",)),
        ("35,0", "point", 35.0, ("comma_decimal",)),
        ("42,5", None, 42.5, ()),
        ("1 500", None, 1500.0, ()),
        ("1\u202f500,5", None, 1500.5, ()),
        ("12'500", "point", 12500.0, ()),
        ("−17,5", "comma", -17.5, ()),
        ("-22.5", "point", -22.5, ()),
        (" 60 ", None, 60.0, ()),
        ("1e3", None, 1000.0, ()),
    ],
)
def test_numbers(text: str, mark: str | None, value: float, notes: tuple[str, ...]) -> None:
    read = parse_number(text, mark)  # type: ignore[arg-type]
    assert (read.value, read.reasons, read.notes) == (value, (), notes)


@pytest.mark.parametrize(
    "text",
    ["x", "5,5,5", "8-10", "nan", "inf", "1e999", "--5", "1..5", "1,2.3,4", "12 34", "1.23.456", "", "5,", "1.2,34,5"],
)
@pytest.mark.parametrize("mark", ["comma", "point"])
def test_what_is_not_a_number(text: str, mark: str) -> None:
    assert parse_number(text, mark).value is None  # type: ignore[arg-type]


def test_a_number_that_can_be_read_two_ways_is_not_guessed() -> None:
    assert parse_number("2.000", None).reasons == ("ambiguous_number",)


def test_a_column_decides_when_four_fifths_agree() -> None:
    assert decimal_mark({"42,5": 8, "75.0": 2}) == "comma"
    assert decimal_mark({"42,5": 7, "75.0": 3}) is None
    assert decimal_mark({"40": 5, "2.000": 4}) is None


@given(value=st.integers(-10_000_000, 10_000_000), digits=st.sampled_from([1, 2, 4]))
def test_both_ways_of_writing_one_number_mean_the_same(value: int, digits: int) -> None:
    """`digits` is never three, where the mark alone could not tell."""
    english = f"{value / 10**digits:,.{digits}f}"
    german = english.replace(",", "\0").replace(".", ",").replace("\0", ".")
    one, other = parse_number(english, "point"), parse_number(german, "comma")
    assert one.value == other.value == pytest.approx(value / 10**digits)
    assert parse_number(english, None).value == one.value
