"""What pages pick out of a season."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import polars as pl

from keelmark.contracts.frames import DAILY_DOSE, DAY_STATE
from keelmark.contracts.records import CALENDAR_LABEL, DECISION
from keelmark_dash import readings
from keelmark_dash.address import Address
from keelmark_dash.desk import Desk, SeasonView
from tests.dashboards.made_up import MadeUpSquad, known_days, season

WEEKS = ["2026-W01", "2026-W02", "2026-W03"]
ALL = Address(week="2026-W02", rows="1", weeks="52")


def test_coverage_puts_those_with_the_fewest_known_days_first() -> None:
    made = SeasonView(season())
    covered = readings.coverage(made, made.weeks[-1])
    assert covered["known_days"].is_sorted()
    assert covered.height == 26
    assert dict(covered.select("athlete_id", "known_days").rows())["mara"] == known_days("mara", 39)


def test_somebody_without_any_figure_is_missing_and_not_forgotten() -> None:
    made = season()
    silent = SeasonView(replace(made, weekly=made.weekly.filter(pl.col("athlete_id") != "ada")))
    assert readings.coverage(silent, made.weeks[-1]).row(0) == ("ada", "Ada", 0)


def test_nobody_is_asked_after_before_joining_or_after_leaving() -> None:
    made = season(athletes=4, weeks=10)
    week, monday = made.weeks[5], date(2025, 10, 6)  # the sixth Monday from 1 September 2025
    joined = [monday + timedelta(days=6), monday + timedelta(days=7), None, None]
    left = [None, None, monday - timedelta(days=1), monday]
    people = made.athletes.sort("athlete_id").with_columns(
        joined=pl.Series(joined, dtype=pl.Date), left=pl.Series(left, dtype=pl.Date)
    )
    asked = readings.coverage(SeasonView(replace(made, athletes=people)), week)
    assert set(asked["athlete_id"]) == {"ada", "dilys"}


def test_without_a_day_of_joining_the_first_figures_stand_for_it() -> None:
    made = season(athletes=2, weeks=10)
    late = made.weekly.filter((pl.col("athlete_id") != "bram") | (pl.col("week") >= made.weeks[6]))
    view = SeasonView(replace(made, weekly=late))
    assert readings.coverage(view, made.weeks[5])["athlete_id"].to_list() == ["ada"]
    assert set(readings.coverage(view, made.weeks[6])["athlete_id"]) == {"ada", "bram"}


def test_rows_come_thirty_at_a_time_and_a_page_too_far_is_the_first() -> None:
    many = SeasonView(season(athletes=65, weeks=1))
    sizes = [readings.shown_people(many, ALL.with_(rows=page)).height for page in (1, 2, 3, 4)]
    assert sizes == [30, 30, 5, 30]


def test_days_are_trained_told_or_without_a_record() -> None:
    daily = DAILY_DOSE.build([
        {"athlete_id": "ada", "date": date(2026, 1, 5), "channel": channel, "value": 1.0, "low": 1.0, "efforts": 1,
         "unknown": 0} for channel in ("tonnage", "knee_reps")
    ])  # fmt: skip
    told = [(date(2026, 1, 6), "ill"), (date(2026, 1, 5), "rest")]
    states = DAY_STATE.build([{"athlete_id": "ada", "date": day, "state": state} for day, state in told])
    made = SeasonView(replace(season(athletes=2, weeks=1), daily=daily, day_states=states))
    days = {row.name: row.states for row in readings.week_days(made, ALL)}
    assert days["Ada"] == ["trained", "ill", *["unlogged"] * 5]
    assert days["Bram"] == ["unlogged"] * 7


def test_a_season_is_laid_out_once_until_it_is_worked_out_anew() -> None:
    squad = MadeUpSquad()
    desk = Desk(squad)
    first = desk.season()
    assert desk.season() is first
    squad.now = season(weeks=3)
    assert desk.season() is not first
    assert len(desk.season().weeks) == 3


def test_a_week_without_a_mark_has_a_place_that_is_not_known() -> None:
    made = season(athletes=1, weeks=6)
    unmarked = SeasonView(replace(made, marks=made.marks.clear()))
    assert set(unmarked.figures("grip_s")["place"]) == {"not_known"}


def test_calendar_names_touch_weeks_by_a_single_day_and_say_whose_they_are() -> None:
    labels = CALENDAR_LABEL.build([
        {"label_id": "1", "date_from": date(2026, 1, 4), "date_to": date(2026, 1, 5), "label": "storm"},
        {"label_id": "2", "date_from": date(2026, 1, 12), "date_to": date(2026, 1, 12), "label": "test",
         "group": "early"},
    ])  # fmt: skip
    made = SimpleNamespace(labels=labels)
    assert readings.week_labels(made, WEEKS) == ["storm", "storm", "test (early)"]
    assert readings.week_labels(made, WEEKS, "early") == ["storm", "storm", "test"]
    assert readings.week_labels(made, WEEKS, "late") == ["storm", "storm", ""]


def test_the_strip_always_holds_the_chosen_week() -> None:
    weeks = [f"2026-W{place:02d}" for place in range(1, 41)]
    made = SimpleNamespace(weeks=weeks)
    assert readings.weeks_up_to(made, Address(week="2026-W40", weeks="12")) == weeks[28:]
    assert readings.weeks_up_to(made, Address(week="2026-W05", weeks="12")) == weeks[4:16]
    assert readings.weeks_up_to(made, Address(week="2026-W05", weeks="52")) == weeks


def test_the_last_thing_said_of_a_notice_stands_field_by_field() -> None:
    said = [{"useful": True}, {"option": "Leave it", "owner": "Dilys"}, {"useful": False}]
    fixed = {"notice_id": "n", "figures": "{}", "rule_version": "1", "created_at": None}
    rows = [{**fixed, "decision_id": str(place), **words} for place, words in enumerate(said)]
    frame = pl.DataFrame(rows, schema=DECISION.polars)
    stands = readings.last_decisions(SimpleNamespace(decisions=lambda: frame))["n"]
    assert (stands["useful"], stands["option"], stands["owner"]) == (False, "Leave it", "Dilys")
