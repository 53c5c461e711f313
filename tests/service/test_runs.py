"""A run is what a filter finds, in the same order; broken runs are mended and unknown keys find nothing."""

from __future__ import annotations

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.service.runs import Runs

ROWS = st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from("xyz")), max_size=30)


def _table(rows: list[tuple[str, str]]) -> pl.DataFrame:
    keys = pl.DataFrame(rows, schema={"athlete_id": pl.String, "channel": pl.String}, orient="row")
    return keys.with_row_index("place")


@given(ROWS)
def test_a_run_is_what_a_filter_finds(rows: list[tuple[str, str]]) -> None:
    table = _table(rows)
    runs, own = Runs(table, "athlete_id", "channel"), Runs(table, "athlete_id")
    for who in "abcd":
        mine = table.filter(pl.col("athlete_id") == who)
        assert own.of(who).equals(mine)
        for channel in "xyzw":
            assert runs.of(who, channel).equals(mine.filter(pl.col("channel") == channel))


def test_several_runs_come_one_after_the_other() -> None:
    runs = Runs(_table([("a", "x"), ("b", "x"), ("a", "y"), ("b", "x")]), "athlete_id")
    assert runs.of_all([("b",), ("nobody",), ("a",)])["place"].to_list() == [1, 3, 0, 2]
    assert runs.of_all([("nobody",)]).schema == _table([]).schema


@pytest.mark.parametrize("height", [0, 3])
def test_unbroken_runs_are_slices_of_the_same_memory(height: int) -> None:
    table = _table([("a", "x")] * height)
    assert Runs(table, "athlete_id").of("a").equals(table)
