"""Weeks against marks, changes that take a clash away, a session explained."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.contracts.words import SCOPE_LINE
from keelmark.marks import marks
from keelmark.plan import (
    People,
    PlanMarks,
    balance_of_squad,
    balance_repairs,
    clashes,
    explain,
    marks_for_week,
    projection,
    read_week,
    repairs,
)
from tests.plan.conftest import MONDAY, Planned

TWO_DAYS = (
    "Mon 8 June 2026\n5x5 back squat 80/55 kg\n\nTue\n8 x 8 push press 40/30 kg\n\n"
    "Wed\n9 x 7 overhead squat 40/30 kg\n\nSat\n5 km run"
)


def _weekly(weeks: int) -> pl.DataFrame:
    draw = np.random.default_rng(5)
    rows: list[dict[str, object]] = []
    for athlete in ("ada", "bo"):
        for back in range(weeks, 0, -1):
            monday = MONDAY - dt.timedelta(weeks=back)
            amount = float(draw.normal(100, 10))
            rows.append(
                {
                    "athlete_id": athlete, "week": monday.strftime("%G-W%V"), "monday": monday,
                    "channel": "overhead_reps", "value": amount, "low": amount, "high": amount, "known_days": 7,
                    "assumed_rest_days": 0, "trained_days": 3,
                }
            )  # fmt: skip
    return WEEKLY_FIGURE.build(rows)


def test_marks_of_a_week_ahead_are_those_it_gets_once_it_is_done() -> None:
    """The marks of a week rest on the weeks before it: those of the last week on record are found from the others."""
    weekly = _weekly(20)
    last = MONDAY - dt.timedelta(weeks=1)
    done = marks(weekly).filter(pl.col("week") == last.strftime("%G-W%V"))
    ahead = marks_for_week(weekly, last)
    for row in done.iter_rows(named=True):
        assert ahead.edges[row["athlete_id"], "overhead_reps"] == pytest.approx(
            (row["lower"], row["expected"], row["upper"])
        )


def test_a_few_weeks_give_no_marks_and_the_reason() -> None:
    ahead = marks_for_week(_weekly(2), MONDAY)
    assert ahead.upper == {}
    assert ahead.reasons["ada", "overhead_reps"] == "2 of the 4 known weeks that a usual range needs"


def test_everybodys_week_lies_against_their_own_marks(planned: Planned, crew: People) -> None:
    """Derived: 64 and 63 lockouts are 127: above a mark of 100, within one of 150, below a lower mark of 128."""
    own = PlanMarks(
        {
            ("ada", "overhead_reps"): (10.0, 50.0, 100.0),
            ("bo", "overhead_reps"): (10.0, 50.0, 150.0),
            ("cy", "overhead_reps"): (128.0, 129.0, 130.0),
        },
        {},
    )
    week = planned(TWO_DAYS, crew)
    table = projection(week, own)
    rows = {row["athlete_id"]: row for row in table.filter(pl.col("channel") == "overhead_reps").iter_rows(named=True)}
    assert {key: (row["value"], row["place"]) for key, row in rows.items()} == {
        "ada": (127.0, "above"),
        "bo": (127.0, "within"),
        "cy": (127.0, "below"),
    }
    assert set(table.filter(pl.col("channel") == "tonnage")["place"]) == {"not_known"}
    what_if = projection(week, own, days={"ada": [0, 1]}, texts={"bo": {"tue": "8 x 12 push press 40/30 kg"}})
    changed = {
        row["athlete_id"]: row for row in what_if.filter(pl.col("channel") == "overhead_reps").iter_rows(named=True)
    }
    assert (changed["ada"]["value"], changed["ada"]["place"]) == (64.0, "within")
    assert (changed["bo"]["value"], changed["bo"]["place"]) == (159.0, "above")


def test_a_repair_takes_the_clash_away_and_brings_no_other(planned: Planned) -> None:
    week = planned(TWO_DAYS)
    (clash,) = clashes(week)
    found = repairs(week, clash)
    assert len(found) >= 2
    assert len({one.kind for one in found}) >= 2
    assert [one.cost for one in found] == sorted(one.cost for one in found)
    for one in found:
        assert clashes(planned(one.week_text)) == []
    days = next(one for one in found if one.kind == "days")
    assert days.effect == ()
    moved = read_week(days.week_text)
    assert [one.key for one in moved.sessions] == [one.key for one in week.sessions]
    assert sorted(one.text for one in moved.sessions) == sorted(one.text for one in week.sessions)
    amount = next(one for one in found if one.kind == "amount")
    assert any(key == "overhead_reps" and change < 0 for key, change in amount.effect)
    assert amount.effect_words[0].split()[-1]


def test_a_repair_for_a_clash_that_is_not_there_is_none(planned: Planned) -> None:
    (clash,) = clashes(planned(TWO_DAYS))
    assert repairs(planned("Mon\n5x5 back squat 80/55 kg"), clash) == []


def test_a_balance_is_brought_nearer(planned: Planned) -> None:
    week = planned("Mon\n10 x 10 pull-ups\n3 x 10 strict press 20/15 kg")
    pair = next(one for one in balance_of_squad(week)["heavier"] if one.one == "vertical_push")
    assert pair.log2 == pytest.approx(np.log2(30 / 100))
    for one in balance_repairs(week, pair):
        after = planned(one.week_text)
        again = next(two for two in balance_of_squad(after)["heavier"] if two.one == "vertical_push")
        assert again.distance is not None
        assert abs(again.distance) < abs(pair.distance or 0)


def test_a_session_is_explained(planned: Planned) -> None:
    """Derived: 10 sets of 10 snatches are 100 from the ground and overhead, over 30 of each; 20 minutes are long."""
    week = planned("Thu\nEvery 2:00 x 10: 10 power snatch 35/25 kg, 5 box jumps 60/50 cm")
    told = explain(week.sessions[0].text, week.persons[0], week.doser)
    assert {one.movement: one.amount for one in told.movements} == {"power_snatch": 100, "box_jump": 50}
    assert [part.domain for part in told.parts] == ["long: 12 to 25 minutes"]
    assert told.limiter == "locked-out shoulders: 100 rep"
    assert any("keep the trunk as it was on the first rep" in words for words in told.cautions)
    assert any("Step down rather than drop down" in words for words in told.cautions)
    value, low, high = told.parts[0].lumbar
    assert high is not None
    assert value is not None
    assert 0 < low < value < high
    assert any("35" in one.words and one.effect for one in told.scaling)
    assert told.scope == SCOPE_LINE
