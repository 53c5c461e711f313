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

__all__ = ["Problem", "Solution", "objective_of", "solve"]

EXCESS_WEIGHT = 2.0
"""What an amount of twice the upper mark weighs against changing every session altogether (judgement)."""
VERSION_COST = 0.001
"""Keeps versions off the board that hardly anybody gains from."""
GAP = 0.01
SECONDS = 60.0
_ROUNDING = 1e-5
"""Above the solver's own tolerance of 1e-6."""


@dataclass(frozen=True)
class Problem:
    """What there is to choose from.

    Parameters
    ----------
    cost : list of arrays, shape (version,)
        For each session the distance of each version from what is meant; version 0 is the board, at 0.
    dose : list of arrays, shape (athlete, version, channel)
        For each session what a version adds; NaN where it is not known.
    attends : bool array, shape (athlete, session)
    mark, limit : arrays, shape (athlete, channel)
        Upper marks and agreed limits; infinite where there is none. A mark may be passed at a price, a limit never.
    peak : bool array, shape (channel,)
        Channels that do not add up: each session by itself has to stay under.
    versions : int
        Most versions of a session, the board as written among them.
    """

    cost: list[Array]
    dose: list[Array]
    attends: NDArray[np.bool_]
    mark: Array
    limit: Array
    peak: NDArray[np.bool_]
    versions: int = 3


@dataclass(frozen=True)
class Solution:
    """Version of each athlete and session (-1 where not attended), objective, proven gap, and size of the programme.

    `feasible` is False where the limits cannot all be kept; `proven` is False where the time ran out first.
    """

    feasible: bool
    choice: NDArray[np.int64]
    objective: float
    gap: float
    proven: bool
    variables: int
    binaries: int
    rows: int
    seconds: float


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
    moved = _who_has_to_choose(problem)
    choice = np.where(problem.attends, 0, -1)
    if not len(moved):
        spent = time.perf_counter() - begun
        return Solution(True, choice, _version_costs(problem, choice), 0.0, True, 0, 0, 0, spent)
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


def objective_of(problem: Problem, choice: NDArray[np.int64]) -> float:
    """What a choice of versions costs, by the formula at the top of this file; infinite where it breaks a limit."""
    total = _version_costs(problem, choice)
    for athlete in range(len(problem.attends)):
        taken = [(session, version) for session, version in enumerate(choice[athlete]) if version >= 0]
        total += sum(float(problem.cost[session][version]) for session, version in taken)
        if not taken:
            continue
        doses = np.stack([problem.dose[session][athlete, version] for session, version in taken])
        known = np.nan_to_num(doses, nan=0.0)
        amount = np.where(problem.peak, known.max(axis=0), known.sum(axis=0))
        limit = problem.limit[athlete]
        limited = np.isfinite(limit)
        if (amount[limited] > limit[limited] * (1 + 1e-9)).any() or np.isnan(doses[:, limited]).any():
            return float("inf")
        mark = problem.mark[athlete]
        bound = np.isfinite(mark) & (mark > 0)
        total += EXCESS_WEIGHT * float(np.maximum(amount[bound] / mark[bound] - 1.0, 0.0).sum())
    return total


def _version_costs(problem: Problem, choice: NDArray[np.int64]) -> float:
    used = sum(len({0, *(int(c) for c in choice[:, s] if c >= 0)}) for s in range(len(problem.cost)))
    return VERSION_COST * used


def _who_has_to_choose(problem: Problem) -> NDArray[np.int64]:
    """Athletes whom the board would bring above a mark or limit, or of whom a limited amount is not known."""
    moved = []
    for athlete in range(len(problem.attends)):
        sessions = np.flatnonzero(problem.attends[athlete])
        if not len(sessions):
            continue
        doses = np.stack([problem.dose[session][athlete, 0] for session in sessions])
        known = np.nan_to_num(doses, nan=0.0)
        amount = np.where(problem.peak, known.max(axis=0), known.sum(axis=0))
        limited = np.isfinite(problem.limit[athlete])
        marked = problem.mark[athlete] > 0
        if (
            (amount[marked] > problem.mark[athlete][marked]).any()
            or (amount > problem.limit[athlete]).any()
            or np.isnan(doses[:, limited]).any()
        ):
            moved.append(athlete)
    return np.array(moved, dtype=np.int64)


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
