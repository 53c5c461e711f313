"""What is agreed with athletes and meant for weeks ahead: kept, used by plans, taken back, told on the command line."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterator
from pathlib import Path

import icalendar
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from keelmark.cli import main
from keelmark.contracts.errors import SettingError, StoreError
from keelmark.service import Squad
from keelmark.service.ahead import meant_by_athlete, meant_weeks, usual_amount

START = dt.date(2026, 1, 5)
PLANNED = START + dt.timedelta(weeks=4)
WEEK = "2026-W06\n\nMon\n6 x 10 deadlift 100/70 kg\n\nWed\n5 x 10 kettlebell swings 24/16 kg"
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    return f"sqlite:///{tmp_path_factory.mktemp('ahead') / 'squad.sqlite'}"


@pytest.fixture(scope="module")
def squad(address: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """Three people who deadlift on Mondays and Wednesdays for four weeks: 20, 30 and 40 reps a week."""
    rows = ["date,athlete,movement,sets,reps,load_kg"]
    for week in range(4):
        for day in (0, 2):
            date = START + dt.timedelta(weeks=week, days=day)
            rows += [f"{date},{name},deadlift,{sets},5,100" for name, sets in (("Ada", 2), ("Bo", 3), ("Cy", 4))]
    log = tmp_path_factory.mktemp("log") / "log.csv"
    log.write_text("\n".join(rows) + "\n", encoding="utf-8")
    with Squad.open(address) as opened:
        opened.set_setting("quiet_days", "rest")
        opened.import_log(log)
        yield opened


@pytest.fixture
def nothing_agreed(squad: Squad) -> Iterator[Squad]:
    yield squad
    for key in squad.ahead.limits()["limit_id"]:
        squad.ahead.withdraw_limit(key)
    for key in squad.ahead.ramps()["ramp_id"]:
        squad.ahead.withdraw_ramp(key)


def _agree(
    squad: Squad, most: float, first: dt.date, last: dt.date | None = None, channel: str = "hip_hinge_reps"
) -> str:
    return squad.ahead.agree("bo", channel, most, agreed_with="Bo and Sam", date_from=first, date_to=last)


@pytest.mark.parametrize(
    ("first", "last", "counts"),
    [
        (PLANNED, None, True),
        (PLANNED - dt.timedelta(days=30), PLANNED, True),
        (PLANNED + dt.timedelta(days=6), None, True),
        (PLANNED + dt.timedelta(days=7), None, False),
        (PLANNED - dt.timedelta(days=30), PLANNED - dt.timedelta(days=1), False),
    ],
)
def test_a_limit_counts_in_weeks_that_its_days_touch(
    nothing_agreed: Squad, first: dt.date, last: dt.date | None, counts: bool
) -> None:
    _agree(nothing_agreed, 40, first, last)
    assert [limit.most for limit in nothing_agreed.plan(WEEK).limits] == ([40] if counts else [])


def test_what_is_agreed_holds_at_once_and_until_it_is_taken_back(nothing_agreed: Squad) -> None:
    """The figures of the season are not worked out anew for it."""
    season = nothing_agreed.season()
    assert nothing_agreed.plan(WEEK).limits == ()
    key = _agree(nothing_agreed, 40, PLANNED)
    assert [limit.most for limit in nothing_agreed.plan(WEEK).limits] == [40]
    nothing_agreed.ahead.withdraw_limit(key)
    assert nothing_agreed.plan(WEEK).limits == ()
    assert nothing_agreed.season() is season
    with pytest.raises(StoreError, match=f"no agreed limit '{key}' stands"):
        nothing_agreed.ahead.withdraw_limit(key)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(hinges=st.floats(20, 130), swings=st.floats(15, 60))
def test_no_version_passes_what_is_on_record(nothing_agreed: Squad, hinges: float, swings: float) -> None:
    """The board asks 110 hinges and 50 x 1.5 + 60 x 2.5 = 225 s of grip."""
    keys = [_agree(nothing_agreed, hinges, PLANNED), _agree(nothing_agreed, 4 * swings, PLANNED, channel="grip_s")]
    try:
        plan = nothing_agreed.plan(WEEK)
        programme = plan.versions(3)
        if programme.conflict:
            return
        week = plan.planned.week_of(plan.person("Bo"), texts=programme.texts_for("bo"))
        assert week.of("hip_hinge_reps") <= hinges * (1 + 1e-9)
        assert week.of("grip_s") <= 4 * swings * (1 + 1e-9)
    finally:
        for key in keys:
            nothing_agreed.ahead.withdraw_limit(key)


def test_what_cannot_be_agreed_is_refused(nothing_agreed: Squad) -> None:
    with pytest.raises(SettingError, match="nobody is named"):
        nothing_agreed.ahead.agree("bo", "grip_s", 40, agreed_with=" ", date_from=PLANNED)
    with pytest.raises(SettingError, match="before it begins"):
        _agree(nothing_agreed, 40, PLANNED, PLANNED - dt.timedelta(days=1))
    with pytest.raises(SettingError, match="agreed limits"):
        _agree(nothing_agreed, -1, PLANNED)
    with pytest.raises(StoreError, match="not in the squad: zoe"):
        nothing_agreed.ahead.agree("zoe", "grip_s", 40, agreed_with="Sam", date_from=PLANNED)
    assert nothing_agreed.ahead.limits().is_empty()


def test_meant_weeks_stand_beside_the_middle_of_the_squad(nothing_agreed: Squad) -> None:
    """Derived: 20, 30 and 40 reps have the middle 30 and the middle half 25 to 35; 30, 31.5, 33.075 x 0.6."""
    squad = nothing_agreed
    assert usual_amount(squad.season().weekly, "hip_hinge_reps") == 30
    assert usual_amount(squad.season().weekly, "jump_contacts") in (0, None)
    squad.ahead.mean("hip_hinge_reps", PLANNED - dt.timedelta(weeks=1), 3, 30.0, 0.05, 3)
    table = meant_weeks(squad.ahead.meant(), squad.season().weekly)
    assert table["planned"].to_list() == pytest.approx([30, 31.5, 33.075 * 0.6])
    assert table.select("done", "lower", "upper", "athletes").row(0) == (30, 25, 35, 3)
    assert table["done"].to_list()[1:] == [None, None]


def test_of_two_ramps_the_later_one_counts(nothing_agreed: Squad) -> None:
    squad = nothing_agreed
    squad.ahead.mean("hip_hinge_reps", PLANNED, 2, 30.0, 0.0)
    later = squad.ahead.mean("hip_hinge_reps", PLANNED + dt.timedelta(weeks=1), 2, 50.0, 0.0)
    assert [week.amount for week in squad.ahead.meant("hip_hinge_reps")] == [30, 50, 50]
    squad.ahead.withdraw_ramp(later)
    assert [week.amount for week in squad.ahead.meant()] == [30, 30]
    with pytest.raises(SettingError, match="planned ramp"):
        squad.ahead.mean("hip_hinge_reps", PLANNED + dt.timedelta(days=1), 2, 50.0, 0.0)


def test_named_days_and_meant_weeks_go_out_as_a_calendar(nothing_agreed: Squad) -> None:
    """RFC 5545, 3.6.1: a whole-day event ends on the day after its last one."""
    nothing_agreed.ahead.mean("hip_hinge_reps", PLANNED, 1, 30.0, 0.0)
    data = nothing_agreed.ahead.calendar(
        nothing_agreed.season().kept.labels, stamp=dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    )
    (event,) = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert str(event["summary"]) == "Meant: Hip hinge 30 rep"
    assert (event.decoded("dtstart"), event.decoded("dtend")) == (PLANNED, PLANNED + dt.timedelta(days=7))


@pytest.fixture
def run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], address: str, nothing_agreed: Squad
) -> Run:
    """Type a command at the same squad."""

    def typed(*words: object) -> tuple[int, str, str]:
        monkeypatch.setenv("KEELMARK_DB", address)
        monkeypatch.setattr("sys.argv", ["keelmark", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            main()
        told = capsys.readouterr()
        return int(left.value.code or 0), told.out, told.err

    return typed


def test_limits_on_the_command_line(run: Run) -> None:
    assert run("limits", "list")[1] == "Nothing is agreed.\n"
    code, out, _ = run(
        "limits", "add", "bo", "jump_contacts", 60, "--with", "Sam", "--from", PLANNED, "--until", "2026-03-01"
    )
    assert (code, out.startswith("Kept as ")) == (0, True)
    _, told, _ = run("limits", "list", "--athlete", "Bo")
    assert told.strip().endswith(
        "Bo: jump contacts at most 60 contact a week, from 2026-02-02 until 2026-03-01, agreed with Sam"
    )
    (kept,) = json.loads(run("limits", "list", "--json")[1])
    assert (kept["name"], kept["most"], kept["agreed_with"]) == ("Bo", 60, "Sam")
    assert run("limits", "drop", kept["limit_id"])[0] == 0
    assert run("limits", "list")[1] == "Nothing is agreed.\n"
    assert run("limits", "add", "bo", "jump_contacts", 60, "--with", "Sam", "--until", "soon")[0] == 2


def test_weeks_ahead_on_the_command_line(run: Run, tmp_path: Path) -> None:
    assert run("ahead", "list")[1] == "Nothing is meant yet.\n"
    assert run("ahead", "add", "hip_hinge_reps", PLANNED, 2)[0] == 0
    told = json.loads(run("ahead", "list", "--json")[1])
    assert [week["planned"] for week in told["weeks"]] == pytest.approx([30, 31.5])
    assert "Hip hinge: 2 weeks from 2026-02-02, 30 rep in the first, +5 % a week" in run("ahead", "list")[1]
    assert run("ahead", "calendar", tmp_path / "ahead.ics")[0] == 0
    assert (tmp_path / "ahead.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")
    assert run("ahead", "drop", told["ramps"][0]["ramp_id"])[0] == 0
    assert run("ahead", "add", "tonnage", "soon", 2)[0] == 2


def test_a_whole_week_that_was_meant_stands_beside_what_each_athlete_did(nothing_agreed: Squad) -> None:
    """A Monday and a Wednesday of 3 x 5 at 100 kg: 30 reps; Ada did 20, Bo 30, Cy 40 (derived: -1/3, 0, +1/3)."""
    monday = START + dt.timedelta(weeks=3)
    text = "Monday\n3 sets of 5 deadlifts at 100 kg\n\nWednesday\n3 sets of 5 deadlifts at 100 kg\n"
    plan = nothing_agreed.plan(text, monday=monday)
    amounts = plan.middle()
    assert (amounts["hip_hinge_reps"], amounts["tonnage"]) == (30.0, 3000.0)
    assert "lumbar_peak" not in amounts
    key = nothing_agreed.ahead.mean_week(monday, text, amounts, plan.each())
    season = nothing_agreed.season()
    meant = [week for week in nothing_agreed.ahead.meant() if week.monday == monday]
    squad = meant_weeks(meant, season.weekly).filter(channel="hip_hinge_reps").row(0, named=True)
    assert (squad["planned"], squad["done"]) == (30.0, 30.0)
    each = {row["name"]: row for row in meant_by_athlete(meant, season.weekly, season.athletes).to_dicts()}
    assert each["Bo"]["about"] == each["Bo"]["kinds"] > 1
    assert (each["Ada"]["less"], each["Ada"]["least_by"]) == (each["Ada"]["kinds"], pytest.approx(-1 / 3, abs=0.02))
    assert (each["Cy"]["more"], each["Cy"]["most_by"]) == (each["Cy"]["kinds"], pytest.approx(1 / 3, abs=0.02))
    assert nothing_agreed.ahead.weeks().select("week_id", "text").rows() == [(key, text)]
    told = nothing_agreed.ahead.amounts(key).filter(channel="tonnage").select("athlete_id", "amount").rows()
    assert told == [("ada", 3000.0), ("bo", 3000.0), ("cy", 3000.0)]
    nothing_agreed.ahead.withdraw_week(key)
    assert nothing_agreed.ahead.weeks().is_empty()
    assert [week for week in nothing_agreed.ahead.meant() if week.monday == monday] == []
    with pytest.raises(StoreError, match="no kept week"):
        nothing_agreed.ahead.withdraw_week(key)


def test_a_week_kept_on_the_command_line_says_what_it_holds_and_what_not(run: Run, tmp_path: Path) -> None:
    """The three come on Mondays and Wednesdays, so what is asked on a Friday is nobody's; the second text is the last.

    Derived: 6 x 10 hinges at 100 kg are 60 reps and 6000 kg.
    """
    first, second, odd = (tmp_path / f"{name}.txt" for name in ("first", "second", "odd"))
    first.write_text("2026-W06\n\nMon\n6 x 10 deadlift 100 kg\n\nFri\n30 pull-ups\n", encoding="utf-8")
    second.write_text("2026-W06\n\nMon\n6 x 10 push press 40 kg\n", encoding="utf-8")
    odd.write_text("2026-W06\n\nMon\n6 x 10 deadlift 100 kg\n9 flibber wobbles\n", encoding="utf-8")
    code, out, _ = run("ahead", "keep", first)
    assert (code, "Tonnage: 6,000 kg" in out, "Hip hinge: 60 rep" in out) == (0, True, True)
    assert "half of the squad or more does none of it: " in out
    assert "Vertical pull" in out.split("none of it: ")[1]
    assert run("ahead", "keep", second)[0] == 0
    told = json.loads(run("ahead", "list", "--json")[1])
    assert {week["channel"]: week["planned"] for week in told["weeks"]}["tonnage"] == pytest.approx(2400)
    assert "hip_hinge_reps" not in {week["channel"] for week in told["weeks"]}
    code, out, _ = run("ahead", "keep", odd)
    assert (code, "flibber" in out) == (1, True)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("tonage", "2026-02-02", 2), "there is no kind of work “tonage”"),
        (("tonnage", "2026-02-03", 2), "2026-02-03 is a Tuesday"),
        (("tonnage", "2026-02-02", 0), "0 weeks were given"),
    ],
)
def test_a_ramp_is_refused_by_the_figure_that_does_not_fit(run: Run, words: tuple[object, ...], found: str) -> None:
    code, _, told = run("ahead", "add", *words, "--start", 100)
    assert (code, found in told) == (2, True)


def test_a_week_without_amounts_cannot_be_kept(nothing_agreed: Squad) -> None:
    with pytest.raises(SettingError, match="the week holds no amount"):
        nothing_agreed.ahead.mean_week(START, "Mon\nrest", {}, {})


def test_nothing_is_usual_of_no_kind_of_work(squad: Squad, recwarn: pytest.WarningsRecorder) -> None:
    assert usual_amount(squad.season().weekly, None) is None
    assert not recwarn.list
