"""What there is to choose from when versions of a week are chosen, what a choice costs, and who has to choose."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from keelmark.plan.doses import Array

__all__ = ["EXCESS_WEIGHT", "VERSION_COST", "Problem", "Solution", "objective_of", "version_costs", "who_has_to_choose"]

EXCESS_WEIGHT = 2.0
"""What an amount of twice the upper mark weighs against changing every session altogether (judgement)."""
VERSION_COST = 0.001
"""Keeps versions off the board that hardly anybody gains from."""


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


def objective_of(problem: Problem, choice: NDArray[np.int64]) -> float:
    """What a choice of versions costs, by the formula of `programme`; infinite where it breaks a limit."""
    total = version_costs(problem, choice)
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


def version_costs(problem: Problem, choice: NDArray[np.int64]) -> float:
    used = sum(len({0, *(int(c) for c in choice[:, s] if c >= 0)}) for s in range(len(problem.cost)))
    return VERSION_COST * used


def who_has_to_choose(problem: Problem) -> NDArray[np.int64]:
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
