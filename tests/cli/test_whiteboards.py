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


def test_whiteboards_that_read_otherwise_are_told_and_read_again_when_asked(run: Run, tmp_path: Path) -> None:
    texts, scores, roster = tmp_path / "boards", tmp_path / "scores.csv", tmp_path / "roster.csv"
    texts.mkdir()
    (texts / "2026-05-04.txt").write_text("Deadlift 3x3 @ 1.5x bodyweight", encoding="utf-8")
    scores.write_text("date,athlete,result\n2026-05-04,Aled,\n", encoding="utf-8")
    roster.write_text("name,standard\nAled,heavier\n", encoding="utf-8")
    run("ingest", scores, "--whiteboard", texts, "--roster", roster)
    assert "reads as it was stored" in run("whiteboards")[1]
    roster.write_text("name,standard,body mass kg\nAled,heavier,84\n", encoding="utf-8")
    run("roster", roster)
    code, out, _ = run("whiteboards")
    assert code == 0
    assert "deadlift without a known load" in out
    assert "deadlift at 126 kg" in out  # derived: 1.5 times 84 kg
    assert "Nothing was changed" in out
    (told,) = json.loads(run("whiteboards", "--json")[1])["changed"]
    assert [row["load_kg"] for row in told["before"] + told["after"]] == [None, 126.0]
    out = run("whiteboards", "--read-again")[1]
    number = out.rpartition("import ")[2].partition(".")[0]
    assert "reads as it was stored" in run("whiteboards")[1]
    assert run("undo", number)[0] == 0
    assert "deadlift at 126 kg" in run("whiteboards")[1]
