"""A cumulative sum chart, measured in the audit beside the rule for slow rises."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["cumulative_sum", "tabular_cusum"]

Array = NDArray[np.float64]


def cumulative_sum(values: Array, target: Array | float) -> Array:
    """Sum of all deviations from a target so far.

    Parameters
    ----------
    values : array, shape (period, ...)
        Observations.
    target : array or float
        The value they should lie around.

    Returns
    -------
    array, same shape
        In the unit of the values.
    """
    return np.asarray(np.cumsum(values - target, axis=0))


def tabular_cusum(values: Array, target: Array | float, slack: Array | float) -> tuple[Array, Array]:
    """One-sided cumulative sums that start again from zero: upwards and downwards.

    Parameters
    ----------
    values : array, shape (period, ...)
        Observations.
    target : array or float
        The value they should lie around.
    slack : array or float
        Deviation that is let pass each period (K).

    Returns
    -------
    tuple of arrays, same shape
        SH = max(0, x - (target + K) + SH before), SL = max(0, (target - K) - x + SL before).

    Notes
    -----
    Montgomery DC, Runger GC. Applied Statistics and Probability for Engineers, Wiley, section on cumulative sum control
    charts, p. 635 of the edition with table 16-7.
    """
    above, below = np.zeros_like(values), np.zeros_like(values)
    high, low = np.zeros_like(values[0]), np.zeros_like(values[0])
    for period, now in enumerate(values):
        high = np.maximum(0.0, now - (target + slack) + high)
        low = np.maximum(0.0, (target - slack) - now + low)
        above[period], below[period] = high, low
    return above, below
