"""The planner over a squad's store, and the command that prints what it says."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterator
from pathlib import Path

import icalendar
import pytest

from keelmark.cli import main
from keelmark.contracts.errors import SettingError
from keelmark.plan import RampWeek, calendar_of, read_week
from keelmark.service import Squad

Run = Callable[..., tuple[int, str, str]]

WEEK = (
    "Mon\n5 x 5 deadlift 100/70 kg\n\nTue\n10 rounds for time\n8 toes to bar\n10 push-ups\n\n"
    "Wed\n5 x 60 m farmers carry 2x24/16 kg\n"
)
START = dt.date(2026, 1, 5)


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """Type a command; gives exit code, what it printed, and what it printed as a complaint."""
    monkeypatch.setenv("KEELMARK_DB", f"sqlite:///{tmp_path / 'squad.sqlite'}")
    monkeypatch.setenv("COLUMNS", "200")

    def typed(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr("sys.argv", ["keelmark", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            main()
        told = capsys.readouterr()
        return int(left.value.code or 0), told.out, told.err

    return typed


@pytest.fixture
def week_file(tmp_path: Path) -> Path:
    """A week with grip on two days running."""
    path = tmp_path / "week.txt"
    path.write_text(WEEK, encoding="utf-8")
    return path


@pytest.fixture
def squad(tmp_path: Path) -> Iterator[Squad]:
    """Two people who lift on Mondays and Wednesdays for twelve weeks."""
    rows = ["date,athlete,movement,sets,reps,load_kg"]
    for week in range(12):
        for day in (0, 2):
            date = START + dt.timedelta(weeks=week, days=day)
            rows += [f"{date},Ada,deadlift,5,{4 + week % 3},80", f"{date},Bo,deadlift,3,{4 + week % 2},100"]
    log = tmp_path / "log.csv"
    log.write_text("\n".join(rows) + "\n", encoding="utf-8")
    with Squad.open(f"sqlite:///{tmp_path / 'logged.sqlite'}") as opened:
        opened.set_setting("quiet_days", "rest")
        opened.import_log(log)
        yield opened


def test_a_plan_follows_the_last_week_on_record(squad: Squad) -> None:
    plan = squad.plan(WEEK)
    assert plan.monday == START + dt.timedelta(weeks=12)
    assert plan.remarks == ("No date is written, so the week after the last on record is meant: 30 March 2026.",)
    assert {person.name: sorted(person.days) for person in plan.persons} == {"Ada": [0, 2], "Bo": [0, 2]}
    dated = squad.plan("2026-W20\n\n" + WEEK)
    assert dated.monday == dt.date(2026, 5, 11)


def test_everybody_is_held_against_their_own_marks(squad: Squad) -> None:
    """Ada does 40 to 60 deadlifts a week, Bo 24 to 30; 25 are below the range of one and within that of the other."""
    plan = squad.plan(WEEK)
    rows = plan.projection().filter(channel="hip_hinge_reps")
    places = {row["name"]: (row["value"], row["place"]) for row in rows.iter_rows(named=True)}
    assert places == {"Ada": (25.0, "below"), "Bo": (25.0, "within")}
    many = squad.plan(WEEK.replace("5 x 5", "10 x 10")).projection().filter(channel="hip_hinge_reps")
    assert set(many["place"]) == {"above"}


def test_versions_bring_everybody_to_their_marks(squad: Squad) -> None:
    plan = squad.plan("Mon\n6 x 10 deadlift 100/70 kg\n\nWed\n5 x 60 m farmers carry 2x24/16 kg")
    chosen = plan.versions(3)
    upper = plan.marks.upper["bo", "hip_hinge_reps"]
    bo = plan.person("Bo")
    assert plan.planned.week_of(bo).of("hip_hinge_reps") == 60
    assert plan.planned.week_of(bo, texts=chosen.texts_for("bo")).of("hip_hinge_reps") <= upper
    assert plan.projection(texts={"bo": chosen.texts_for("bo")}).height


def test_a_plan_is_kept_until_something_is_written(squad: Squad) -> None:
    first = squad.plan(WEEK)
    assert squad.plan(WEEK).planned.doser is first.planned.doser
    squad.set_day_state(["ada"], [dt.date(2026, 3, 28)], "rest")
    assert squad.plan(WEEK).planned.doser is not first.planned.doser


def test_the_season_stands_beside_what_was_meant(squad: Squad) -> None:
    """Derived: in the first week Ada did 2 x 5 x 4 = 40 deadlifts of 80 kg, 3200 kg."""
    table = squad.plan(WEEK).against_done([RampWeek(START, "tonnage", 3000.0)], "Ada")
    assert table.select("planned", "done", "difference").row(0) == pytest.approx((3000.0, 3200.0, 200.0))


def test_spans_and_names_that_do_not_fit_are_refused(squad: Squad) -> None:
    plan = squad.plan(WEEK)
    with pytest.raises(SettingError, match="'year' is not a span"):
        plan.balances(span="year")
    with pytest.raises(SettingError, match="nobody is called 'Cy'"):
        plan.matrix("Cy")
    assert plan.worst_served(span="season")
    assert plan.worst_served(span="4 weeks")


def test_a_plan_from_the_text_alone(run: Run, week_file: Path) -> None:
    code, out, err = run("plan", week_file)
    assert (code, err) == (0, "")
    assert "The week as Heavier figures reads it" in out
    assert "Tuesday to Wednesday: grip again, one day apart" in out
    assert "could do:" in out
    assert "80% and 60% of every amount on the board" in out
    assert "One to one is a convention, no norm" in out
    assert "It does not diagnose, predict or rule out injury." in out


def test_the_json_of_a_plan(run: Run, week_file: Path) -> None:
    code, out, err = run("plan", week_file, "--json", "--explain", "mon", "--limit", "heavier:jump_contacts=10")
    told = json.loads(out)
    assert (code, err) == (0, "")
    assert set(told) == {
        "monday", "for", "remarks", "doubts", "not_counted", "matrix", "totals", "balance", "farthest_from_intended",
        "clashes", "projection", "versions", "explained", "assumed", "above_marks", "agreed", "held_against", "what_if",
    }  # fmt: skip
    tonnage = next(row for row in told["matrix"] if row["session"] == "mon" and row["channel"] == "tonnage")
    assert tonnage["value"] == 2500
    assert told["clashes"][0]["repairs"]
    assert told["versions"]["feasible"] is True
    assert told["explained"]["movements"] == [
        {"movement": "deadlift", "measure": "reps", "amount": 25.0, "low": 25.0, "high": 25.0}
    ]


def test_what_if_on_the_command_line(run: Run, week_file: Path) -> None:
    """Derived: without Wednesday no farmer's carry is left, and 25 deadlifts and 80 toes to bar hold on."""
    code, out, _ = run("plan", week_file, "--json", "--what-if", "lighter: skip wed", "--what-if", "lighter: on mon, B")
    skipped, other = json.loads(out)["what_if"]
    assert code == 0
    grip = [next(row["value"] for row in rows if row["channel"] == "grip_s") for rows in
            (skipped["usual"], skipped["changed"])]  # fmt: skip
    assert grip[1] == pytest.approx(25 * 2.5 + 80 * 2)
    assert grip[0] > grip[1]
    hinges = [next(row["value"] for row in rows if row["channel"] == "hip_hinge_kg") for rows in
              (other["usual"], other["changed"])]  # fmt: skip
    assert hinges[0] > hinges[1]
    code, out, _ = run("plan", week_file, "--what-if", "lighter: skip wed")
    assert "What if: lighter: skip wed" in out


def test_rounds_are_told_and_can_be_settled(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "open.txt"
    path.write_text("Mon\nAMRAP 11\n10 air squats\n10 push-ups", encoding="utf-8")
    _, out, _ = run("plan", path, "--versions", "0")
    assert "Monday: about 13 rounds (" in out
    assert 'write a line such as "Goal: 6 rounds"' in out
    path.write_text("Mon\nAMRAP 11\n10 air squats\n10 push-ups\nGoal: 6 rounds", encoding="utf-8")
    _, out, _ = run("plan", path, "--versions", "0")
    assert "Monday: 6 rounds, as the board says" in out
    assert "write a line" not in out


def test_a_balance_that_is_meant_is_mended_on_the_command_line(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "push.txt"
    path.write_text("Mon\n10 x 10 pull-ups\n3 x 10 strict press 20/15 kg", encoding="utf-8")
    _, plain, _ = run("plan", path, "--versions", "0")
    assert "could do" not in plain
    _, out, _ = run("plan", path, "--versions", "0", "--intend", "vertical_push:vertical_pull=1")
    assert "Vertical push to vertical pull: one to 3.3 (meant: as much of each)" in out
    assert out.count("could do") >= 2
    assert "As a whole a clear change" in out or "As a whole a small change" in out


def test_limits_that_conflict_end_with_1(run: Run, week_file: Path) -> None:
    code, out, _ = run("plan", week_file, "--limit", "heavier:hip_opening=0.5")
    assert code == 1
    assert "These limits cannot all be kept" in out
    assert "Heavier figures: hip opening at most 0.5 rep" in out


def test_a_calendar_is_written(run: Run, tmp_path: Path) -> None:
    week = tmp_path / "dated.txt"
    week.write_text("Monday 8 June 2026 18:30\n5 x 5 deadlift 100/70 kg\n", encoding="utf-8")
    target = tmp_path / "week.ics"
    code, _, _ = run("plan", week, "--calendar", target, "--versions", 0)
    assert code == 0
    (event,) = icalendar.Calendar.from_ical(target.read_bytes()).walk("VEVENT")
    assert event.decoded("dtstart") == dt.datetime(2026, 6, 8, 18, 30)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("--sensitivity", "all"), "'all' was given"),
        (("--explain", "sun"), "'sun' is not a session of this week"),
        (("--intend", "vertical_push:vertical_pull=x"), "'vertical_push:vertical_pull=x' was given"),
        (("--limit", "heavier:jump_contacts"), "'heavier:jump_contacts' was given"),
        (("--limit", "nobody:jump_contacts=1"), "nobody is called 'nobody'"),
        (("--versions", "12"), "12 versions are asked for"),
    ],
)
def test_options_that_do_not_fit_are_refused(run: Run, week_file: Path, words: tuple[str, ...], found: str) -> None:
    code, out, err = run("plan", week_file, *words)
    assert code == 2
    assert out == ""
    assert found in err


def test_a_text_without_sessions_is_refused(run: Run, tmp_path: Path) -> None:
    empty = tmp_path / "empty.txt"
    empty.write_text("\n", encoding="utf-8")
    code, _, err = run("plan", empty)
    assert code == 2
    assert "there is no session in the text" in err
    code, _, err = run("plan", tmp_path / "missing.txt")
    assert code == 2
    assert "the file cannot be read" in err


def test_events_name_days_once(squad: Squad) -> None:
    data = calendar_of(read_week("Mon 6 April 2026\n5 km run"), stamp=dt.datetime(2026, 1, 1, tzinfo=dt.UTC))
    assert squad.import_events(data) == 1
    assert squad.import_events(data) == 0
    labels = squad.season().kept.labels
    assert labels.select("date_from", "date_to", "label").rows() == [
        (dt.date(2026, 4, 6), dt.date(2026, 4, 6), "Monday")
    ]
    assert b"SUMMARY:Named days" in squad.plan("2026-W15\n\nWed\n5 km run").calendar(
        stamp=dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    )


def test_events_come_in_on_the_command_line(run: Run, week_file: Path, tmp_path: Path) -> None:
    events = tmp_path / "events.ics"
    events.write_bytes(
        calendar_of(read_week("Mon 6 April 2026\n5 km run"), stamp=dt.datetime(2026, 1, 1, tzinfo=dt.UTC))
    )
    code, _, err = run("plan", week_file, "--versions", 0, "--events", events)
    assert (code, err) == (0, "1 new in the squad's calendar\n")
    events.write_text("no calendar", encoding="utf-8")
    code, out, err = run("plan", week_file, "--events", events)
    assert (code, out) == (2, "")
    assert "not an iCalendar file" in err
