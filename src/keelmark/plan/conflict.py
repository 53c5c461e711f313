"""Which limits stand in one another's way when no choice of versions keeps them all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import combinations
from math import comb
from typing import TypeVar

import numpy as np

from keelmark.plan.problem import Problem
from keelmark.plan.programme import solve

__all__ = ["smallest_conflict", "smallest_infeasible"]

TRIES = 500
"""Smaller sets that are tried at most, after one that cannot be made smaller limit by limit is known."""

Thing = TypeVar("Thing")


def smallest_conflict(problem: Problem) -> list[tuple[int, int]]:
    """The smallest set of limits, as pairs (athlete, channel), that cannot all be kept.

    Parameters
    ----------
    problem : Problem
        A problem whose limits cannot all be kept.

    Notes
    -----
    Limits of which the solver cannot tell in its time are taken as ones that can be kept: what is named is proven.
    """
    limits = [(int(athlete), int(channel)) for athlete, channel in np.argwhere(np.isfinite(problem.limit))]
    bare = replace(problem, mark=np.full_like(problem.mark, np.inf))

    def feasible(kept: Sequence[tuple[int, int]]) -> bool:
        limit = np.full_like(problem.limit, np.inf)
        for pair in kept:
            limit[pair] = problem.limit[pair]
        found = solve(replace(bare, limit=limit), gap=1.0)
        return found.feasible or not found.proven

    return smallest_infeasible(limits, feasible)


def smallest_infeasible(things: Sequence[Thing], feasible: Callable[[Sequence[Thing]], bool]) -> list[Thing]:
    """A smallest set that is not feasible; one from which nothing can be left out where there are too many to try.

    Parameters
    ----------
    things : sequence
        Together not feasible.
    feasible : function
        Says whether some of them can be kept together; fewer are never harder to keep.
    """
    kept = list(things)
    for thing in things:
        without = [other for other in kept if other != thing]
        if not feasible(without):
            kept = without
    for size in range(1, len(kept)):
        if comb(len(things), size) > TRIES:
            break
        for some in combinations(things, size):
            if not feasible(some):
                return list(some)
    return kept
