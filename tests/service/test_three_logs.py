"""Weekly figures of three club logs against truth worked out elsewhere, through the whole house.

Source: the truth files beside the logs, made with the logs themselves by a program that is no part of keelmark
(derived: tonnage is sets x reps x load in kg, summed by athlete and week).
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from keelmark.service import Squad

LOGS = Path(__file__).resolve().parents[1] / "corpus" / "logs"
FILES = {"rowing_club": "rowing_club.csv", "mountain_rescue": "mountain_rescue.xlsx", "long_squad": "long_squad.csv"}


def truth_of(name: str) -> dict[str, Any]:
    """What the makers of a log say is in it."""
    found: dict[str, Any] = json.loads((LOGS / f"{name}.truth.json").read_text(encoding="utf-8"))
    return found


def roster_for(name: str, folder: Path) -> Path:
    """The log's people as a roster file."""
    given = LOGS / f"{name}.roster.csv"
    if given.exists():
        return given
    path = folder / "roster.csv"
    path.write_text("athlete\n" + "\n".join(truth_of(name)["roster"]) + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("name", FILES)
def test_weekly_tonnage_of_every_athlete_is_that_of_the_truth(name: str, squad: Squad, tmp_path: Path) -> None:
    truth = truth_of(name)
    brought = squad.import_log(LOGS / FILES[name], roster=roster_for(name, tmp_path))
    assert brought.reading.counts["accepted"] == truth["good_rows"]
    season = squad.season()
    names = dict(season.athletes.select("athlete_id", "name").iter_rows())
    monday = dt.date.fromisoformat(truth["week_1_monday"])
    found = {
        (names[athlete], (day - monday).days // 7 + 1): value
        for athlete, day, value in season.weekly.filter(channel="tonnage")
        .select("athlete_id", "monday", "on_record")
        .iter_rows()
    }
    wanted = {
        (athlete, int(week)): figures["tonnage_kg"]
        for athlete, weeks in truth["weekly_strict"].items()
        for week, figures in weeks.items()
    }
    assert {key: found[key] for key in wanted} == pytest.approx(wanted)
    assert not {key: value for key, value in found.items() if key not in wanted and value}


@pytest.mark.parametrize("name", FILES)
def test_reps_and_tonnage_of_the_season_are_those_of_the_truth(name: str, squad: Squad, tmp_path: Path) -> None:
    truth = truth_of(name)["squad_strict"]
    squad.import_log(LOGS / FILES[name], roster=roster_for(name, tmp_path))
    efforts = squad.season().kept.efforts
    tonnage = (pl.col("sets") * pl.col("reps") * pl.col("load_kg")).sum()
    assert efforts.height == truth["rows"]
    assert efforts.select(pl.col("sets").sum()).item() == truth["sets"]
    assert efforts.select((pl.col("sets") * pl.col("reps")).sum()).item() == truth["reps"]
    assert efforts.select(tonnage).item() == pytest.approx(truth["tonnage_kg"])
    assert efforts.select((pl.col("sets") * pl.col("distance_m")).sum()).item() == truth["distance_m"]
