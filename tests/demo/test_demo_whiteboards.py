"""The demo's whiteboards and scores are read as anybody would by hand; expected totals are derived from the files."""

from __future__ import annotations

import csv
import datetime as dt
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import polars as pl
import pytest

from keelmark.ingest import LogOptions
from keelmark.service import BroughtWhiteboards, Squad

DEMO = Path(__file__).parents[2] / "data" / "demo"
BAD = {"unknown_athlete", "no_whiteboard", "result_conflict"}
"""Three rows are as real sheets are: a name nobody has, a day without a text, a time for rounds."""


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Squad, BroughtWhiteboards]]:
    """The three weeks in a store of their own."""
    place = tmp_path_factory.mktemp("weeks") / "squad.sqlite"
    with Squad.open(f"sqlite:///{place}") as squad:
        options = LogOptions(today=dt.date(2026, 6, 28))
        brought = squad.import_whiteboards(
            DEMO / "scores.csv", DEMO / "whiteboards", roster=DEMO / "roster.csv", options=options
        )
        yield squad, brought


def rows() -> list[dict[str, str]]:
    """The score sheet."""
    with (DEMO / "scores.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_every_row_but_three_is_used(loaded: tuple[Squad, BroughtWhiteboards]) -> None:
    _, brought = loaded
    told = brought.as_json()
    assert {reason for row in told["quarantined"] for reason in row["reasons"]} == BAD
    assert (told["rows"], told["accepted"]) == (len(rows()), len(rows()) - len(BAD))
    assert brought.reading.warnings == []
    assert all(not text["issues"] or all(issue["athletes"] for issue in text["issues"]) for text in told["texts"])


def test_timed_work_is_done_in_full(loaded: tuple[Squad, BroughtWhiteboards]) -> None:
    squad, _ = loaded
    came = [row for row in rows() if row["date"] == "2026-06-11" and row["athlete"] != "Torve"]
    efforts = squad.season().kept.efforts.filter(pl.col("date") == dt.date(2026, 6, 11))
    done = dict(
        efforts.group_by("movement").agg((pl.coalesce("reps", "distance_m") * pl.col("sets")).sum()).iter_rows()
    )
    # derived: 4 x 6 deadlifts, then 3 rounds of 400 m, 21 swings and 12 burpees for everybody who came
    each = {"deadlift": 24, "run": 1200, "kettlebell_swing": 63, "burpee": 36}
    assert done == {movement: amount * len(came) for movement, amount in each.items()}


def test_rounds_and_reps_are_counted_out(loaded: tuple[Squad, BroughtWhiteboards]) -> None:
    squad, _ = loaded
    expected: Counter[str] = Counter()
    for row in rows():
        if row["date"] == "2026-06-23" and "+" in row["result"]:
            rounds, more = map(int, row["result"].split("+"))
            for movement, amount in (("deadlift", 6), ("push_up", 9), ("air_squat", 12)):
                part = min(amount, more)
                more -= part
                expected[movement] += rounds * amount + part
    efforts = squad.season().kept.efforts.filter(pl.col("date") == dt.date(2026, 6, 23))
    assert dict(efforts.group_by("movement").agg((pl.col("reps") * pl.col("sets")).sum()).iter_rows()) == expected


def test_every_effort_leads_back_to_its_words(loaded: tuple[Squad, BroughtWhiteboards]) -> None:
    squad, _ = loaded
    kept = squad.season().kept
    whiteboards = dict(kept.sessions.select("session_id", "whiteboard").iter_rows())
    for row in kept.efforts.iter_rows(named=True):
        assert row["source"] == "score"
        assert row["text"] == whiteboards[row["session_id"]][row["text_start"] : row["text_end"]]
        assert row["text"].strip()
