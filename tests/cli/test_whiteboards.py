"""A season of whiteboards brought from the command line."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.test_commands import Run, run

__all__ = ["run"]

DEMO = Path(__file__).resolve().parents[2] / "data" / "demo"
SEASON = ("ingest", DEMO / "scores.csv", "--whiteboard", DEMO / "whiteboards", "--roster", DEMO / "roster.csv")


def test_rows_set_aside_end_with_1_and_are_told(run: Run) -> None:
    code, out, _ = run(*SEASON)
    assert code == 1
    assert "104 rows read" in out
    for reason in ("unknown_athlete", "no_whiteboard", "result_conflict"):
        assert reason in out


def test_the_json_names_the_doubts_of_each_text(run: Run) -> None:
    run(*SEASON)
    code, out, err = run(*SEASON, "--json")
    told = json.loads(out)
    assert (code, err, told["repeated"], told["efforts_stored"]) == (1, "", True, 0)
    ends = told["accepted"] + len(told["duplicates"]) + told["blank"] + told["other"] + len(told["quarantined"])
    assert ends == told["rows"] == 104
    assert len(told["texts"]) == 9
    assert {"date", "session", "file", "line", "scores", "canonical", "issues"} == set(told["texts"][0])
    assert sum(text["scores"] for text in told["texts"]) == told["accepted"]


def test_texts_that_are_not_there_are_refused(run: Run, tmp_path: Path) -> None:
    code, _, err = run("ingest", DEMO / "scores.csv", "--whiteboard", tmp_path / "nowhere")
    assert code == 2
    assert "cannot be found" in err
    empty = tmp_path / "empty"
    empty.mkdir()
    code, _, err = run("ingest", DEMO / "scores.csv", "--whiteboard", empty)
    assert code == 2
    assert "there is no whiteboard text in it" in err
