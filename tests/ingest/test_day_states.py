"""Lists of days: rest, illness, travel."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import DAY_STATE
from keelmark.ingest import DayStateReading, LogOptions, read_day_states
from tests.ingest.conftest import TODAY, people

Days = Callable[..., DayStateReading]


@pytest.fixture
def days(write: Callable[..., Path]) -> Days:
    def _days(content: str, **options: object) -> DayStateReading:
        settings = LogOptions(**{"today": TODAY, **options})  # type: ignore[arg-type]
        return read_day_states(write(content, "days.csv"), people("Ada", "Bo"), options=settings)

    return _days


def test_single_days_and_periods(days: Days) -> None:
    one = days(
        "who,from,to,state,note\nAda,2026-03-01,2026-03-03,ill,cold\nBo,2026-03-02,,travel,\nall,2026-04-05,2026-04-06,rest,holiday\n"
    )
    assert one.counts == {"rows": 3, "accepted": 3, "duplicate": 0, "blank": 0, "other": 0, "quarantined": 0}
    assert sorted(one.day_states.rows()) == [
        ("ada", dt.date(2026, 3, 1), "ill", "cold"),
        ("ada", dt.date(2026, 3, 2), "ill", "cold"),
        ("ada", dt.date(2026, 3, 3), "ill", "cold"),
        ("ada", dt.date(2026, 4, 5), "rest", "holiday"),
        ("ada", dt.date(2026, 4, 6), "rest", "holiday"),
        ("bo", dt.date(2026, 3, 2), "travel", None),
        ("bo", dt.date(2026, 4, 5), "rest", "holiday"),
        ("bo", dt.date(2026, 4, 6), "rest", "holiday"),
    ]
    DAY_STATE.check(one.day_states, where="test")


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("Name;Datum;Zustand\nAda;05.03.2026;krank\n", "ill"),
        ("Name;Datum;Status\nAda;05.03.2026;Ruhetag\n", "rest"),
        ("Atleta;Fecha;Estado\nAda;05/03/2026;de viaje\n", "travel"),
        ("Nom;Date;État\nAda;05/03/2026;vacances\n", "away"),
        ("Atleta;Data;Estado\nAda;05/03/2026;limitada\n", "restricted"),
        ("athlete,date,state\nADA,2026-03-05,Rest day\n", "rest"),
    ],
)
def test_words_of_five_languages(days: Days, text: str, state: str) -> None:
    assert days(text).day_states.rows() == [("ada", dt.date(2026, 3, 5), state, None)]


def test_everybody_in_five_languages(days: Days) -> None:
    for word in ("all", "alle", "todos", "tous", "todas"):
        assert days(f"athlete,date,state\n{word},2026-03-05,rest\n").day_states.height == 2


def test_each_row_that_cannot_be_used_says_why(days: Days) -> None:
    one = days(
        "athlete,from,to,state\nZed,2026-03-01,,ill\n,2026-03-01,,ill\nAda,,,ill\nAda,2026-03-05,2026-03-01,ill\n"
        "Ada,2026-03-01,2028-03-01,ill\nAda,2026-03-01,,tired\nAda,1900-03-01,,ill\nAda,2026-02-30,,ill\n,,,\n"
        "Ada,2026-03-01,,ill\nAda,2026-03-01,,ill\n"
    )
    assert one.rows["verdict"].to_list() == ["quarantined"] * 8 + ["blank", "accepted", "duplicate"]
    assert one.rows["reasons"].to_list()[:8] == [
        ["unknown_athlete"],
        ["missing_athlete"],
        ["bad_date"],
        ["bad_period"],
        ["date_out_of_range"],
        ["unknown_state"],
        ["date_out_of_range"],
        ["bad_date"],
    ]
    assert one.rows["messages"].to_list()[3] == [
        "row 4, line 5, column from: the period '2026-03-05 to 2026-03-01' ends before it starts, or is longer "
        "than a year. "
        "Wanted: a first day on or before the last. What to do: check both days."
    ]


def test_planned_travel_ahead_is_taken(days: Days) -> None:
    assert days("athlete,date,state\nAda,2027-02-01,travel\n").day_states.height == 1


def test_a_later_row_counts_and_that_is_told(days: Days) -> None:
    one = days("athlete,date,state\nall,2026-03-01,rest\nAda,2026-03-01,ill\n")
    assert dict(one.day_states.select("athlete_id", "state").iter_rows()) == {"ada": "ill", "bo": "rest"}
    assert [warning.text for warning in one.warnings] == [
        "1 day with more than one state; the row further down counts."
    ]


def test_without_a_state_column(days: Days) -> None:
    with pytest.raises(RefusedInput, match="no column for state was found"):
        days("athlete,date,reason why\nAda,2026-03-01,ill\n")
