"""What is new in a week is told beside the mark in the squad's units and language, like the rest of the page."""

from __future__ import annotations

from contextvars import copy_context

import pint
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.load.first_times import FirstTime
from keelmark_dash.shown_as import first_time_words, show_as

LONG_SET = FirstTime("deadlift", None, 40, 10, 60.0)


def told(found: FirstTime, **settings: str) -> str:
    """In a context of its own, as each request has one."""

    def words() -> str:
        show_as(settings, shipped_catalogue())
        return first_time_words(found, shipped_catalogue())

    return copy_context().run(words)


def test_kilograms_and_english_where_nothing_else_was_chosen() -> None:
    assert told(LONG_SET) == "40 deadlifts in one set at 60 kg; the most in the half year before was 10."
    assert told(FirstTime("box_jump", 31)) == "First box jumps in 31 weeks."


def test_pounds_where_they_were_chosen() -> None:
    """Outside check: pint turns 60 kg into 132.28 lb, told to the pound."""
    pounds = pint.UnitRegistry().Quantity(60, "kilogram").to("pound").magnitude
    assert pounds == pytest.approx(132, abs=0.5)
    assert f"at {pounds:.0f} lb;" in told(LONG_SET, load_unit="lb")


def test_movements_in_the_language_that_was_chosen() -> None:
    """From memory: the lift is `Kreuzheben` in German."""
    assert told(LONG_SET, language="de").startswith("40 Kreuzheben in one set at 60 kg")
    assert "Kreuzheben" not in told(LONG_SET)


def test_no_load_is_told_where_none_was_carried() -> None:
    assert " at " not in told(FirstTime("box_jump", None, 15, 5), load_unit="lb")
