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
    Balance,
    People,
    PlanMarks,
    PlannedWeek,
    above_marks,
    balance_of_squad,
    balance_repairs,
    clashes,
    explain,
    marked_weeks,
    marks_for_week,
    projection,
    read_week,
    repairs,
)
from keelmark.plan.change_words import change_words
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


def test_a_figure_above_its_mark_by_its_low_bound_is_surely_above(planned: Planned, crew: People) -> None:
    """Ten minutes of air squats have a wide range: above a mark of 1, perhaps above one just below the figure."""
    week = planned("Mon 8 June 2026\nAMRAP 10\n10 air squats", crew)
    value, low, _, _ = week.week_of(week.persons[0]).at("knee_reps")
    marks_at = {"ada": 1.0, "bo": value * 0.95, "cy": value * 1.05}
    own = PlanMarks({(key, "knee_reps"): (0.0, 0.0, mark) for key, mark in marks_at.items()}, {})
    assert low < marks_at["bo"]
    told = projection(week, own).filter(channel="knee_reps")
    assert dict(told.select("athlete_id", "past").iter_rows()) == {"ada": "surely", "bo": "perhaps", "cy": "not"}
    assert dict(told.select("athlete_id", "place").iter_rows()) == {"ada": "above", "bo": "above", "cy": "within"}


def test_what_reads_the_same_as_the_mark_does_not_lie_above_it(planned: Planned, crew: People) -> None:
    """Derived: 100 reps and a mark of 99.96 both read 100."""
    week = planned("Mon 8 June 2026\n10 x 10 air squats", crew)
    own = PlanMarks({("ada", "knee_reps"): (0.0, 50.0, 99.96), ("bo", "knee_reps"): (0.0, 50.0, 99.4)}, {})
    told = projection(week, own).filter(channel="knee_reps")
    assert dict(told.select("athlete_id", "past").iter_rows()) == {"ada": "not", "bo": "surely", "cy": "not"}


def _season(above: list[set[str]]) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Weeks before, newest first: who lay above a mark of 100 knee-dominant reps in each."""
    weekly, own = [], []
    for back, names in enumerate(above, start=1):
        monday = MONDAY - dt.timedelta(weeks=back)
        week = monday.strftime("%G-W%V")
        for key in ("ada", "bo", "cy"):
            weekly.append(
                {"athlete_id": key, "week": week, "monday": monday, "channel": "knee_reps",
                 "value": 120.0 if key in names else 80.0, "known_days": 7, "assumed_rest_days": 0, "trained_days": 1}
            )  # fmt: skip
            own.append({"athlete_id": key, "week": week, "channel": "knee_reps", "upper": 100.0})
    return WEEKLY_FIGURE.build(weekly), pl.DataFrame(own)


def test_a_count_over_the_squad_stands_beside_the_weeks_before(planned: Planned, crew: People) -> None:
    """Derived: 2, 0 and 1 of three lay above in the three weeks before; this week 100 reps pass two marks of three."""
    week = planned("Mon 8 June 2026\n10 x 10 air squats", crew)
    own = PlanMarks(
        {(key, "knee_reps"): (0.0, 50.0, mark) for key, mark in (("ada", 90.0), ("bo", 80.0), ("cy", 150.0))}, {}
    )
    found = above_marks(projection(week, own), marked_weeks(*_season([{"ada", "bo"}, set(), {"cy"}]), MONDAY))
    assert (found.people, found.sure, found.perhaps) == (3, ("Ada", "Bo"), ())
    assert (found.usual, found.weeks) == ((0, 1, 2), 3)
    (kind,) = found.kinds
    assert (kind.label, kind.sure, kind.usual) == ("Knee dominant", ("Ada", "Bo"), (0, 2))
    assert found.words == (
        "2 of 3 would surely be above one of their own marks or more. "
        "In the last 3 weeks on record it was 0 to 2, mostly about 1."
    )


def test_without_marks_nobody_is_counted(planned: Planned, crew: People) -> None:
    week = planned("Mon 8 June 2026\n10 x 10 air squats", crew)
    found = above_marks(projection(week, PlanMarks.none()), marked_weeks(*_season([{"ada"}]), MONDAY))
    assert (found.people, found.sure, found.usual) == (0, (), (1, 1, 1))
    assert found.words == "Nobody has marks for this week yet."


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


EVEN = {("vertical_push", "vertical_pull"): 1.0}


def _push(planned_week: PlannedWeek, days: set[int] | None = None) -> Balance:
    return next(one for one in balance_of_squad(planned_week, EVEN, days=days)["heavier"] if one.one == "vertical_push")


def test_a_balance_is_brought_nearer(planned: Planned) -> None:
    week = planned("Mon\n10 x 10 pull-ups\n3 x 10 strict press 20/15 kg")
    pair = _push(week)
    assert pair.log2 == pytest.approx(np.log2(30 / 100))
    found = balance_repairs(week, pair)
    assert len(found) >= 2
    for one in found:
        after = _push(planned(one.week_text))
        assert abs(after.distance or 0) < abs(pair.distance or 0)
        assert after.words in one.words
        assert one.cost > 0
        assert one.effect_words


def test_a_balance_of_some_days_is_mended_by_changing_days_too(planned: Planned) -> None:
    """Who comes on Mondays alone pulls 30 and presses none; with Thursday's session on Monday it is 30 to 30."""
    week = planned("Mon\n3 x 10 pull-ups\n\nThu\n3 x 10 pull-ups\n3 x 10 strict press 20/15 kg")
    pair = _push(week, {0})
    found = balance_repairs(week, pair, days={0})
    days = next(one for one in found if one.kind == "days")
    assert days.words.startswith("Monday's and Thursday's sessions change days")
    assert dict(days.effect)["vertical_push"] == pytest.approx(30)
    assert _push(planned(days.week_text), {0}).distance == pytest.approx(0)


def test_where_no_balance_is_meant_nothing_is_mended(planned: Planned) -> None:
    week = planned("Mon\n10 x 10 pull-ups\n3 x 10 strict press 20/15 kg")
    pair = next(one for one in balance_of_squad(week)["heavier"] if one.one == "vertical_push")
    assert balance_repairs(week, pair) == []


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


@pytest.mark.parametrize(
    ("channel", "change", "words"),
    [
        ("tonnage", -1234.0, "Tonnage −1,234 kg"),
        ("hip_hinge_reps", 36.0, "Hip hinge +36 rep"),
        ("lumbar_moment", -3358.6, "Lumbar loading −3,400 N m s"),
        ("grip_fatigue", -0.0000421, "Grip tendon index −0.000042"),
    ],
)
def test_what_is_counted_is_told_in_full_and_an_estimate_in_two_digits(channel: str, change: float, words: str) -> None:
    assert change_words(channel, change) == words
