"""Going on from week to week has the bits of beginning anew."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import polars as pl
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.contracts.frames import DAY_STATE
from keelmark.dose.amounts import daily_amounts
from keelmark.load import LoadSettings
from keelmark.load.running import RunningFigures, begin, go_on
from tests.load.test_plain import CATALOGUE, MONDAY, PEOPLE, log

WEEKS = 12
SOME = log(WEEKS, every_week=False, unknown_load=True)


def _states(rested: list[tuple[str, int]], state: str = "rest") -> pl.DataFrame:
    rows = [{"athlete_id": key, "date": MONDAY + timedelta(days=day), "state": state} for key, day in rested]
    return DAY_STATE.build(rows)


def _equal(one: RunningFigures, other: RunningFigures) -> None:
    assert (one.athletes, one.channels, one.first) == (other.athletes, other.channels, other.first)
    pairs = [(one.figures[name], other.figures[name]) for name in one.figures]
    pairs += [(one.idle, other.idle), (one.history, other.history), (one.average, other.average)]
    for ours, theirs in pairs:
        np.testing.assert_array_equal(ours, theirs)


KEYS = st.sampled_from(PEOPLE["athlete_id"].to_list())


@settings(max_examples=60, deadline=None)
@given(
    until=st.integers(7 * 7, 7 * WEEKS - 1),
    changed=st.integers(7 * 6, 7 * WEEKS - 1),
    dropped=st.lists(st.tuples(KEYS, st.integers(0, 7 * WEEKS)), max_size=4),
    added=st.lists(st.tuples(KEYS, st.integers(0, 20)), max_size=4),
    rested=st.lists(st.tuples(KEYS, st.integers(0, 7 * WEEKS - 1)), max_size=4),
    quiet=st.sampled_from(["rest", "unlogged"]),
    week_day=st.sampled_from([7, 7, 2]),
)
def test_the_bits_of_beginning_anew(
    until: int,
    changed: int,
    dropped: list[tuple[str, int]],
    added: list[tuple[str, int]],
    rested: list[tuple[str, int]],
    quiet: str,
    week_day: int,
) -> None:
    """Up to a day the record is as it was; from another day on sessions are dropped, added and rests told."""
    first = MONDAY + timedelta(days=changed)
    old = SOME.filter(pl.col("date") <= MONDAY + timedelta(days=until))
    choices = LoadSettings(quiet_days=quiet, week_day=week_day, until=MONDAY + timedelta(days=until))  # type: ignore[arg-type]
    before = begin(daily_amounts(old, CATALOGUE), PEOPLE, DAY_STATE.empty(), choices)
    new = SOME
    for key, day in dropped:
        gone = (pl.col("athlete_id") == key) & (pl.col("date") == first + timedelta(days=day))
        new = new.filter(~gone)
    for key, day in added:
        more = SOME.head(3).with_columns(athlete_id=pl.lit(key), date=pl.lit(first + timedelta(days=day)))
        new = pl.concat([new, more])
    states = _states([one for one in rested if one[1] >= changed])
    first = min(first, MONDAY + timedelta(days=until + 1))
    last = max(new["date"].max(), MONDAY + timedelta(days=7 * WEEKS - 1))
    later = LoadSettings(quiet_days=quiet, week_day=week_day, until=last)  # type: ignore[arg-type]
    # The old record's last week was not over, so its quiet days are told anew.
    first = min(first, MONDAY + timedelta(days=until - until % 7))
    went_on = go_on(before, daily_amounts(new, CATALOGUE), PEOPLE, states, later, first)
    anew = begin(daily_amounts(new, CATALOGUE), PEOPLE, states, later)
    assert went_on is not None
    _equal(went_on, anew)


def test_only_the_last_weeks_are_looked_at() -> None:
    """Rows before the lead weeks are not even there."""
    last = MONDAY + timedelta(days=7 * WEEKS - 1)
    choices = LoadSettings(quiet_days="rest", until=last)
    old = SOME.filter(pl.col("date") < last - timedelta(days=6))
    before = begin(
        daily_amounts(old, CATALOGUE), PEOPLE, DAY_STATE.empty(),
        LoadSettings(quiet_days="rest", until=last - timedelta(days=7)),
    )  # fmt: skip
    late = SOME.filter(pl.col("date") >= last - timedelta(days=6 + 35))
    went_on = go_on(before, daily_amounts(late, CATALOGUE), PEOPLE, DAY_STATE.empty(), choices, last)
    assert went_on is not None
    _equal(went_on, begin(daily_amounts(SOME, CATALOGUE), PEOPLE, DAY_STATE.empty(), choices))


def test_what_needs_the_whole_record_is_said_so() -> None:
    """Somebody new, a new kind of work, or a change in the first weeks."""
    choices = LoadSettings(quiet_days="rest", until=date(2026, 3, 29))
    before = begin(daily_amounts(SOME, CATALOGUE), PEOPLE, DAY_STATE.empty(), choices)
    day = MONDAY + timedelta(days=70)

    def went(rows: pl.DataFrame, changed: date = day) -> RunningFigures | None:
        return go_on(before, daily_amounts(rows, CATALOGUE), PEOPLE, DAY_STATE.empty(), choices, changed)

    one = SOME.head(1).with_columns(date=pl.lit(day))
    assert went(SOME) is not None
    assert went(pl.concat([SOME, one.with_columns(athlete_id=pl.lit("dee"))])) is None
    assert went(pl.concat([SOME, one.with_columns(movement=pl.lit("box_jump"), load_kg=None)])) is None
    assert went(SOME, MONDAY + timedelta(days=20)) is None
