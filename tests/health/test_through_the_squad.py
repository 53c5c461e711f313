"""Check-ins, timelines, plans and replays as the pages ask for them, over the demo season."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import polars as pl
import pytest

from keelmark.cli.main import main
from keelmark.contracts.errors import RefusedInput, SettingError, StoreError
from keelmark.plan import People
from keelmark.service import Squad, load_demo
from keelmark.service.agreeing import ANSWERS
from keelmark.service.ahead import agreed_limits

SLOWED = {"taking_part": 1, "amount": 1, "performance": 0, "symptoms": 2}


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo") / "squad.sqlite"


@pytest.fixture(scope="module")
def squad(place: Path) -> Iterator[Squad]:
    with Squad.open(place) as opened:
        load_demo(opened)
        yield opened


@pytest.fixture
def notice_id(squad: Squad) -> str:
    return str(squad.season().notices["notice_id"][-1])


def test_a_check_in_changes_no_figure_and_keeps_those_worked_out(squad: Squad) -> None:
    before = squad.season()
    key = squad.check_in("tove", "2026-W23", SLOWED, "knee")
    assert squad.season() is before
    row = squad.check_ins("tove").filter(pl.col("check_in_id") == key).row(0, named=True)
    # Derived: 8 + 8 + 0 + 17.
    assert (row["week"], row["area"], row["severity"]) == ("2026-W23", "knee", 33.0)
    assert row["scale_id"] == "four-domains-2020/own-words-1"


def test_what_is_written_meanwhile_is_not_overlooked(squad: Squad) -> None:
    before = squad.season()
    squad.set_day_state(["bridie"], [date(2026, 6, 7)], "travel")
    squad.check_in("tove", "2026-W23", {"taking_part": 0})
    assert squad.season() is not before
    assert squad.season().day_states.filter(pl.col("state") == "travel").height > 0


@pytest.mark.parametrize("week", ["2026-W54", "2026-W1", "next week", ""])
def test_a_week_that_is_none_is_refused(squad: Squad, week: str) -> None:
    with pytest.raises(RefusedInput, match=r"is not a week\. Wanted: an ISO week such as 2026-W10"):
        squad.check_in("tove", week, {"taking_part": 0})


def test_somebody_unknown_is_refused(squad: Squad) -> None:
    with pytest.raises(StoreError, match="neptune"):
        squad.check_in("neptune", "2026-W23", {"taking_part": 0})


def test_the_timeline_holds_answers_beside_weeks(squad: Squad) -> None:
    squad.check_in("wren", "2026-W20", {"taking_part": 0})
    squad.check_in("wren", "2026-W21", SLOWED, "hand")
    told = squad.timeline("wren", "2026-W21")
    last = told.said.filter(pl.col("week").is_in(["2026-W20", "2026-W21"]))
    assert last["area"].to_list() == [None, "hand"]
    assert told.episodes.filter(pl.col("area") == "hand")["state"].to_list()[-1] == "new"
    assert told.exposure["week"].max() == "2026-W21"
    assert told.exposure["athlete_id"].unique().to_list() == ["wren"]


def test_the_timeline_before_the_first_answer_is_empty(squad: Squad) -> None:
    told = squad.timeline("zofia", "2025-W46")
    assert told.said.is_empty()
    assert told.episodes.is_empty()


def test_a_plan_is_offered_after_the_gap_and_stays_as_settled(squad: Squad) -> None:
    assert squad.return_plan("marek", "2026-W05") is None
    offered = squad.return_plan("marek", "2026-W10")
    assert offered is not None
    assert offered.owner is None
    assert offered.usual["knee_reps"].amount > 0
    squad.save_return_plan(offered.edited(shares=(0.4, 0.6, 0.8, 1.0), owner="Dagny"))
    settled = squad.return_plan("marek", "2026-W11")
    assert settled is not None
    assert settled.owner == "Dagny"
    assert [step.share for step in settled.steps] == [0.4, 0.6, 0.8, 1.0]
    assert squad.return_plan("marek", "2026-W20") is None


def test_days_without_a_record_in_a_gap_are_told(squad: Squad) -> None:
    offered = squad.return_plan("callum", "2025-W51")
    assert offered is not None
    assert offered.unlogged == 14


@pytest.mark.slow
def test_a_decision_is_replayed_from_the_records_of_its_day(squad: Squad, notice_id: str) -> None:
    decision = squad.record_decision(notice_id, useful=True)
    first = squad.replay(decision)
    assert first.same
    assert first.words.startswith("From the records of that day, the same figures come out (value ")

    squad.set_setting("share_above", 0.2)
    label = squad.set_label(date(2026, 6, 1), date(2026, 6, 7), "spring fair")
    now = squad.season().notices.filter(pl.col("notice_id") == notice_id)
    assert now["upper"].to_list() != [first.then["upper"]], "a name of the week moves its marks"
    assert squad.replay(decision).same
    squad.undo(label)

    log = squad.imports().filter(pl.col("kind") == "labels")["import_id"][0]
    squad.undo(log)
    after = squad.replay(decision)
    assert after.changed == tuple(text for text in after.changed if "labels.csv” was undone on" in text)
    assert len(after.changed) == 1
    squad.set_setting("share_above", 0.05)


def test_only_a_recorded_decision_can_be_replayed(squad: Squad) -> None:
    with pytest.raises(SettingError, match="there is no decision '999'"):
        squad.replay("999")


def test_the_last_word_on_a_notice_is_counted(squad: Squad) -> None:
    one, other = squad.season().notices["notice_id"][:2]
    before = {row["rule"]: row for row in squad.usefulness().rows(named=True)}
    assert set(before) <= {"week", "slow rise"}
    squad.record_decision(one, useful=True)
    squad.record_decision(one, useful=False)
    squad.record_decision(other, useful=True)
    counted = squad.usefulness()
    assert counted.columns == ["rule", "useful", "not_useful"]
    total = counted.select(pl.col("useful").sum() + pl.col("not_useful").sum()).item()
    noticed = squad.decisions().filter(pl.col("useful").is_not_null())["notice_id"].n_unique()
    assert total == noticed


def typed(place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What `keelmark decisions` says."""
    monkeypatch.setenv("COLUMNS", "160")
    monkeypatch.setattr("sys.argv", ["keelmark", "decisions", *words, "--db", f"sqlite:///{place}"])
    with pytest.raises(SystemExit) as left:
        main()
    assert not left.value.code
    return capsys.readouterr().out


def test_a_no_hides_what_was_decided_and_planned_and_lets_nothing_new_in(
    squad: Squad, place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    squad.check_in("marek", "2026-W11", SLOWED, "elbow")
    first = date(2026, 3, 9)
    key = squad.decide_on_complaint("marek", "elbow", first, "2026-W11", option="Talk it over")
    told = typed(place, monkeypatch, capsys, "list")
    assert f"c{key}" in told
    assert "complaint of marek, elbow, since the week of 2026-03-09: Talk it over." in told
    assert json.loads(typed(place, monkeypatch, capsys, "again", f"c{key}", "--json"))["decision_id"] == f"c{key}"
    offered = squad.return_plan("marek", "2026-W11")
    assert offered is not None
    squad.save_return_plan(offered.edited(shares=(0.4, 0.6, 0.8, 1.0), owner="Dagny"))
    monday, kept_now = offered.steps[0].monday, squad.season().kept
    people = People.of(kept_now.athletes, kept_now.rep_maxima, kept_now.efforts, monday)
    limits = agreed_limits(squad._store, people, monday)
    assert {limit.athlete_id for limit in limits} == {"marek"}

    squad.say_no("marek", ANSWERS, given_by="Marek")
    assert squad.complaint_decisions().filter(pl.col("athlete_id") == "marek").is_empty()
    assert squad.return_plan("marek", "2026-W11") is None
    assert agreed_limits(squad._store, people, monday) == ()
    with pytest.raises(SettingError, match=f"there is no decision '{key}'"):
        squad.replay_complaint(key)
    with pytest.raises(SettingError, match="no complaint of “elbow” began"):
        squad.decide_on_complaint("marek", "elbow", first, "2026-W11", option="Talk it over")
    with pytest.raises(RefusedInput, match="marek has said no to answers about the body being kept"):
        squad.save_return_plan(offered)

    squad.agree("marek", ANSWERS, given_by="Marek")
    assert squad.complaint_decisions("marek").height == 1
    kept = squad.return_plan("marek", "2026-W11")
    assert kept is not None
    assert kept.owner == "Dagny"


@pytest.mark.slow
def test_a_decision_about_a_complaint_is_kept_apart_and_replayed(squad: Squad) -> None:
    squad.check_in("dagny", "2026-W20", {"taking_part": 0})
    squad.check_in("dagny", "2026-W21", SLOWED, "ankle")
    first = date(2026, 5, 18)
    before = squad.decisions().height
    key = squad.decide_on_complaint(
        "dagny", "ankle", first, "2026-W21", option="Other movements in its place", owner="Signe", review_date=first
    )
    assert squad.decisions().height == before
    kept = squad.complaint_decisions("dagny").row(0, named=True)
    assert (kept["decision_id"], kept["option"], kept["owner"]) == (key, "Other movements in its place", "Signe")

    squad.check_in("dagny", "2026-W21", {"taking_part": 0})
    squad.set_day_state(["dagny"], [date(2026, 5, 22)], "away")
    again = squad.replay_complaint(key)
    assert again.same, again.words
    assert again.then["complaint"]["worst"] == 33.0
    assert {row["week"] for row in again.then["work"]} == {f"2026-W{week}" for week in range(16, 22)}


def test_a_decision_about_a_complaint_that_nobody_told_is_refused(squad: Squad) -> None:
    with pytest.raises(SettingError, match="no complaint of “neck” began in the week of 2026-05-18"):
        squad.decide_on_complaint("dagny", "neck", date(2026, 5, 18), "2026-W21", option="Talk it over")
    with pytest.raises(SettingError, match="there is no decision '99'"):
        squad.replay_complaint("99")
