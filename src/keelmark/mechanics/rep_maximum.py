"""From loads and reps to the most that can be lifted once, and to how much of one set an effort was."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import polars as pl
from numpy.typing import NDArray

__all__ = ["RETEST_CV", "capacity", "maximum_brzycki", "maximum_epley", "reps_possible"]

Number = TypeVar("Number", float, NDArray[np.float64], pl.Expr)

RETEST_CV = 0.042
"""Spread of a tested one-repetition maximum between two test days, as a share of it (Grgic 2020, median 4.2 %)."""


def maximum_epley(load: float, reps: float) -> float:
    """One-repetition maximum from one set taken to the last possible rep.

    Scope: about 2 to 10 reps; above that the line is extrapolated. One rep is the maximum itself.

    Parameters
    ----------
    load : float [kg]
        Load of the set.
    reps : float [rep]
        Reps of the set, at least 1.

    Returns
    -------
    float [kg]

    Notes
    -----
    M = w (1 + r / 30)

    References
    ----------
    Epley B. Poundage chart, 1985 (from memory).
    """
    return load if reps == 1 else load * (1 + reps / 30)


def maximum_brzycki(load: float, reps: float) -> float:
    """One-repetition maximum from one set taken to the last possible rep.

    Scope: about 1 to 10 reps; not defined from 37 reps upward.

    Parameters
    ----------
    load : float [kg]
        Load of the set.
    reps : float [rep]
        Reps of the set, 1 to below 37.

    Returns
    -------
    float [kg]

    Notes
    -----
    M = 36 w / (37 - r); equal to Epley's at 10 reps.

    References
    ----------
    Brzycki M. JOPERD 1993;64(1):88-90 (from memory).
    """
    return 36 * load / (37 - reps) if reps < 37 else float("nan")


def reps_possible(load: Number, maximum: Number) -> Number:
    """Reps that one set can hold at a load.

    Scope: extrapolated above 10 to 12 reps; real differences between people and lifts grow there. Not defined at or
    above the maximum (0 or less).

    Parameters
    ----------
    load, maximum : float, array or expression [kg]
        Load lifted, and the one-repetition maximum.

    Returns
    -------
    same kind [rep]

    Notes
    -----
    n = 30 (M / L - 1), Epley's line turned round.

    References
    ----------
    Epley B. Poundage chart, 1985 (from memory).
    """
    return 30 * (maximum / load - 1)


def capacity(reps: Number, load: Number, maximum: Number) -> Number:
    """How many full sets an effort was worth: reps done over reps that one set can hold at that load.

    Scope: as `reps_possible`; 45 reps at half of the maximum are 1.5.

    Parameters
    ----------
    reps, load, maximum : float, array or expression
        Reps [rep], load and one-repetition maximum [kg].

    Returns
    -------
    same kind [capacity]

    Notes
    -----
    q = r / n

    References
    ----------
    Our own; the uncertainty of M from Grgic J et al. Sports Med Open 2020;6:31 (median retest variation 4.2 %).
    """
    return reps / reps_possible(load, maximum)
