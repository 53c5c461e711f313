"""Marks follow an athlete's own past, never the week itself or what comes after."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import ATHLETE
from keelmark.contracts.records import CALENDAR_LABEL
from keelmark.marks import MarkSettings, marks, next_week_marks
from tests.marks.squad import MONDAY, week, weekly

PEOPLE = ("ada", "bo", "cai", "dag", "eli", "fen")


def steady(weeks: int = 30, scatter: float = 0.12) -> dict[tuple[str, str], list[float | None]]:
    random = np.random.default_rng(11)
    return {
        (who, "tonnage"): (1000.0 * (1 + place) * random.lognormal(0, scatter, weeks)).tolist()
        for place, who in enumerate(PEOPLE)
    }


def mark(frame: pl.DataFrame, who: str, number: int) -> dict[str, Any]:
    return frame.filter((pl.col("athlete_id") == who) & (pl.col("week") == week(number))).row(0, named=True)


def test_a_doubled_week_of_a_steady_athlete_is_well_above() -> None:
    series = steady()
    series["cai", "tonnage"][25] = 6000.0
    found = mark(marks(weekly(series)), "cai", 25)
    assert found["place"] == "well_above"
    assert found["lower"] < found["expected"] == pytest.approx(3000.0, rel=0.15)
    assert found["upper"] < 4500.0
    assert found["tail"] < 0.005
    assert found["weeks"] == 25


def test_a_halved_week_is_below() -> None:
    series = steady()
    series["cai", "tonnage"][25] = 1300.0
    assert mark(marks(weekly(series)), "cai", 25)["place"] == "below"


def test_one_odd_week_hardly_moves_the_marks() -> None:
    series, plain = steady(), marks(weekly(steady()))
    series["cai", "tonnage"][25] = 30000.0
    after = mark(marks(weekly(series)), "cai", 26)
    assert after["expected"] < 1.25 * mark(plain, "cai", 26)["expected"]


def test_a_lasting_change_becomes_the_new_usual() -> None:
    series = steady()
    values = series["cai", "tonnage"]
    series["cai", "tonnage"] = values[:15] + [2.0 * (value or 0.0) for value in values[15:]]
    assert mark(marks(weekly(series)), "cai", 15)["place"] == "well_above"
    assert mark(marks(weekly(series)), "cai", 29)["place"] == "within"


def test_the_tail_passes_the_share_exactly_at_the_mark() -> None:
    series = steady(60, 0.3)
    joined = marks(weekly(series)).with_columns(value=weekly(series)["value"]).filter(pl.col("tail").is_not_null())
    above = joined["place"].is_in(["above", "well_above"])
    assert 5 < above.sum() < 40
    assert (joined.filter(above)["tail"] <= 0.05 + 1e-9).all()
    assert (joined.filter(~above)["tail"] >= 0.05 - 1e-9).all()
    assert (joined.filter(above)["value"] > joined.filter(above)["upper"]).all()


def test_no_marks_from_fewer_than_four_weeks_and_the_reason_says_so() -> None:
    found = mark(marks(weekly(steady())), "ada", 2)
    assert found["place"] == "not_known"
    assert found["upper"] is None
    assert found["reason"] == "2 of the 4 known weeks that a usual range needs"


def test_no_marks_for_work_done_seldom() -> None:
    seldom: list[float | None] = [50.0 if number % 4 == 0 else 0.0 for number in range(20)]
    found = mark(marks(weekly({("ada", "jump_contacts"): seldom})), "ada", 18)
    assert found["place"] == "not_known"
    assert found["reason"] == "done in 3 of the last 12 weeks; too seldom for a usual range"


def test_a_week_that_is_hardly_known_has_no_place() -> None:
    frame = weekly(steady()).with_columns(
        known_days=pl.when(pl.col("week") == week(20)).then(5).otherwise(7).cast(pl.Int64)
    )
    found = mark(marks(frame), "eli", 20)
    assert (found["place"], found["reason"]) == ("not_known", "only 5 of 7 days are fully known")
    assert found["tail"] is None
    assert found["upper"] > 0


def test_a_week_that_is_not_over_says_so() -> None:
    frame = weekly(steady()).with_columns(
        known_days=pl.when(pl.col("week") == week(29)).then(3).otherwise(7).cast(pl.Int64)
    )
    tuesday = MONDAY + timedelta(days=7 * 29 + 1)
    found = mark(marks(frame, until=tuesday), "eli", 29)
    assert (found["place"], found["reason"]) == ("not_known", "the week is not over: 3 of its 7 days are known so far")
    assert (
        mark(marks(frame, until=tuesday + timedelta(days=5)), "eli", 29)["reason"] == "only 3 of 7 days are fully known"
    )


def test_a_week_hardly_known_but_already_beyond_the_mark_is_above() -> None:
    series = steady()
    series["bo", "tonnage"][20] = 5000.0
    frame = weekly(series).with_columns(
        known_days=pl.when(pl.col("week") == week(20)).then(3).otherwise(7).cast(pl.Int64)
    )
    assert mark(marks(frame), "bo", 20)["place"] == "well_above"


def test_an_unknown_week_is_not_learnt_from() -> None:
    series = steady()
    series["bo", "tonnage"][20] = None
    found = mark(marks(weekly(series)), "bo", 21)
    assert found["weeks"] == 20
    assert found["expected"] == pytest.approx(2000.0, rel=0.2)


def test_a_new_athlete_starts_near_the_squad() -> None:
    series = {(who, "tonnage"): [1000.0 * random for random in np.random.default_rng(place).lognormal(0, 0.15, 30)]
              for place, who in enumerate(PEOPLE)}  # fmt: skip
    late = weekly(series).filter((pl.col("athlete_id") != "fen") | (pl.col("week") > week(20)))
    found = marks(late).filter(pl.col("athlete_id") == "fen")
    assert found["weeks"].to_list() == list(range(9))
    assert found.row(4, named=True)["expected"] == pytest.approx(1000.0, rel=0.2)


def label(first: int, last: int, group: str | None = None) -> pl.DataFrame:
    days = (MONDAY + timedelta(days=7 * first), MONDAY + timedelta(days=7 * last + 6))
    return CALENDAR_LABEL.build(
        [{"label_id": "1", "date_from": days[0], "date_to": days[1], "label": "competition", "group": group}]
    )


def test_labelled_weeks_are_placed_but_usual_amounts_are_not_learnt_from_them() -> None:
    series = steady()
    for number in (15, 16, 17):
        series["dag", "tonnage"][number] = 24000.0
    named = marks(weekly(series), labels=label(15, 17))
    assert mark(named, "dag", 15)["place"] == "well_above"
    plain = marks(weekly(series))
    assert mark(named, "dag", 18)["expected"] == pytest.approx(mark(plain, "dag", 15)["expected"], rel=0.05)


def test_a_label_of_one_group_leaves_the_others_alone() -> None:
    people = ATHLETE.build(
        [{"athlete_id": who, "name": who.title(), "group": "boat" if who == "dag" else "shore"} for who in PEOPLE]
    )
    named = marks(weekly(steady()), labels=label(15, 17, "boat"), athletes=people)
    assert mark(named, "dag", 20)["weeks"] == 17
    assert mark(named, "eli", 20)["weeks"] == 20


def test_marks_of_a_week_do_not_depend_on_it_or_on_later_weeks() -> None:
    series = steady()
    whole = marks(weekly(series))
    cut = marks(weekly({key: values[:21] for key, values in series.items()}))
    columns = ["athlete_id", "week", "expected", "lower", "upper"]
    assert cut.select(columns).equals(
        whole.filter(pl.col("week").is_in(cut["week"].unique().to_list())).select(columns)
    )
    series["ada", "tonnage"][20] = 1.0
    other = marks(weekly({key: values[:21] for key, values in series.items()}))
    assert other.select(columns).equals(cut.select(columns))


@given(st.floats(1e-3, 1e4))
@settings(max_examples=15, deadline=None)
def test_marks_scale_with_the_unit(factor: float) -> None:
    scaled = {key: [factor * (value or 0.0) for value in values] for key, values in steady().items()}
    one, other = marks(weekly(steady())), marks(weekly(scaled))
    assert other["place"].equals(one["place"])
    for name in ("expected", "lower", "upper"):
        np.testing.assert_allclose(other[name].to_numpy(), factor * one[name].to_numpy(), rtol=1e-7)


@given(st.permutations(PEOPLE))
@settings(max_examples=10, deadline=None)
def test_the_order_of_athletes_does_not_matter(order: list[str]) -> None:
    series = steady()
    shuffled = marks(weekly({(who, "tonnage"): series[who, "tonnage"] for who in order}))
    plain = marks(weekly(series))
    for name in ("expected", "upper", "tail"):
        np.testing.assert_allclose(
            shuffled.sort("athlete_id", "week")[name].to_numpy(),
            plain.sort("athlete_id", "week")[name].to_numpy(),
            rtol=1e-9,
        )


def test_next_weeks_marks_are_those_that_the_next_week_will_have() -> None:
    series = steady()
    ahead = next_week_marks(weekly({key: values[:21] for key, values in series.items()}))
    then = marks(weekly(series)).filter(pl.col("week") == week(21))
    assert ahead.select("athlete_id", "week", "expected", "lower", "upper", "weeks").equals(
        then.select("athlete_id", "week", "expected", "lower", "upper", "weeks")
    )
    assert set(ahead["place"]) == {"not_known"}
    assert set(ahead["reason"]) == {"the week has not happened yet"}


def test_no_figures_no_marks() -> None:
    assert marks(weekly({})).is_empty()
    assert next_week_marks(weekly({})).is_empty()


@pytest.mark.parametrize(
    ("choice", "text"),
    [
        ({"share": 0.5}, "setting share: 0.5 is not a share of weeks"),
        ({"share": 0.0}, "setting share: 0 is not a share of weeks"),
        ({"budget": 0}, "setting budget: 0 is not a number of notices"),
        ({"week_rate": 1.0}, "setting week_rate: 1 is not a rate"),
        ({"slow_rate": 0.0}, "setting slow_rate: 0 is not a rate"),
    ],
)
def test_a_setting_out_of_range_is_refused(choice: dict[str, Any], text: str) -> None:
    with pytest.raises(SettingError, match=text):
        MarkSettings(**choice)


def test_dates_of_the_series_are_mondays() -> None:
    assert date.weekday(MONDAY) == 0
