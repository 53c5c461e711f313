"""A row that was put aside leaves its day partly on record: what it held was done, and is not known."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.ingest import LogOptions, read_log

HEAD = "date,athlete,movement,sets,reps,load_kg"
TODAY = LogOptions(today=dt.date(2026, 4, 1))


def days(folder: Path, *rows: str) -> list[tuple[str, dt.date, str]]:
    path = folder / "log.csv"
    path.write_text("\n".join([HEAD, "2026-03-02,Ada,deadlift,5,5,100", *rows]), encoding="utf-8")
    reading = read_log(path, catalogue=shipped_catalogue(), options=TODAY)
    assert reading.counts["quarantined"] == len(rows)
    return list(reading.day_states.select("athlete_id", "date", "state").iter_rows())


@pytest.mark.parametrize(
    "row",
    ["2026-03-02,Ada,deadlift,5,five,100", "2026-03-02,Ada,deadlift,5,5,-100", "2026-03-02,Ada,plank of doom,5,5,100"],
)
def test_the_day_of_a_row_put_aside_is_partly_on_record(tmp_path: Path, row: str) -> None:
    assert days(tmp_path, row) == [("ada", dt.date(2026, 3, 2), "partly")]


def test_a_day_of_which_nothing_else_is_told_counts_too(tmp_path: Path) -> None:
    assert days(tmp_path, "2026-03-04,Ada,deadlift,5,five,100") == [("ada", dt.date(2026, 3, 4), "partly")]


@pytest.mark.parametrize("row", ["2026-13-02,Ada,deadlift,5,5,100", "2031-03-02,Ada,deadlift,5,5,100"])
def test_a_row_without_a_certain_day_marks_none(tmp_path: Path, row: str) -> None:
    assert days(tmp_path, row) == []


def test_a_row_of_nobody_marks_none(tmp_path: Path) -> None:
    assert days(tmp_path, "2026-03-02,,deadlift,5,5,100") == []
