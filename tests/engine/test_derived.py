"""What is taken over from before and what is worked out anew together have the bits of working out everything."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import polars as pl
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from keelmark.contracts.frames import DAY_STATE, REP_MAXIMUM
from keelmark.engine import Tables
from keelmark.engine.derived import Derived, derive
from keelmark.load import LoadSettings
from tests.engine.conftest import CATALOGUE, LAST, MONDAY, WEEKS, squads

SETTINGS = LoadSettings(until=LAST)
SQUAD = squads(8, 4)
BEGIN = derive(SQUAD, CATALOGUE, SETTINGS, "1")
KEYS = SQUAD.athletes["athlete_id"].to_list()


def _more(tables: Tables, key: str, day: date) -> Tables:
    """A session that another athlete did, done by this one too, on some day."""
    some = tables.efforts.head(4).with_columns(athlete_id=pl.lit(key), date=pl.lit(day), session_id=pl.lit(f"n {day}"))
    return replace(tables, efforts=pl.concat([tables.efforts, some]))


def _taken_back(tables: Tables, key: str, day: date) -> Tables:
    gone = (pl.col("athlete_id") == key) & (pl.col("date") == day)
    return replace(tables, efforts=tables.efforts.filter(~gone))


def _rested(tables: Tables, key: str, day: date) -> Tables:
    new = DAY_STATE.build([{"athlete_id": key, "date": day, "state": "rest"}])
    others = tables.day_states.filter((pl.col("athlete_id") != key) | (pl.col("date") != day))
    return replace(tables, day_states=pl.concat([others, new]))


def _tested(tables: Tables, key: str, day: date) -> Tables:
    new = REP_MAXIMUM.build(
        [{"athlete_id": key, "movement": "deadlift", "date": day, "load_kg": 140.0, "state": "tested"}]
    )
    return replace(tables, rep_maxima=pl.concat([tables.rep_maxima, new]))


def _moved(tables: Tables, key: str, day: date) -> Tables:
    """To another group, whose days are now told from this athlete's too."""
    other = pl.when(pl.col("athlete_id") == key).then(pl.lit("tower")).otherwise("group")
    return replace(tables, athletes=tables.athletes.with_columns(group=other))


def _swapped(tables: Tables, key: str, day: date) -> Tables:
    """The same rows of a day in another order."""
    own = (pl.col("athlete_id") == key) & (pl.col("date") == day)
    rest, some = tables.efforts.filter(~own), tables.efforts.filter(own)
    return replace(tables, efforts=pl.concat([rest, some.reverse()]))


CHANGES = st.lists(
    st.tuples(
        st.sampled_from([_more, _taken_back, _rested, _tested, _moved, _swapped]),
        st.sampled_from([*KEYS, "new"]),
        st.integers(0, 7 * WEEKS - 1).map(lambda number: MONDAY + timedelta(days=number)),
    ),
    min_size=1,
    max_size=3,
)


def _same(one: Derived, other: Derived) -> None:
    assert one.daily.equals(other.daily, null_equal=True)
    assert one.weekly.equals(other.weekly, null_equal=True)


@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(CHANGES, st.booleans())
def test_step_by_step_gives_the_same_bits_as_all_at_once(changes: list, later: bool) -> None:
    tables, kept = SQUAD, BEGIN
    choices = replace(SETTINGS, until=LAST + timedelta(days=3)) if later else SETTINGS
    for change, key, day in changes:
        tables = change(tables, key, day)
        kept = derive(tables, CATALOGUE, choices, "1", kept)
    _same(kept, derive(tables, CATALOGUE, choices, "1"))


def test_what_has_not_changed_is_taken_over_as_it_is() -> None:
    again = derive(SQUAD, CATALOGUE, SETTINGS, "1", BEGIN)
    assert again.daily is BEGIN.daily
    assert again.weekly is BEGIN.weekly


def test_another_version_of_the_rules_takes_nothing_over() -> None:
    odd = replace(BEGIN, daily=BEGIN.daily.with_columns(value=pl.lit(1.0)))
    assert not derive(SQUAD, CATALOGUE, SETTINGS, "1", odd).daily.equals(BEGIN.daily)
    _same(derive(SQUAD, CATALOGUE, SETTINGS, "2", odd), BEGIN)


def test_an_athlete_who_is_gone_leaves_no_figure() -> None:
    """The others of the group are told without them."""
    key = KEYS[0]
    less = Tables(
        *(
            getattr(SQUAD, name).filter(pl.col("athlete_id") != key)
            for name in ("athletes", "efforts", "sessions", "rep_maxima", "day_states")
        )
    )
    found = derive(less, CATALOGUE, SETTINGS, "1", BEGIN)
    assert key not in set(found.weekly["athlete_id"]) | set(found.daily["athlete_id"])
    _same(found, derive(less, CATALOGUE, SETTINGS, "1"))
