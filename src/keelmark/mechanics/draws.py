"""Draws from ranges, the same ones each time, so that a figure does not change between two readings of it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["DRAWS", "even_draws", "from_range"]

Array = NDArray[np.float64]

DRAWS = 2_000
_START = 902_416


def even_draws(inputs: int, draws: int = DRAWS) -> Array:
    """Evenly spread draws between 0 and 1, one row per input, the same each time.

    Parameters
    ----------
    inputs, draws : int
        Number of inputs and of draws.

    Returns
    -------
    array, shape (inputs, draws)
        Each row holds one draw in each of `draws` equal slices, in its own random order (Latin hypercube).
    """
    generator = np.random.default_rng(_START)
    slices = np.tile(np.arange(draws, dtype=np.float64), (inputs, 1))
    return (generator.permuted(slices, axis=1) + generator.random((inputs, draws))) / draws


def from_range(share: Array, low: float, value: float, high: float) -> Array:
    """Values of a triangular spread with its peak at the central figure.

    Parameters
    ----------
    share : array, shape (draws,)
        Draws between 0 and 1.
    low, value, high : float
        The range, with some width.

    Returns
    -------
    array, shape (draws,)

    Notes
    -----
    The triangular spread turned round: low + sqrt(u w (value - low)) up to the peak, high - sqrt((1 - u) w (high -
    value)) beyond it, w = high - low.
    """
    width = high - low
    turn = (value - low) / width
    rising = low + np.sqrt(share * width * (value - low))
    falling = high - np.sqrt((1 - share) * width * (high - value))
    return np.where(share < turn, rising, falling)
