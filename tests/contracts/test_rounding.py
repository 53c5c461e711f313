"""Digits of a figure follow the width of its interval. Expected texts are derived by hand from the rule."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.contracts.rounding import place_of, told, told_alone, told_at


@pytest.mark.parametrize(
    ("figure", "text"),
    [
        ((412.3, 301, 523), ("410", "300", "530")),  # half of 222 is 111: first digit 1, so the tens
        ((18.432, 15.2, 22.9), ("18", "15", "23")),  # half of 7.7 is 3.85: the ones
        ((3.1, 0.9, 12), ("3", "0.9", "12")),  # a bound below 1 keeps its first digit
        ((0.9234, 0.9, None), ("0.92", "0.90", None)),  # 0.0234 lies below the figure: the hundredths
        ((5560.0, 4230.0, 7110.0), ("5,600", "4,200", "7,200")),  # half of 2880 is 1440: the hundreds
        ((45, 30, 45), ("45", "30", "45")),
        ((7.25, 7.25, 7.25), ("7.25", "7.25", "7.25")),
        ((0.0931, 0.0931, None), ("0.093", "0.093", None)),  # open upwards from the figure itself
        ((1.49, 1.49, None), ("1.4", "1.4", None)),  # and rounded down, so that it stays at least that
        ((5.6058, 5.5941, None), ("5.6", "5.5", None)),  # open upwards: two digits at the most
    ],
)
def test_digits_follow_half_the_width(
    figure: tuple[float, float | None, float | None], text: tuple[str, str | None, str | None]
) -> None:
    assert tuple(told(*figure)) == text


@pytest.mark.parametrize(("value", "text"), [(18.42, "18.4"), (412.0, "412"), (0.9566, "0.957"), (1234.5, "1,234")])
def test_a_figure_without_an_interval_has_three_digits(value: float, text: str) -> None:
    assert told_alone(value) == text


def test_what_is_counted_is_not_cut() -> None:
    assert tuple(told(7.4, 6.9, 7.9, whole=True)) == ("7", "6", "8")
    assert tuple(told(45, 45, 90, whole=True)) == ("45", "45", "90")
    assert tuple(told(145, 145, 290, whole=True)) == ("140", "140", "290")  # half of 145 is 72.5: the tens


def test_a_mark_does_not_read_as_the_figure_above_it() -> None:
    """Derived: to the hundreds both would read 5,500; to the tens they differ."""
    place = place_of(5546.0, 4230.0, 7110.0, [5531.0])
    assert place == 1
    assert (told_at(5546.0, place), told_at(5531.0, place)) == ("5,550", "5,530")


def number(text: str) -> float:
    return float(text.replace(",", ""))


@given(st.floats(0.001, 1e7), st.floats(0, 1), st.floats(0, 3))
def test_told_bounds_hold_the_true_bounds_and_the_told_figure(value: float, below: float, above: float) -> None:
    low, high = value * (1 - below), value * (1 + above)
    text = told(value, low, high)
    assert text.low is not None
    assert text.high is not None
    if low < high:
        assert number(text.low) <= low * (1 + 1e-9)
        assert number(text.high) >= high * (1 - 1e-9)
        assert number(text.low) <= number(text.value) <= number(text.high)
