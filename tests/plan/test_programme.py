"""The programme that chooses versions, against brute force, against a second solver, and against its promises."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pulp
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.plan.conflict import smallest_conflict, smallest_infeasible
from keelmark.plan.problem import EXCESS_WEIGHT, VERSION_COST, Problem, objective_of
from keelmark.plan.programme import solve
from keelmark.plan.worth import worth_a_change

CHANNELS = 3
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning:pulp", "ignore:.*PuLP 4.0.*:DeprecationWarning")


def made_up(seed: int, athletes: int, sessions: int, offered: int, *, limits: bool = True) -> Problem:
    """A small problem: version 0 costs nothing and asks most, later versions cost more and ask less."""
    draw = np.random.default_rng(seed)
    cost = [np.concatenate([[0.0], np.sort(draw.uniform(0.05, 1.0, offered - 1))]) for _ in range(sessions)]
    base = [draw.integers(20, 100, (athletes, 1, CHANNELS)) for _ in range(sessions)]
    dose = [
        np.concatenate([one, np.round(one * draw.uniform(0.2, 1.0, (1, offered - 1, CHANNELS)))], axis=1).astype(float)
        for one in base
    ]
    attends = draw.random((athletes, sessions)) < 0.8
    written = sum(np.where(attends[:, [s]], dose[s][:, 0], 0.0) for s in range(sessions))
    mark = np.where(
        draw.random((athletes, CHANNELS)) < 0.7, written * draw.uniform(0.5, 1.1, (athletes, CHANNELS)), np.inf
    )
    limit = np.full((athletes, CHANNELS), np.inf)
    if limits:
        limited = draw.random((athletes, CHANNELS)) < 0.3
        limit = np.where(limited, written * draw.uniform(0.6, 1.0, (athletes, CHANNELS)), np.inf)
    return Problem(cost, dose, attends, mark, limit, np.array([False, False, True]), versions=2)


def brute_force(problem: Problem) -> float:
    """The least objective over every choice of versions for everybody; infinite where every choice breaks a limit."""
    best = float("inf")
    boards = [
        [(0, *others) for others in combinations(range(1, len(cost)), problem.versions - 1)] for cost in problem.cost
    ]
    for board in product(*boards):
        total, used = 0.0, [{0} for _ in board]
        for athlete in range(len(problem.attends)):
            own = [board[s] if problem.attends[athlete, s] else (-1,) for s in range(len(board))]
            choices = np.full((np.prod([len(one) for one in own]), len(problem.attends), len(board)), -1)
            for row, choice in enumerate(product(*own)):
                choices[row, athlete] = choice
            alone = [objective_of(problem, choice) - _boards(problem, choice) for choice in choices]
            at = int(np.argmin(alone))
            total += alone[at]
            for session, version in enumerate(choices[at, athlete]):
                used[session].add(int(version))
        best = min(best, total + VERSION_COST * sum(len(one - {-1}) for one in used))
    return best


def _boards(problem: Problem, choice: np.ndarray) -> float:
    return VERSION_COST * sum(len({0, *(int(c) for c in choice[:, s] if c >= 0)}) for s in range(len(problem.cost)))


def second_solver(problem: Problem) -> float:
    """The same programme written anew for another solver, CBC, through another library."""
    model = pulp.LpProblem("versions", pulp.LpMinimize)
    athletes, sessions = problem.attends.shape
    offered = [len(cost) for cost in problem.cost]
    on_board = {(s, c): pulp.LpVariable(f"v_{s}_{c}", cat="Binary") for s in range(sessions) for c in range(offered[s])}
    does = {
        (a, s, c): pulp.LpVariable(f"x_{a}_{s}_{c}", cat="Binary")
        for a in range(athletes)
        for s in range(sessions)
        if problem.attends[a, s]
        for c in range(offered[s])
    }
    over = {(a, h): pulp.LpVariable(f"o_{a}_{h}", lowBound=0) for a in range(athletes) for h in range(CHANNELS)}
    model += (
        pulp.lpSum(problem.cost[s][c] * one for (_, s, c), one in does.items())
        + EXCESS_WEIGHT * pulp.lpSum(over.values())
        + VERSION_COST * pulp.lpSum(on_board.values())
    )
    for s in range(sessions):
        model += on_board[s, 0] == 1
        model += pulp.lpSum(on_board[s, c] for c in range(offered[s])) <= problem.versions
    for a in range(athletes):
        own = [s for s in range(sessions) if problem.attends[a, s]]
        for s in own:
            model += pulp.lpSum(does[a, s, c] for c in range(offered[s])) == 1
            for c in range(offered[s]):
                model += does[a, s, c] <= on_board[s, c]
        for h in range(CHANNELS):
            sums = [pulp.lpSum(float(problem.dose[s][a, c, h]) * does[a, s, c] for c in range(offered[s])) for s in own]
            for amount in sums if problem.peak[h] else [pulp.lpSum(sums)]:
                if np.isfinite(problem.mark[a, h]) and problem.mark[a, h] > 0:
                    model += amount <= float(problem.mark[a, h]) * (1 + over[a, h])
                if np.isfinite(problem.limit[a, h]):
                    model += amount <= float(problem.limit[a, h])
    model.solve(pulp.PULP_CBC_CMD(msg=False, gapRel=0.0))
    return float(pulp.value(model.objective)) if pulp.LpStatus[model.status] == "Optimal" else float("inf")


@pytest.mark.parametrize("seed", range(12))
def test_the_optimum_of_small_cases_equals_brute_force(seed: int) -> None:
    problem = made_up(seed, athletes=3, sessions=2, offered=4)
    found = solve(problem, gap=0.0)
    expected = brute_force(problem)
    assert found.feasible == np.isfinite(expected)
    assert found.objective == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("seed", range(20, 26))
def test_a_second_solver_finds_the_same_optimum(seed: int) -> None:
    problem = made_up(seed, athletes=8, sessions=4, offered=6)
    found = solve(problem, gap=0.0)
    expected = second_solver(problem)
    assert found.feasible == np.isfinite(expected)
    assert found.objective == pytest.approx(expected, abs=1e-5)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(100, 10_000))
def test_no_version_passes_an_agreed_limit(seed: int) -> None:
    problem = made_up(seed, athletes=4, sessions=3, offered=5)
    found = solve(problem)
    if not found.feasible:
        return
    for athlete in range(4):
        taken = [problem.dose[s][athlete, c] for s, c in enumerate(found.choice[athlete]) if c >= 0]
        if taken:
            total = np.where(problem.peak, np.max(taken, axis=0), np.sum(taken, axis=0))
            assert (total <= problem.limit[athlete] * (1 + 1e-9)).all()
    for session, cost in enumerate(problem.cost):
        assert len({0, *found.choice[:, session]} - {-1}) <= problem.versions <= len(cost)


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(100, 10_000), gone=st.integers(0, 3))
def test_without_an_athlete_the_others_fare_no_worse(seed: int, gone: int) -> None:
    problem = made_up(seed, athletes=4, sessions=3, offered=4)
    full = solve(problem, gap=0.0)
    if not full.feasible:
        return
    kept = [athlete for athlete in range(4) if athlete != gone]
    rest = replace(
        problem,
        dose=[dose[kept] for dose in problem.dose],
        attends=problem.attends[kept],
        mark=problem.mark[kept],
        limit=problem.limit[kept],
    )
    others = objective_of(rest, full.choice[kept])
    assert solve(rest, gap=0.0).objective <= others + 1e-6


def test_an_amount_that_is_not_known_never_passes_for_one_within_a_limit() -> None:
    """The board's amount is not known, the other version's is 10 and the limit 20: only the other may be done."""
    problem = Problem(
        cost=[np.array([0.0, 0.4])],
        dose=[np.array([[[np.nan], [10.0]]])],
        attends=np.array([[True]]),
        mark=np.array([[np.inf]]),
        limit=np.array([[20.0]]),
        peak=np.array([False]),
        versions=2,
    )
    found = solve(problem)
    assert found.choice.tolist() == [[1]]
    assert found.objective == pytest.approx(0.4 + 2 * VERSION_COST)
    assert not solve(replace(problem, dose=[np.array([[[np.nan], [30.0]]])])).feasible


def test_nobody_above_a_mark_leaves_the_board_as_it_is() -> None:
    problem = made_up(1, athletes=3, sessions=2, offered=4, limits=False)
    found = solve(replace(problem, mark=np.full_like(problem.mark, np.inf)))
    assert (found.choice[problem.attends] == 0).all()
    assert found.objective == pytest.approx(2 * VERSION_COST)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(100, 10_000))
def test_what_is_left_out_before_solving_is_in_no_better_choice(seed: int) -> None:
    """Each athlete's least price over every choice of versions is that over the versions that are kept."""
    problem = made_up(seed, athletes=3, sessions=3, offered=4)
    for athlete in range(3):
        one = replace(
            problem,
            dose=[dose[[athlete]] for dose in problem.dose],
            attends=np.ones((1, 3), dtype=bool),
            mark=problem.mark[[athlete]],
            limit=problem.limit[[athlete]],
        )
        doses = [dose[0] for dose in one.dose]
        kept = worth_a_change(one.cost, doses, one.mark[0], one.limit[0], one.peak, EXCESS_WEIGHT)
        best = {
            name: min(objective_of(one, np.array([pick])) - _boards(one, np.array([pick])) for pick in product(*picks))
            for name, picks in (("all", [range(4)] * 3), ("kept", [np.flatnonzero(of) for of in kept]))
        }
        assert best["kept"] == pytest.approx(best["all"], abs=1e-9)


def test_a_version_that_lowers_nothing_that_counts_is_left_out() -> None:
    """The mark is 50. Taking 10 off the 60 spares a fifth of the mark, at 2 each 0.4: worth 0.3, not worth 0.5."""
    dose = [np.array([[60.0, 9.0], [50.0, 9.0], [50.0, 9.0], [60.0, 1.0]])]
    cost = [np.array([0.0, 0.3, 0.5, 0.1])]
    mark, limit, peak = np.array([50.0, np.inf]), np.full(2, np.inf), np.array([False, False])
    (kept,) = worth_a_change(cost, dose, mark, limit, peak, EXCESS_WEIGHT)
    assert kept.tolist() == [True, True, False, False]
    (kept,) = worth_a_change(cost, dose, mark, np.array([np.inf, 5.0]), peak, EXCESS_WEIGHT)
    assert kept.tolist() == [True, True, False, True]


def test_the_smallest_conflict_is_named() -> None:
    """One session with versions of 10 + 5 and 5 + 10: limits of 7 on either by itself can be kept, not both."""
    problem = Problem(
        cost=[np.array([0.0, 0.1])],
        dose=[np.array([[[10.0, 5.0, 1.0], [5.0, 10.0, 1.0]], [[10.0, 5.0, 1.0], [5.0, 10.0, 1.0]]])],
        attends=np.array([[True], [True]]),
        mark=np.full((2, 3), np.inf),
        limit=np.array([[7.0, 7.0, 50.0], [7.0, np.inf, 50.0]]),
        peak=np.array([False, False, False]),
        versions=2,
    )
    assert not solve(problem).feasible
    assert sorted(smallest_conflict(problem)) == [(0, 0), (0, 1)]


@given(st.lists(st.sets(st.integers(0, 5), min_size=1), min_size=1, max_size=4))
def test_a_smallest_infeasible_set_is_as_small_as_any(conflicts: list[set[int]]) -> None:
    def feasible(kept: object) -> bool:
        return not any(conflict <= set(kept) for conflict in conflicts)  # type: ignore[call-overload]

    found = smallest_infeasible(range(6), feasible)
    assert not feasible(found)
    assert len(found) == min(map(len, conflicts))
