"""A decision keeps what it was taken on; the same figures come out of the records of its day, or it says why not."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from keelmark.cli.main import main
from keelmark.service import RULE_VERSION, Squad

FIRST = dt.date(2025, 9, 1)
WEEKS = 26
PEOPLE = ("Ada", "Bo", "Cai", "Dag", "Eli", "Fen")
HEAD = "date,athlete,movement,sets,reps"


def log(folder: Path, name: str, *rows: str) -> Path:
    path = folder / name
    path.write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    return f"sqlite:///{tmp_path_factory.mktemp('store') / 'squad.sqlite'}"


@pytest.fixture(scope="module")
def crew(address: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """Six people who jump three times a week, much alike; one of them does three times as much in the last week."""
    random = np.random.default_rng(3)
    rows = []
    for week in range(WEEKS):
        for day in (0, 2, 4):
            date = FIRST + dt.timedelta(weeks=week, days=day)
            rows += [f"{date},{who},box jump,1,{round(30 * random.lognormal(0, 0.12))}" for who in PEOPLE]
    tuesday = FIRST + dt.timedelta(weeks=WEEKS - 1, days=1)
    rows.append(f"{tuesday},Cai,box jump,1,200")
    folder = tmp_path_factory.mktemp("logs")
    with Squad.open(address) as squad:
        squad.set_setting("quiet_days", "rest")
        squad.import_log(log(folder, "season.csv", *rows))
        yield squad


@pytest.fixture(scope="module")
def decision(crew: Squad) -> str:
    notice = crew.season().notices.filter(athlete_id="cai").row(-1, named=True)
    return crew.record_decision(
        notice["notice_id"], option="Leave it", reason="a test of the new boxes", owner="Dilys", useful=True
    )


def test_the_reason_stands_with_the_figures_and_the_rules(crew: Squad, decision: str) -> None:
    kept = crew.decisions().filter(decision_id=decision).row(0, named=True)
    assert (kept["reason"], kept["owner"], kept["useful"]) == ("a test of the new boxes", "Dilys", True)
    assert kept["rule_version"] == RULE_VERSION
    assert json.loads(kept["figures"])["value"] > 200


def test_the_same_figures_come_out_after_more_was_brought(crew: Squad, decision: str, tmp_path: Path) -> None:
    date = FIRST + dt.timedelta(weeks=WEEKS - 1, days=4)
    brought = crew.import_log(log(tmp_path, "late.csv", f"{date},Cai,box jump,1,77"))
    found = crew.replay(decision)
    crew.undo(brought.outcome.import_id)
    assert found.same
    assert {"value", "lower", "upper", "q_value"} <= {one.name for one in found.figures}
    assert all(one.same and one.then == one.again for one in found.figures)
    assert found.words.startswith("From the records of that day, the same figures come out (value ")


def test_the_command_sets_then_and_now_side_by_side(
    crew: Squad, decision: str, address: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def typed(*words: str) -> str:
        monkeypatch.setenv("COLUMNS", "160")
        monkeypatch.setattr("sys.argv", ["keelmark", "decisions", *words, "--db", address])
        with pytest.raises(SystemExit) as left:
            main()
        assert not left.value.code
        return capsys.readouterr().out

    assert crew.decisions().height == 1
    assert "Useful. Leave it. Why: a test of the new boxes. Dilys sees to it." in typed("list")
    told = typed("again", decision)
    assert "worked out again" in told
    assert "the same figures come out" in told
    assert json.loads(typed("again", decision, "--json"))["same"] is True


def test_what_was_undone_since_is_named_as_the_reason(crew: Squad, decision: str) -> None:
    first = crew.imports().filter(file="season.csv")["import_id"][0]
    crew.undo(first)
    found = crew.replay(decision)
    assert not found.same
    assert found.again is None
    assert "“season.csv” was undone on" in found.words
