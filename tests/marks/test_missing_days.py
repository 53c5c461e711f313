"""A week with missing days lies beyond a mark only where they cannot change that; else it says that it may."""

from __future__ import annotations

from typing import Any

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.marks import marks
from tests.marks.squad import week, weekly
from tests.marks.test_usual_range import mark, steady


def with_missing(on_record: float, value: float, at_most: float) -> dict[str, Any]:
    """The mark of Cai's week 25, one day of which is missing; 3 000 a week is usual for Cai."""
    here = (pl.col("athlete_id") == "cai") & (pl.col("week") == week(25))
    changed = {"on_record": on_record, "value": value, "at_most": at_most, "low": on_record, "high": at_most}
    frame = weekly(steady()).with_columns(
        *[pl.when(here).then(new).otherwise(pl.col(name)).alias(name) for name, new in changed.items()],
        known_days=pl.when(here).then(6).otherwise("known_days").cast(pl.Int64),
    )
    return mark(marks(frame), "cai", 25)


def test_a_week_that_is_above_whatever_is_missing_is_above() -> None:
    found = with_missing(6000.0, 6500.0, 7500.0)
    assert found["place"] == "well_above"
    assert found["reason"] is None


def test_a_week_that_is_above_only_with_what_is_missing_may_be_above() -> None:
    found = with_missing(2900.0, 3600.0, 5500.0)
    assert found["place"] == "within"
    assert found["reason"] == "it may lie above: 6 of 7 days are fully known"
    assert found["tail"] > 0.05


def test_a_week_that_is_below_only_for_what_is_missing_is_not_below() -> None:
    found = with_missing(1000.0, 2600.0, 3400.0)
    assert found["place"] == "within"
    assert found["reason"] == "it may lie below: 6 of 7 days are fully known"
    assert with_missing(500.0, 800.0, 1000.0)["place"] == "below"


def test_what_is_not_bounded_may_be_above() -> None:
    here = weekly(steady(), known_days=6)
    assert mark(marks(here), "cai", 25)["reason"] == "it may lie above: 6 of 7 days are fully known"


@given(st.floats(500.0, 9000.0), st.floats(0.0, 6000.0))
@settings(max_examples=40, deadline=None)
def test_missing_days_never_make_a_place_surer(whole: float, gone: float) -> None:
    """Of a week with a day deleted: it is beyond a mark only where the whole week was, on the same side."""
    on_record = max(whole - gone, 0.0)
    before, after = with_missing(whole, whole, whole), with_missing(on_record, on_record, max(whole, on_record) + gone)
    if after["place"] in ("above", "well_above"):
        assert before["place"] in ("above", "well_above")
    if after["place"] == "below":
        assert before["place"] == "below"
    assert after["tail"] >= before["tail"] - 1e-12


def test_a_week_that_straddles_a_mark_does_not_move_the_level_of_the_next_mark() -> None:
    plain, open_week = with_missing(3000.0, 3000.0, 3000.0), with_missing(3000.0, 3000.0, 9000.0)
    assert open_week["upper"] == pytest.approx(plain["upper"])
