"""Versions as text: read back to exactly the planned dose, within limits, a few on each board."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.errors import SettingError
from keelmark.plan import Limit, People, PlanDoser, PlannedWeek, Programme, read_week, reference_people, versions
from keelmark.plan.candidates import candidates, single_edits
from keelmark.plan.doses import PLAN_CHANNELS, add_up
from keelmark.plan.edits import edits_of
from keelmark.plan.versions import problem_of
from tests.plan.conftest import Planned
from tests.plan.test_programme import brute_force

WEEK = """Mon 8 June 2026
5 rounds for time
400 m run
12 deadlift 100/70 kg
12 hand release push-ups

Wed
21-15-9
thrusters 42.5/30 kg
pull-ups

Fri
Every 2:00 x 8: 10 box jumps 60/50 cm, 10 toes to bar

Sat
AMRAP 12
10 kettlebell swings 24/16 kg
20 sit-ups
"""


def _dose_again(planned: PlannedWeek, person_at: int, text: str) -> np.ndarray:
    """A text's dose, read by a reader who has never seen it."""
    fresh = PlanDoser(planned.doser.catalogue, planned.doser.people, planned.week.monday)
    return fresh.dose(text, planned.persons[person_at]).total().value


def test_what_is_written_back_is_read_to_exactly_the_planned_dose(planned: Planned, crew: People) -> None:
    week = planned(WEEK, crew)
    choices = [candidates(session.text, week.doser) for session in week.sessions]
    problem = problem_of(week, choices, {}, (), 3)
    for at, of_session in enumerate(choices):
        assert len(of_session) > 5
        for person in range(len(week.persons)):
            for version, one in enumerate(of_session):
                expected = problem.dose[at][person, version]
                found = np.where(np.isnan(expected), np.nan, _dose_again(week, person, one.text))
                np.testing.assert_array_equal(found, expected)


def test_what_each_athlete_is_given_to_do_is_the_dose_that_was_chosen(planned: Planned, crew: People) -> None:
    week = planned(WEEK, crew)
    limits = [Limit("bo", "jump_contacts", 40.0), Limit("ada", "grip_s", 200.0), Limit("cy", "hip_hinge_kg", 4000.0)]
    found = versions(week, {}, limits)
    problem = problem_of(week, [candidates(one.text, week.doser) for one in week.sessions], {}, limits, 3)
    assert (found.solution.choice > 0).any()
    for row, person in enumerate(week.persons):
        given_to_do = found.texts_for(person.athlete_id)
        for at, session in enumerate(week.sessions):
            expected = problem.dose[at][row, found.solution.choice[row, at]]
            again = _dose_again(week, row, given_to_do[session.key])
            np.testing.assert_array_equal(np.where(np.isnan(expected), np.nan, again), expected)


def test_a_week_of_versions_is_read_as_it_was_written(planned: Planned) -> None:
    week = planned(WEEK)
    found = versions(week)
    assert {version.session for version in found.versions} == {"mon", "wed", "fri", "sat"}
    for session in week.sessions:
        own = found.of_session(session.key)
        assert own[0].text == session.text
        assert [one.letter for one in own] == list("ABC")[: len(own)]
        assert [one.cost for one in own] == sorted(one.cost for one in own)
        assert f"[B]\n{own[1].text}" in found.week_text(week)


def test_where_nobody_is_known_versions_aim_at_shares_of_the_board(planned: Planned) -> None:
    """80 and 60 % of the board are aimed at, so the versions lower what the board asks, the last one most."""
    week = planned(WEEK)
    found = versions(week)
    assert found.aims == "80% and 60% of every amount on the board"
    assert all(bool(one.athletes) == bool(one.edits) for one in found.versions)
    person = week.persons[0]
    sums = []
    for letter in "ABC":
        own = [
            next(one for one in reversed(found.of_session(key)) if one.letter <= letter)
            for key in ("mon", "wed", "fri", "sat")
        ]
        sums.append(add_up([week.doser.dose(one.text, person).total() for one in own]).value)
    written = sums[0] > 0
    shares = [float(np.mean(total[written] / sums[0][written])) for total in sums]
    assert shares[0] == 1
    assert shares[0] > shares[1] > shares[2]
    assert shares[1] < 0.95


def _week_of(planned: PlannedWeek, found: Programme, athlete: str, channel: str) -> float:
    return planned.week_of(planned.person(athlete), texts=found.texts_for(athlete)).of(channel)


@cache
def _reference_week() -> PlannedWeek:
    """The week for two readers, kept from one example to the next, so that each takes a moment."""
    week = read_week(WEEK)
    return PlannedWeek(week, PlanDoser(shipped_catalogue(), reference_people(), week.monday))


@settings(max_examples=15, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(
    deadlift=st.floats(0.35, 1.1),
    jumps=st.floats(0.4, 1.1),
    grip=st.floats(0.4, 1.1),
)
def test_no_athletes_week_passes_an_agreed_limit(deadlift: float, jumps: float, grip: float) -> None:
    """Limits as shares of what the board asks: 60 deadlifts and 80 swings, 80 jumps, and the grip of both."""
    planned = _reference_week()
    written = planned.week_of(planned.person("heavier"))
    limits = [
        Limit("heavier", key, share * written.of(key))
        for key, share in (("hip_hinge_kg", deadlift), ("jump_contacts", jumps), ("grip_s", grip))
    ]
    found = versions(planned, {}, limits)
    if found.conflict:
        assert not found.solution.feasible
        return
    for limit in limits:
        assert _week_of(planned, found, "heavier", limit.channel) <= limit.most * (1 + 1e-9)
    assert _week_of(planned, found, "lighter", "jump_contacts") == pytest.approx(80)


def test_marks_are_kept_where_versions_allow(planned: Planned, crew: People) -> None:
    """Bo's mark is 40 jumps; the board asks 80, five jumps instead of ten ask 40."""
    week = planned(WEEK, crew)
    found = versions(week, {("bo", "jump_contacts"): 40.0})
    assert _week_of(week, found, "bo", "jump_contacts") <= 40
    assert _week_of(week, found, "ada", "jump_contacts") == pytest.approx(80)
    assert len(found.of_session("fri")) == 2
    assert all(len(found.of_session(key)) == 1 for key in ("mon", "wed", "sat"))


def test_limits_that_cannot_be_kept_are_named(planned: Planned, crew: People) -> None:
    """Hip thrusts need no grip, but whatever stands in for a deadlift opens the hip."""
    week = planned("Mon 8 June 2026\n5 x 5 deadlift 100/70 kg", crew)
    assert versions(week, {}, [Limit("bo", "grip_s", 10.0)]).conflict == ()
    found = versions(week, {}, [Limit("bo", "hip_opening", 0.5), Limit("bo", "grip_s", 10.0)])
    assert not found.solution.feasible
    assert found.conflict == ("Bo: hip opening at most 0.5 rep",)


def test_the_chosen_texts_are_as_good_as_brute_force(planned: Planned, crew: People) -> None:
    week = planned("Mon 8 June 2026\n5 x 10 box jumps 60/50 cm\n\nThu\n4 x 10 toes to bar", crew)
    upper = {("bo", "jump_contacts"): 30.0, ("ada", "spinal_flexion"): 20.0, ("cy", "grip_s"): 50.0}
    choices = [candidates(session.text, week.doser, most=6) for session in week.sessions]
    problem = problem_of(week, choices, upper, [Limit("cy", "jump_contacts", 45.0)], 2)
    found = versions(week, upper, [Limit("cy", "jump_contacts", 45.0)], most=2, gap=0.0, offered=6)
    assert found.solution.objective == pytest.approx(brute_force(problem), abs=1e-6)


def test_edits_are_what_a_coach_would_write(planned: Planned) -> None:
    week = planned(WEEK)
    person = week.persons[0]
    work = week.doser.reader.work(week.sessions[0].text, person.context)
    words = {
        edit.words for item in edits_of(week.sessions[0].text, work.tree, week.doser.catalogue) for edit in item.edits
    }
    assert "12 deadlift 100/70 kg: 10 instead of 12" in words
    assert "12 deadlift 100/70 kg: 80/55 kg" in words
    assert "400 m run: 300 instead of 400" in words
    assert "12 deadlift 100/70 kg: bar at 30 cm" in words
    assert "12 deadlift 100/70 kg: trap bar deadlift instead" in words


def test_every_single_edit_keeps_the_text_as_clear_as_it_was(planned: Planned) -> None:
    week = planned(WEEK)
    person = week.persons[0]
    for session in week.sessions:
        before = week.doser.reader.work(session.text, person.context)
        for one in single_edits(session.text, week.doser):
            after = week.doser.reader.work(one.text, person.context)
            assert sorted(issue.code for issue in after.issues) == sorted(issue.code for issue in before.issues)
            assert one.cost > 0


def test_what_does_not_fit_is_refused(planned: Planned) -> None:
    week = planned(WEEK)
    with pytest.raises(SettingError, match="0 versions are asked for"):
        versions(week, most=0)
    with pytest.raises(SettingError, match="at most -1 for heavier"):
        Limit("heavier", "grip_s", -1.0)
    with pytest.raises(SettingError, match="agreed with nobody, who is not in the squad"):
        versions(week, {}, [Limit("nobody", "grip_s", 1.0)])
    assert {channel.key for channel in PLAN_CHANNELS} >= {"grip_s"}
