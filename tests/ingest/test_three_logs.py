"""Three club logs, each with a truth file that says what a careful reader finds in it."""

from __future__ import annotations

import datetime as dt
import json
from collections import defaultdict
from functools import cache
from typing import Any

import polars as pl
import pytest

from keelmark.catalogue import fold, shipped_catalogue
from keelmark.contracts.frames import ATHLETE, EFFORT, SESSION
from keelmark.ingest import LogOptions, LogReading, read_log
from tests.ingest.conftest import LOGS, TODAY

FILES = {"rowing_club": "csv", "mountain_rescue": "xlsx", "long_squad": "csv"}
PHANTOM_ROW = 281
"""The truth of the workbook counts a blank row 281, but the sheet ends with row 280 (dimension A1:I280)."""

everyone = pytest.mark.parametrize("name", list(FILES))


@cache
def truth(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((LOGS / f"{name}.truth.json").read_text(encoding="utf-8"))
    if name == "mountain_rescue":
        found["blank_rows"].remove(PHANTOM_ROW)
        found["rows_total"] -= 1
    return found


@cache
def roster(name: str) -> pl.DataFrame:
    names = truth(name).get("roster")
    if names is None:
        names = pl.read_csv(LOGS / truth(name)["roster_file"])["athlete"].to_list()
    return ATHLETE.build([{"athlete_id": fold(one), "name": one} for one in names])


@cache
def reading(name: str, *, repaired: bool = False) -> LogReading:
    options = LogOptions(today=TODAY, accept_repairs=repaired)
    return read_log(LOGS / f"{name}.{FILES[name]}", roster=roster(name), catalogue=shipped_catalogue(), options=options)


def rows_with(name: str, verdict: str) -> list[int]:
    return reading(name).rows.filter(pl.col("verdict") == verdict)["row"].to_list()


@everyone
def test_good_rows(name: str) -> None:
    assert len(rows_with(name, "accepted")) == truth(name)["good_rows"]
    assert reading(name).efforts.height == truth(name)["good_rows"]
    assert reading(name).counts["rows"] == truth(name)["rows_total"]


@everyone
def test_bad_rows_with_their_lines_and_reasons(name: str) -> None:
    found = {entry["row"]: (entry["line"], entry["reasons"]) for entry in reading(name).as_json()["quarantined"]}
    wanted = {entry["row"]: (entry.get("line", entry["row"]), entry["reasons"]) for entry in truth(name)["bad_rows"]}
    assert found == wanted


@everyone
def test_which_bad_rows_can_be_repaired(name: str) -> None:
    bad = reading(name).rows.filter(pl.col("verdict") == "quarantined")
    assert dict(bad.select("row", "repairable").iter_rows()) == {
        entry["row"]: entry["repairable"] for entry in truth(name)["bad_rows"]
    }


@everyone
def test_duplicates(name: str) -> None:
    found = reading(name).rows.filter(pl.col("verdict") == "duplicate").select("row", "of_row", kind="duplicate_kind")
    assert found.cast({"kind": pl.String}).to_dicts() == truth(name)["duplicates"]


@everyone
def test_blank_and_other_rows(name: str) -> None:
    assert rows_with(name, "blank") == truth(name)["blank_rows"]
    assert rows_with(name, "other") == truth(name)["non_data_rows"]


@everyone
def test_told_rows(name: str) -> None:
    noted = reading(name).rows.filter(pl.col("notes").list.len() > 0).select("row", codes="notes")
    assert noted.to_dicts() == truth(name)["warned_rows"]


@everyone
def test_file_form(name: str) -> None:
    for key in ("encoding", "delimiter", "newline"):
        if key in truth(name):
            assert reading(name).form[key] == truth(name)[key]


@everyone
@pytest.mark.parametrize("repaired", [False, True], ids=["strict", "with repairs"])
def test_totals(name: str, *, repaired: bool) -> None:
    names = dict(roster(name).select("athlete_id", "name").iter_rows())
    volume = pl.col("sets") * pl.col("reps")
    totals = (
        reading(name, repaired=repaired)
        .efforts.group_by("athlete_id")
        .agg(
            rows=pl.len(),
            sets=pl.col("sets").sum(),
            reps=volume.sum(),
            tonnage_kg=(volume * pl.col("load_kg")).sum(),
            distance_m=(pl.col("sets") * pl.col("distance_m")).sum(),
        )
    )
    found = {names[row.pop("athlete_id")]: row for row in totals.to_dicts()}
    wanted = truth(name)["totals_with_repairs" if repaired else "totals_strict"]
    assert found.keys() == wanted.keys()
    for athlete, figures in wanted.items():
        assert found[athlete] == pytest.approx(figures, abs=0.005), athlete


@everyone
def test_weekly_totals(name: str) -> None:
    start = dt.date.fromisoformat(truth(name)["week_1_monday"])
    names = dict(roster(name).select("athlete_id", "name").iter_rows())
    found: dict[str, dict[str, dict[str, float]]] = defaultdict(dict)
    for row in reading(name).efforts.iter_rows(named=True):
        week = str((row["date"] - start).days // 7 + 1)
        sums = found[names[row["athlete_id"]]].setdefault(week, {"reps": 0, "tonnage_kg": 0})
        sums["reps"] += row["sets"] * (row["reps"] or 0)
        sums["tonnage_kg"] += row["sets"] * (row["reps"] or 0) * (row["load_kg"] or 0)
    assert found == truth(name)["weekly_strict"]


@everyone
def test_frames_keep_their_contract(name: str) -> None:
    one = reading(name)
    EFFORT.check(one.efforts, where="test")
    SESSION.check(one.sessions, where="test")
    assert set(one.efforts["session_id"]) == set(one.sessions["session_id"])
    assert one.sessions["session_id"].is_unique().all()
    assert one.original == (LOGS / f"{name}.{FILES[name]}").read_bytes()


def test_machine_reading_has_exactly_the_promised_keys() -> None:
    plain = reading("rowing_club").as_json()
    assert list(plain) == ["file", "rows", "accepted", "duplicates", "blank", "other", "quarantined"]
    assert plain["duplicates"][0] == {"row": 68, "of_row": 67}
    assert plain["quarantined"][0] == {
        "row": 33,
        "line": 34,
        "reasons": ["bad_date"],
        "remedy": "write the date of the training day",
    }
    json.dumps(plain)


def test_a_missing_year_comes_from_the_rows_around_it() -> None:
    repaired = reading("mountain_rescue", repaired=True).efforts.filter(pl.col("source_row").is_in([20, 91]))
    assert repaired["date"].to_list() == [dt.date(2026, 2, 7), dt.date(2026, 2, 25)]


def test_a_distance_row_has_no_reps_and_no_load_unless_one_is_carried() -> None:
    club = reading("rowing_club").efforts.filter(pl.col("movement") == "row")
    assert set(club["distance_m"]) == {250.0, 500.0, 2000.0, 4000.0, 6000.0}
    assert set(club["load_basis"]) == {"none"}
    assert club["reps"].null_count() == club.height


def test_two_bells_and_body_weight() -> None:
    rescue = reading("mountain_rescue").efforts
    step_up = rescue.filter(pl.col("source_row") == 28).row(0, named=True)
    jump = rescue.filter(pl.col("source_row") == 27).row(0, named=True)
    assert (step_up["load_kg"], step_up["load_basis"]) == (32.0, "external")
    assert (jump["load_kg"], jump["load_basis"]) == (None, "none")
