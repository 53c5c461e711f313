"""A squad can be shown how often its rules speak when nothing changes."""

from __future__ import annotations

import json
from pathlib import Path

import polars as pl
import pytest

from keelmark.contracts.errors import SettingError
from keelmark.marks import AuditPlan
from keelmark.marks.answer_words import answer_words
from keelmark.marks.notice_words import QUIETENED, how_often
from keelmark.marks.settings import MarkSettings
from keelmark.service import Squad
from keelmark.service.auditing import audit_season
from keelmark.service.squad_settings import mark_settings

SHORT = AuditPlan(weeks=36, quiet=2, changed=1, ramps=1, reference=2)


def test_the_demo_keeps_its_promises_and_can_be_told_as_json(demo: Squad) -> None:
    report = audit_season(demo.season(), mark_settings(demo.settings()), SHORT)
    told = json.loads(json.dumps(report.as_dict()))
    assert told["athletes"] == 26
    assert {row["squad"] for row in told["quiet"]} == {"own", "reference"}
    kept = {promise["promise"]: promise["kept"] for promise in told["promises"]}
    steady = next(promise for promise in kept if "one kind of steady work" in promise)
    # So short an audit plants fewer than two hundred such weeks, all of them early in a season.
    assert all(kept[promise] for promise in kept if promise != steady)
    found = pl.DataFrame(told["steadiness"]).filter((pl.col("squad") == "own") & (pl.col("scatter") < 0.2))
    assert found["notice"].sum() / found["planted"].sum() >= 0.7
    assert found["most"].min() >= 0.9
    ratio = {row["rule"]: row["a_month"] for row in told["notices"] if row["squad"] == "own"}
    assert ratio["ratio"] > 10 * ratio["both"]


def test_too_little_on_record_is_refused(squad: Squad) -> None:
    log = b"date,athlete,movement,sets,reps,load_kg\n2026-03-02,Ada,deadlift,5,5,100\n"
    squad.accept(squad.preview_log(log, "log.csv").token)
    with pytest.raises(SettingError, match="nobody has 8 weeks of training on record"):
        squad.audit()


def test_an_audit_is_kept_while_the_figures_stand(
    squad: Squad, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    rows = [
        f"2026-{3 + week // 4:02d}-{1 + 7 * (week % 4):02d},Ada,deadlift,5,{4 + week % 3},100" for week in range(16)
    ]
    text = "\n".join(["date,athlete,movement,sets,reps,load_kg", *rows])
    squad.accept(squad.preview_log(text.encode(), "log.csv").token)
    monkeypatch.setattr("keelmark.service.deciding.AuditPlan", lambda number: SHORT)
    assert squad.kept_audit() is None
    found = squad.audit()
    assert squad.kept_audit() is found
    assert squad.audit() is found
    squad.set_setting("notice_budget", 2)
    assert squad.kept_audit() is None


def test_a_quietened_rule_says_so_in_its_notices() -> None:
    settings = MarkSettings(week_rate=0.05, slow_rate=0.0125)
    assert how_often(settings, slow=True).endswith(QUIETENED)
    assert QUIETENED not in how_often(MarkSettings(slow_rate=0.0125), slow=False)
    assert "at most about 1 week in 16" in how_often(settings, slow=True)


def test_what_the_squad_says_of_its_notices_stands_in_the_audit() -> None:
    answers = pl.DataFrame({"rule": ["slow rise", "week"], "useful": [2, 3], "not_useful": [7, 1]})
    slow, single = answer_words(answers)
    assert slow.startswith("Of 9 answered notices of slow rises, 2 were found useful. Fewer than half")
    assert single == "Of 4 answered notices of single weeks, 3 were found useful."
    lone = pl.DataFrame({"rule": ["week"], "useful": [0], "not_useful": [1]})
    assert answer_words(lone) == ["One answer about notices of single weeks: not useful."]
    assert answer_words(answers.clear()) == ["No notice has been marked as useful or not yet."]
