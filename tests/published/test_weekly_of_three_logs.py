"""Weekly reps and tonnage of three club logs, against truth files made by an independent plain reading of the logs.

The truth counts good rows only: tonnage is sets x reps x load, and week 1 begins on the Monday that the file names.
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from keelmark.catalogue import fold, shipped_catalogue
from keelmark.contracts.frames import ATHLETE, DAY_STATE
from keelmark.dose.daily import exposure_daily
from keelmark.ingest import LogOptions, read_log
from keelmark.load import weekly_figures

LOGS = Path(__file__).resolve().parents[1] / "corpus" / "logs"
FILES = {"rowing_club": "csv", "mountain_rescue": "xlsx", "long_squad": "csv"}


def truth_of(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((LOGS / f"{name}.truth.json").read_text(encoding="utf-8"))
    return found


@pytest.mark.parametrize("name", FILES)
def test_weekly_tonnage(name: str) -> None:
    truth = truth_of(name)
    names = truth.get("roster") or pl.read_csv(LOGS / truth["roster_file"])["athlete"].to_list()
    people = ATHLETE.build([{"athlete_id": fold(one), "name": one} for one in names])
    catalogue, options = shipped_catalogue(), LogOptions(today=dt.date(2026, 8, 1))
    efforts = read_log(LOGS / f"{name}.{FILES[name]}", roster=people, catalogue=catalogue, options=options).efforts
    weekly = weekly_figures(exposure_daily(efforts, catalogue), people, DAY_STATE.empty())
    found = {
        (row["athlete_id"], row["monday"]): row["on_record"] or 0.0
        for row in weekly.filter(pl.col("channel") == "tonnage").iter_rows(named=True)
    }
    first = dt.date.fromisoformat(truth["week_1_monday"])
    expected = {
        (fold(who), first + dt.timedelta(weeks=int(week) - 1)): amounts["tonnage_kg"]
        for who, weeks in truth["weekly_strict"].items()
        for week, amounts in weeks.items()
    }
    assert len(expected) > 30
    for key, tonnage in expected.items():
        assert found[key] == pytest.approx(tonnage, abs=0.01), key
    assert {key for key, tonnage in found.items() if tonnage > 0} <= set(expected)
