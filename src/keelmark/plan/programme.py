"""Which versions to write on the board and who does which: a mixed-integer programme, solved by HiGHS.

For athletes a, sessions s and versions c:

    minimise    sum cost[s,c] x[a,s,c] + weight * sum over[a,h] + small * sum v[s,c]
    subject to  sum_c x[a,s,c] = 1                     each athlete does one version of each session attended
                x[a,s,c] <= v[s,c],  sum_c v[s,c] <= K   at most K versions, the board among them
                sum dose[a,s,c,h] x[a,s,c] <= mark[a,h] (1 + over[a,h])
                sum dose[a,s,c,h] x[a,s,c] <= limit[a,h]
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from keelmark.plan.doses import Array
from keelmark.plan.problem import (
    EXCESS_WEIGHT,
    VERSION_COST,
    Problem,
    Solution,
    objective_of,
    version_costs,
    who_has_to_choose,
)
from keelmark.plan.worth import worth_a_change

__all__ = ["GAP", "SECONDS", "solve"]

GAP = 0.01
SECONDS = 60.0
_ROUNDING = 1e-5
"""Above the solver's own tolerance of 1e-6."""


@dataclass
class _Rows:
    """Rows of a sparse matrix as they come, with bounds."""

    at: list[NDArray[np.int64]] = field(default_factory=list)
    to: list[NDArray[np.int64]] = field(default_factory=list)
    by: list[Array] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def add(self, columns: NDArray[np.int64], factors: Array, low: float, high: float) -> None:
        self.at.append(np.full(len(columns), len(self.low)))
        self.to.append(columns)
        self.by.append(factors)
        self.low.append(low)
        self.high.append(high)

    def constraint(self, columns: int) -> LinearConstraint:
        parts = (np.concatenate(table) if table else np.zeros(0) for table in (self.by, self.at, self.to))
        by, at, to = parts
        places = (at.astype(np.int64), to.astype(np.int64))
        matrix = coo_array((by.astype(np.float64), places), shape=(len(self.low), columns)).tocsr()
        return LinearConstraint(matrix, self.low, self.high)


class _Places:
    """Which column stands for what."""

    def __init__(self, problem: Problem, athletes: NDArray[np.int64]) -> None:
        sizes = [len(cost) for cost in problem.cost]
        self.version = np.concatenate([[0], np.cumsum(sizes)]).astype(int)
        self.choice: dict[tuple[int, int], int] = {}
        place = int(self.version[-1])
        for athlete in athletes:
            for session, size in enumerate(sizes):
                if problem.attends[athlete, session]:
                    self.choice[int(athlete), session] = place
                    place += size
        self.binaries = place
        self.over: dict[tuple[int, int], int] = {}
        self.count = place

    def excess(self, athlete: int, channel: int) -> int:
        if (athlete, channel) not in self.over:
            self.over[athlete, channel] = self.count
            self.count += 1
        return self.over[athlete, channel]

    def columns(self, athlete: int, session: int, size: int) -> NDArray[np.int64]:
        return self.choice[athlete, session] + np.arange(size)


def solve(problem: Problem, *, gap: float = GAP, seconds: float = SECONDS) -> Solution:
    """The best versions and who does which. No limit is passed, not even by what a solver rounds.

    Parameters
    ----------
    problem : Problem
        What there is to choose from.
    gap : float
        Proven relative gap at which to stop.
    seconds : float
        Time after which the best found so far is given, with its gap.
    """
    found = _solved(problem, gap, seconds)
    if found.feasible and np.isinf(found.objective):
        return _solved(replace(problem, limit=problem.limit * (1 - _ROUNDING)), gap, seconds)
    return found


def _solved(problem: Problem, gap: float, seconds: float) -> Solution:
    """The best versions and who does which.

    Notes
    -----
    Athletes who stay under all their marks and limits with the board as written are left out of the programme: the
    board costs nothing for them and is always among the versions.
    """
    begun = time.perf_counter()
    moved = who_has_to_choose(problem)
    choice = np.where(problem.attends, 0, -1)
    if not len(moved):
        spent = time.perf_counter() - begun
        return Solution(True, choice, version_costs(problem, choice), 0.0, True, 0, 0, 0, spent)
    places = _Places(problem, moved)
    rows = _Rows()
    upper = _pick_one(problem, moved, places, rows)
    _stay_under(problem, moved, places, rows, upper)
    objective = np.zeros(places.count)
    objective[: places.version[-1]] = VERSION_COST
    for (_, session), place in places.choice.items():
        objective[place : place + len(problem.cost[session])] = problem.cost[session]
    objective[places.binaries :] = EXCESS_WEIGHT
    high = np.concatenate([upper, np.full(places.count - places.binaries, np.inf)])
    low = np.zeros(places.count)
    low[places.version[:-1]] = 1.0
    whole = np.concatenate([np.ones(places.binaries), np.zeros(places.count - places.binaries)])
    result = milp(
        objective,
        integrality=whole,
        bounds=Bounds(low, high),
        constraints=rows.constraint(places.count),
        options={"mip_rel_gap": gap, "time_limit": seconds, "presolve": True},
    )
    size = (places.count, places.binaries, len(rows.low))
    spent = time.perf_counter() - begun
    if result.x is None:
        return Solution(False, choice, float("inf"), float("inf"), result.status == 2, *size, spent)
    for (athlete, session), place in places.choice.items():
        choice[athlete, session] = int(np.argmax(result.x[place : place + len(problem.cost[session])]))
    reached = float(result.mip_gap if result.mip_gap is not None else 0.0)
    return Solution(True, choice, objective_of(problem, choice), reached, result.status == 0, *size, spent)


def _pick_one(problem: Problem, athletes: NDArray[np.int64], places: _Places, rows: _Rows) -> Array:
    """Each athlete one version, of those on the board; gives the upper bounds of the columns."""
    upper = np.ones(places.binaries)
    for session, cost in enumerate(problem.cost):
        versions = places.version[session] + np.arange(len(cost))
        rows.add(versions, np.ones(len(cost)), 1.0, float(problem.versions))
        for athlete in athletes:
            if not problem.attends[athlete, session]:
                continue
            own = places.columns(int(athlete), session, len(cost))
            rows.add(own, np.ones(len(cost)), 1.0, 1.0)
            for version in range(1, len(cost)):
                pair = np.array([own[version], versions[version]])
                rows.add(pair, np.array([1.0, -1.0]), -np.inf, 0.0)
    return upper


def _stay_under(problem: Problem, athletes: NDArray[np.int64], places: _Places, rows: _Rows, upper: Array) -> None:
    """Rows that keep amounts under marks, at a price, and under limits; versions that may not be done are closed."""
    for athlete in map(int, athletes):
        sessions = np.flatnonzero(problem.attends[athlete])
        blocks = [(int(s), places.columns(athlete, int(s), len(problem.cost[s]))) for s in sessions]
        _leave_out(problem, athlete, blocks, upper)
        for channel in range(len(problem.peak)):
            doses = [problem.dose[session][athlete, :, channel] for session, _ in blocks]
            limit, mark = problem.limit[athlete, channel], problem.mark[athlete, channel]
            if np.isfinite(limit):
                alone = problem.peak[channel] or limit <= 0
                _close(doses, blocks, upper, limit if alone else np.inf)
                if not alone:
                    columns = np.concatenate([block for _, block in blocks])
                    rows.add(columns, np.nan_to_num(np.concatenate(doses), nan=0.0) / limit, -np.inf, 1.0)
            if np.isfinite(mark) and mark > 0:
                _price(doses, blocks, places, rows, (athlete, channel, mark, bool(problem.peak[channel])))


def _leave_out(problem: Problem, athlete: int, blocks: list[tuple[int, NDArray[np.int64]]], upper: Array) -> None:
    worth = worth_a_change(
        [problem.cost[session] for session, _ in blocks],
        [problem.dose[session][athlete] for session, _ in blocks],
        problem.mark[athlete],
        problem.limit[athlete],
        problem.peak,
        EXCESS_WEIGHT,
    )
    for (_, block), may in zip(blocks, worth, strict=True):
        upper[block[~may]] = 0.0


def _close(doses: list[Array], blocks: list[tuple[int, NDArray[np.int64]]], upper: Array, most: float) -> None:
    for dose, (_, block) in zip(doses, blocks, strict=True):
        upper[block[np.isnan(dose) | (np.nan_to_num(dose, nan=0.0) > most)]] = 0.0


def _price(
    doses: list[Array],
    blocks: list[tuple[int, NDArray[np.int64]]],
    places: _Places,
    rows: _Rows,
    what: tuple[int, int, float, bool],
) -> None:
    athlete, channel, mark, peak = what
    known = [np.nan_to_num(dose, nan=0.0) / mark for dose in doses]
    highest = max(dose.max() for dose in known) if peak else sum(dose.max() for dose in known)
    if highest <= 1.0:
        return
    over = places.excess(athlete, channel)
    groups = [([dose], [block]) for dose, block in zip(known, blocks, strict=True)] if peak else [(known, blocks)]
    for some, of in groups:
        columns = np.concatenate([*(block for _, block in of), [over]])
        rows.add(columns.astype(np.int64), np.concatenate([*some, [-1.0]]), -np.inf, 1.0)
