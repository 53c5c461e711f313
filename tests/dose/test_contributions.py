"""Every weekly figure can be walked back to the efforts that made it, and they add up to it."""

from __future__ import annotations

from datetime import timedelta

import polars as pl
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.frames import DAY_STATE, EFFORT
from keelmark.dose import contributions, contributions_to, daily_dose
from keelmark.load import weekly_figures
from tests.dose.squad import MONDAY, athletes, efforts, no_maxima, sessions, small_catalogue

WEEK = "2026-W10"
LOG = (
    {"movement": "deadlift", "sets": 3, "reps": 5.0, "load_kg": 100.0, "text": "3x5 deadlift 100 kg"},
    {"movement": "back_squat", "reps": 10.0, "load_kg": 60.0, "date": MONDAY + timedelta(days=1)},
    {"movement": "box_jump", "reps": 30.0, "date": MONDAY + timedelta(days=2)},
    {"movement": "deadlift", "reps": 5.0, "load_basis": "unknown", "date": MONDAY + timedelta(days=3)},
    {"movement": "deadlift", "reps": 50.0, "load_kg": 40.0, "date": MONDAY + timedelta(days=7)},
)


def behind(channel: str, week: str = WEEK) -> pl.DataFrame:
    return contributions(
        efforts(*LOG),
        sessions({"session_rpe": 7.0, "duration_min": 60.0}),
        athletes(),
        no_maxima(),
        small_catalogue(),
        athlete_id="runa",
        week=week,
        channel=channel,
    )


def test_largest_first_with_shares_and_unknown_ones_last() -> None:
    rows = behind("tonnage")
    assert rows["movement"].to_list() == ["deadlift", "back_squat", "deadlift"]
    assert rows["contribution"].to_list() == [1500.0, 600.0, None]
    assert rows["share"].to_list() == [pytest.approx(1500 / 2100), pytest.approx(600 / 2100), None]
    assert rows["contribution_high"].to_list() == [1500.0, 600.0, None]


def test_the_words_and_rows_come_along() -> None:
    first = behind("tonnage").row(0, named=True)
    assert set(EFFORT.names) <= set(first)
    assert (first["text"], first["source_row"]) == ("3x5 deadlift 100 kg", 1)


def test_efforts_that_add_nothing_are_left_out() -> None:
    assert behind("jump_contacts")["movement"].to_list() == ["box_jump"]


def test_another_week_has_other_rows() -> None:
    assert behind("tonnage", "2026-W11")["contribution"].to_list() == [2000.0]
    assert behind("tonnage", "2026-W12").is_empty()


def test_a_session_load_leads_to_sessions() -> None:
    rows = behind("session_load")
    assert rows["movement"].to_list() == ["session"]
    assert rows["text"].to_list() == ["session rated 7 for 60 min"]
    assert rows["contribution"].to_list() == [420.0]


def test_the_rows_of_a_week_add_up_to_its_figure() -> None:
    """All channels of the shipped catalogue, over a week of mixed work."""
    catalogue = shipped_catalogue()
    log = efforts(
        {"movement": "deadlift", "sets": 3, "reps": 12.0, "load_kg": 80.0},
        {"movement": "toes_to_bar", "sets": 3, "reps": 10.0},
        {"movement": "box_jump", "reps": 40.0, "height_cm": 60.0},
        {"movement": "run", "distance_m": 3000.0, "date": MONDAY + timedelta(days=2)},
        {"movement": "wall_ball", "reps": 60.0, "load_kg": 9.0, "date": MONDAY + timedelta(days=2)},
        {"movement": "row", "calories": 60.0, "date": MONDAY + timedelta(days=4)},
    )
    people = athletes().with_columns(body_mass_kg=pl.lit(75.0), stature_cm=pl.lit(178.0))
    rated = sessions({"session_rpe": 6.0, "duration_min": 50.0})
    daily = daily_dose(log, rated, people, no_maxima(), catalogue)
    weekly = weekly_figures(daily, people, DAY_STATE.empty())
    keys = weekly.select("athlete_id", "week", "channel")
    rows = contributions_to(keys, log, rated, people, no_maxima(), catalogue)
    assert weekly.height >= 15
    for row in weekly.iter_rows(named=True):
        own = rows.filter(pl.col("channel") == row["channel"])
        gathered = (
            own["contribution"].max() if CHANNEL_BY_KEY[row["channel"]].gather == "max" else own["contribution"].sum()
        )
        assert (gathered or 0.0) == pytest.approx(row["on_record"] or 0.0, rel=1e-9), row["channel"]
