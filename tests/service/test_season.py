"""Every figure can be walked back to its rows, and the rows make the figure."""

from __future__ import annotations

import math

import polars as pl
import pytest

from keelmark.contracts.channels import CHANNEL_BY_KEY, CHANNELS
from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import FRAMES
from keelmark.service import Squad

SUMMED = [channel.key for channel in CHANNELS if channel.gather == "sum" and channel.key != "session_load"]


def test_every_table_of_the_season_passes_its_door(demo: Squad) -> None:
    season = demo.season()
    tables = {schema.name: schema for schema in FRAMES}
    tables["Daily dose"].check(season.daily, where="test")
    tables["Weekly figure"].check(season.weekly, where="test")
    tables["Mark"].check(season.marks, where="test")
    tables["Notice"].check(season.notices, where="test")


@pytest.mark.parametrize("channel", SUMMED)
@pytest.mark.parametrize(("athlete", "week"), [("tove", "2026-W23"), ("signe", "2026-W05"), ("aled", "2025-W45")])
def test_the_rows_behind_a_weekly_figure_add_up_to_it(demo: Squad, athlete: str, week: str, channel: str) -> None:
    season = demo.season()
    figure = season.weekly.filter(athlete_id=athlete, week=week, channel=channel)
    if figure.is_empty():
        return
    rows = season.rows_behind(athlete, week, channel)
    assert math.isclose(rows["contribution"].sum(), figure["value"].item() or 0.0, rel_tol=1e-9, abs_tol=1e-9)
    assert rows["file"].unique().to_list() in (["log.csv"], [])
    assert rows["source_row"].null_count() == 0


def test_the_largest_row_behind_a_peak_is_the_peak(demo: Squad) -> None:
    season = demo.season()
    figure = season.weekly.filter(athlete_id="aled", week="2025-W45", channel="lumbar_peak")
    rows = season.rows_behind("aled", "2025-W45", "lumbar_peak")
    assert math.isclose(rows["contribution"].max(), figure["value"].item(), rel_tol=1e-9)  # type: ignore[arg-type]


def test_a_session_load_is_walked_back_to_its_sessions(demo: Squad) -> None:
    season = demo.season()
    figure = season.weekly.filter(athlete_id="tove", week="2026-W23", channel="session_load")
    rows = season.rows_behind("tove", "2026-W23", "session_load")
    assert math.isclose(rows["contribution"].sum(), figure["value"].item(), rel_tol=1e-9)


def test_marks_belong_to_figures_one_to_one(demo: Squad) -> None:
    season = demo.season()
    keys = ["athlete_id", "week", "channel"]
    assert season.marks.height == season.weekly.height
    assert season.weekly.join(season.marks, on=keys, how="anti").is_empty()


def test_every_notice_has_all_its_words(demo: Squad) -> None:
    for notice in demo.season().notices.iter_rows(named=True):
        assert notice["headline"].endswith(".")
        assert 1 <= len(notice["contributors"]) <= 3
        assert len(notice["options"]) >= 2
        assert all(notice[part] for part in ("usual", "not_known", "how_often", "scope"))
        assert CHANNEL_BY_KEY[notice["channel"]]


def test_the_planted_spike_of_the_demo_is_told_first_in_its_week(demo: Squad) -> None:
    first = demo.season().notices.filter((pl.col("week") == "2026-W23") & (pl.col("rank") == 1)).row(0, named=True)
    assert first["athlete_id"] == "tove"
    assert first["channel"] == "jump_contacts"
    assert first["place"] == "well_above"


def test_the_slow_rise_of_the_demo_is_told(demo: Squad) -> None:
    told = demo.season().notices.filter(athlete_id="signe")
    back = {channel.key for channel in CHANNELS if channel.group == "back"} | {"hip_hinge_reps", "hip_hinge_kg"}
    assert set(told["channel"]) & back


def test_figures_are_kept_until_something_is_written(demo: Squad) -> None:
    assert demo.season() is demo.season()


def test_an_empty_squad_has_a_season_without_weeks(squad: Squad) -> None:
    season = squad.season()
    assert season.weeks == []
    assert season.notices.is_empty()


def test_asking_for_nobody_names_who_is_there(demo: Squad) -> None:
    with pytest.raises(SettingError, match="nobody is called 'Nobody'"):
        demo.season().figures(athlete="Nobody")
