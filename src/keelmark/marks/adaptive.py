"""Adaptive conformal inference: a mark corrected after each week, so that it keeps its promise in the long run."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["STEP", "error_bound", "next_level"]

STEP = 0.01
"""Size of the correction after each week (gamma)."""


def next_level(
    level: NDArray[np.float64], missed: NDArray[np.bool_], share: float, step: float = STEP
) -> NDArray[np.float64]:
    """Level for the next week's mark after this week was seen.

    Parameters
    ----------
    level : array
        Level of this week's mark. At 0 or below a mark must lie beyond every amount; at 1 or above every amount lies
        beyond the mark.
    missed : bool array, same shape
        Whether this week lay beyond its mark.
    share : float
        Share of weeks that should lie beyond the mark, 0 to 1.
    step : float
        Size of the correction, above 0.

    Returns
    -------
    array, same shape
        level + step (share - missed).

    Notes
    -----
    Gibbs I, Candès E (2021). Adaptive conformal inference under distribution shift. NeurIPS 34, equation 2.
    """
    return level + step * (share - missed.astype(np.float64))


def error_bound(weeks: int, first_level: float, step: float = STEP) -> float:
    """How far the share of weeks beyond the mark can be from the chosen share, whatever the weeks were.

    Parameters
    ----------
    weeks : int
        Number of weeks seen.
    first_level : float
        Level of the first mark.
    step : float
        Size of the correction.

    Returns
    -------
    float
        (max(first level, 1 - first level) + step) / (step x weeks).

    Notes
    -----
    Gibbs & Candès (2021), proposition 4.1.
    """
    return (max(first_level, 1.0 - first_level) + step) / (step * weeks)
