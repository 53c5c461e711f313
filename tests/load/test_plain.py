"""Plain figures have the bits of the whole house where no day is missing, and rest on the known days elsewhere."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import polars as pl
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.dose import daily_dose
from keelmark.dose.amounts import daily_amounts
from keelmark.load import LoadSettings, weekly_figures
from keelmark.load.plain import PLAIN_FIGURES, USUAL_FIGURES, plain_figures
from keelmark.load.usual import past_weeks

CATALOGUE = shipped_catalogue()
MONDAY = date(2026, 1, 5)
PEOPLE = ATHLETE.build([{"athlete_id": key, "name": key.title()} for key in ("ana", "ben", "cai")])


def log(weeks: int, *, every_week: bool = True, unknown_load: bool = False) -> pl.DataFrame:
    draw, rows = np.random.default_rng(3), []
    for key in PEOPLE["athlete_id"]:
        for day in range(7 * weeks):
            if draw.random() > 0.55 and not (every_week and day % 7 == 0):
                continue
            for place, name in enumerate(("deadlift", "pull_up", "thruster", "sit_up")):
                if draw.random() < 0.7 or place == 0:
                    lifts = CATALOGUE[name].load != "never"
                    given = lifts and not (unknown_load and draw.random() < 0.1)
                    rows.append(
                        {
                            "athlete_id": key, "date": MONDAY + timedelta(days=day), "session_id": f"{key} {day}",
                            "order": place, "movement": name, "version": "as_written", "sets": 3,
                            "reps": float(draw.integers(1, 15)),
                            "load_kg": float(draw.uniform(30, 90)) if given else None,
                            "load_basis": "external" if given else "unknown" if lifts else "none",
                            "share_low": 1.0, "share_high": 1.0, "source": "log", "import_id": "i",
                        }
                    )  # fmt: skip
    return EFFORT.build(rows)


def plain(efforts: pl.DataFrame, settings: LoadSettings, *, usual: bool = False) -> pl.DataFrame:
    blocks = plain_figures(daily_amounts(efforts, CATALOGUE), PEOPLE, DAY_STATE.empty(), settings, usual=usual)
    return pl.concat(frame.with_columns(pl.col("athlete_id", "channel").cast(pl.String)) for frame in blocks)


def house(efforts: pl.DataFrame, settings: LoadSettings) -> pl.DataFrame:
    daily = daily_dose(efforts, SESSION.empty(), PEOPLE, REP_MAXIMUM.empty(), CATALOGUE)
    return weekly_figures(daily, PEOPLE, DAY_STATE.empty(), settings)


@pytest.mark.parametrize("week_day", [7, 3])
@pytest.mark.parametrize("deviation", ["sample", "population"])
def test_the_same_bits_as_the_whole_house(week_day: int, deviation: str) -> None:
    efforts = log(9)
    settings = LoadSettings(quiet_days="rest", week_day=week_day, standard_deviation=deviation)  # type: ignore[arg-type]
    ours = plain(efforts, settings)
    theirs = house(efforts, settings).select("athlete_id", "channel", "monday", *PLAIN_FIGURES)
    both = ours.join(theirs, on=["athlete_id", "channel", "monday"], suffix="_house")
    assert both.height == ours.height
    for name in PLAIN_FIGURES:
        assert both[name].equals(both[f"{name}_house"], null_equal=True), name
        assert both[name].null_count() < both.height


def test_loads_that_are_not_known_withhold_what_rests_on_them() -> None:
    efforts = log(8, unknown_load=True)
    settings = LoadSettings(quiet_days="rest")
    ours = plain(efforts, settings)
    theirs = house(efforts, settings).select("athlete_id", "channel", "monday", "known_days", "on_record")
    both = ours.join(theirs, on=["athlete_id", "channel", "monday"])
    assert (both["known_days"] < 7).sum() > 5
    assert both.filter(pl.col("known_days") < 5.25)["value"].null_count() == (both["known_days"] < 5.25).sum()
    given = both.filter(pl.col("value").is_not_null())
    assert given["value"].equals(given["on_record"])


def test_weeks_without_a_record_are_not_known() -> None:
    some = log(8).filter(~pl.col("date").is_between(MONDAY + timedelta(21), MONDAY + timedelta(27)))
    weeks = plain(some, LoadSettings(quiet_days="rest")).filter(pl.col("channel") == "tonnage")
    assert weeks.filter(pl.col("monday") == MONDAY + timedelta(21))["value"].to_list() == [None] * 3


def test_nothing_gives_nothing() -> None:
    assert list(plain_figures(daily_amounts(EFFORT.empty(), CATALOGUE), PEOPLE, DAY_STATE.empty())) == []


def test_past_weeks_are_quantiles_as_numpy_takes_them() -> None:
    """numpy.nanquantile is the outside check."""
    draw = np.random.default_rng(9)
    value = draw.lognormal(size=(30, 4, 2))
    value[draw.random(value.shape) < 0.3] = np.nan
    value[:, 0] = draw.lognormal(size=(30, 2))
    found = past_weeks(value)
    for week in range(30):
        past = value[max(0, week - 12) : week]
        enough = (~np.isnan(past)).sum(axis=0) >= 4
        for ends, share in zip(found, (0.1, 0.5, 0.9), strict=True):
            assert np.isnan(ends[week][~enough]).all()
            if enough.any():
                wanted = np.nanquantile(past[:, enough], share, axis=0)
                np.testing.assert_allclose(ends[week][enough], wanted, rtol=1e-12)


def test_the_usual_range_holds_its_middle() -> None:
    weeks = plain(log(9), LoadSettings(quiet_days="rest"), usual=True).drop_nulls(USUAL_FIGURES)
    assert weeks.height > 50
    assert (weeks["usual_low"] <= weeks["usual_middle"]).all()
    assert (weeks["usual_middle"] <= weeks["usual_high"]).all()
