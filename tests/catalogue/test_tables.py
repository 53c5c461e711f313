"""The tables that later stages join on say the same as the movements."""

from __future__ import annotations

import polars as pl
import pytest

from keelmark.catalogue import Catalogue, shipped_catalogue


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped_catalogue()


def test_exposures_hold_one_row_per_movement_unit_and_exposure(catalogue: Catalogue) -> None:
    table = catalogue.exposures
    assert table.columns == ["movement", "per", "exposure", "value", "low", "high"]
    assert table.null_count().row(0) == (0,) * 6
    assert table.select("movement", "per", "exposure").is_unique().all()
    assert set(table["per"]) == {"rep", "m", "s", "kcal"}
    stated = sum(len(m.per_rep) + len(m.per_metre) + len(m.per_second) for m in catalogue.movements.values())
    assert table.filter(pl.col("per") != "kcal").height == stated


def test_a_row_per_calorie_is_the_row_per_metre_times_metres_per_calorie(catalogue: Catalogue) -> None:
    row = catalogue["row"]
    rate, grip = row.metres_per_calorie, row.per_metre["grip_s"]
    assert rate is not None
    found = catalogue.exposures.filter(movement="row", per="kcal", exposure="grip_s").row(0, named=True)
    assert found["value"] == pytest.approx(rate.value * grip.value)
    assert found["low"] == pytest.approx(rate.low * grip.low)
    assert found["high"] == pytest.approx(rate.high * grip.high)


def test_traits_hold_one_row_per_movement_and_nothing_where_nothing_is_stated(catalogue: Catalogue) -> None:
    traits = catalogue.traits
    assert traits["movement"].to_list() == list(catalogue)
    snatch = traits.filter(movement="power_snatch").row(0, named=True)
    assert (snatch["load"], snatch["high_rep"], snatch["rep_maximum_of"]) == ("needs", True, "snatch")
    assert snatch["rep_maximum_share_low"] < snatch["rep_maximum_share"] < snatch["rep_maximum_share_high"]
    assert snatch["metres_per_calorie"] is None
    plank = traits.filter(movement="plank_hold").row(0, named=True)
    assert plank["first_measure"] == "duration_s"
    assert plank["seconds_per_rep"] is None


def test_swap_table_says_in_which_measure_the_ratio_counts(catalogue: Catalogue) -> None:
    table = catalogue.swap_table
    knees = table.filter(movement="toes_to_bar", to="hanging_knee_raise").row(0, named=True)
    assert (knees["measure"], knees["value"]) == ("reps", 2)
    assert table.filter(movement="run", to="row")["measure"].to_list() == ["distance_m"]
    assert table.filter(pl.col("low") <= 0).is_empty()


def test_the_shipped_catalogue_is_read_once() -> None:
    assert shipped_catalogue() is shipped_catalogue()
