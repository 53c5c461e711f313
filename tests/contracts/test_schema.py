"""Every table between two stages is checked at the door, and a wrong one is told in words that help."""

from __future__ import annotations

import polars as pl
import pytest

from keelmark.contracts.channels import CHANNEL_BY_KEY, CHANNELS, OPPOSING_CHANNELS
from keelmark.contracts.errors import FrameError, KeelmarkError
from keelmark.contracts.frames import DAY_STATE, EFFORT, FRAMES
from keelmark.contracts.schema import Column, FrameSchema

SMALL = FrameSchema(
    "Small",
    "a table for this test",
    (Column("name", pl.String, "", "who"), Column("amount", pl.Float64, "kg", "how much", optional=True)),
)


@pytest.mark.parametrize("schema", FRAMES, ids=lambda schema: schema.name)
def test_an_empty_table_passes_its_own_door(schema: FrameSchema) -> None:
    assert schema.check(schema.empty(), where="test").columns == schema.names


@pytest.mark.parametrize("schema", FRAMES, ids=lambda schema: schema.name)
def test_each_column_is_named_once_and_has_a_meaning(schema: FrameSchema) -> None:
    assert len(set(schema.names)) == len(schema.names)
    assert all(column.meaning for column in schema.columns)


def test_a_missing_and_an_unexpected_column_are_named() -> None:
    with pytest.raises(FrameError) as told:
        SMALL.check(pl.DataFrame({"name": ["Ada"], "weight": [1.0]}), where="log.csv")
    assert str(told.value) == (
        "log.csv, table Small: columns missing: ['amount'], unexpected: ['weight']. Wanted: exactly name, amount. "
        "What to do: build the table from its schema in keelmark.contracts.frames."
    )


def test_a_wrong_type_is_named() -> None:
    with pytest.raises(FrameError, match=r"column amount has type Int64\. Wanted: type Float64"):
        SMALL.check(pl.DataFrame({"name": ["Ada"], "amount": [1]}), where="log.csv")


def test_an_empty_value_where_one_is_needed_is_counted() -> None:
    with pytest.raises(FrameError, match=r"empty values in \{'name': 1\}"):
        SMALL.check(pl.DataFrame({"name": [None], "amount": [1.0]}, schema=SMALL.polars), where="log.csv")


def test_columns_come_back_in_schema_order() -> None:
    frame = pl.DataFrame({"amount": [1.0], "name": ["Ada"]})
    assert SMALL.check(frame, where="log.csv").columns == ["name", "amount"]


def test_build_fills_what_a_row_leaves_out_with_nothing_rather_than_zero() -> None:
    assert SMALL.build([{"name": "Ada"}]).row(0) == ("Ada", None)


def test_the_documentation_is_printed_from_the_definition() -> None:
    text = EFFORT.markdown()
    assert "| `load_basis` | one of external, none, unknown |" in text
    assert text.count("\n| `") == len(EFFORT.columns)


def test_only_rest_is_among_the_day_states_that_count_as_zero() -> None:
    states = DAY_STATE.columns[2].dtype
    assert isinstance(states, pl.Enum)
    assert set(states.categories) == {"trained", "partly", "rest", "unlogged", "ill", "travel", "away", "restricted"}


def test_channels_have_one_key_each_and_opposing_pairs_name_real_ones() -> None:
    assert len(CHANNEL_BY_KEY) == len(CHANNELS)
    for first, second, unit in OPPOSING_CHANNELS:
        assert CHANNEL_BY_KEY[first].unit == CHANNEL_BY_KEY[second].unit == unit


def test_every_error_has_one_root() -> None:
    error = FrameError("a", where="b", wanted="c", remedy="d")
    assert isinstance(error, KeelmarkError)
    assert str(error) == "b: a. Wanted: c. What to do: d."
