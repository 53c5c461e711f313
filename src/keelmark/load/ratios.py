"""Seven days against twenty-eight: ratios of change, and how the two ways of forming them are related.

They describe change. They predict nothing: Impellizzeri FM et al. (2020). Training load and its role in injury
prevention, part 2. J Athl Train 55(9):893-901.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["coupled_from_uncoupled", "quotient", "uncoupled_chronic", "uncoupled_from_coupled"]


def quotient(over: NDArray[np.float64], under: NDArray[np.float64]) -> NDArray[np.float64]:
    """One mean over another; undefined (NaN) where the lower one is zero or not known.

    Coupled ratio: mean of 7 days over the mean of the 28 days that contain them. Uncoupled: over the mean of the 21
    days before them. Weighted: one exponentially weighted mean over another.

    Parameters
    ----------
    over, under : arrays of one shape
        Means in the same unit.

    Returns
    -------
    array, same shape
        Ratio, no unit.
    """
    ratio = np.full(np.shape(over), np.nan)
    np.divide(over, under, out=ratio, where=under > 0)
    return ratio


def uncoupled_chronic(chronic_mean: NDArray[np.float64], acute: int = 7) -> NDArray[np.float64]:
    """Mean of what lies before the acute window: the longer mean, as it stood before the acute window began.

    Parameters
    ----------
    chronic_mean : array, shape (period, ...)
        Mean of the longer window that does not contain the acute one, by its last day or week.
    acute : int
        Length of the acute window in the same periods: 7 days, or 1 week.

    Returns
    -------
    array, same shape
        NaN on the first `acute` periods.
    """
    earlier = np.full_like(chronic_mean, np.nan)
    earlier[acute:] = chronic_mean[:-acute]
    return earlier


def uncoupled_from_coupled(coupled: ArrayLike) -> NDArray[np.float64]:
    """Uncoupled ratio that belongs to a coupled 7 : 28 ratio, all 28 days known.

    Parameters
    ----------
    coupled : array
        Coupled ratio, 0 to 4; 4 when all the work lies in the last week.

    Returns
    -------
    array
        Uncoupled ratio 3 c / (4 - c), infinite at 4.

    Notes
    -----
    From c = A / [(A + W1 + W2 + W3) / 4] and u = A / [(W1 + W2 + W3) / 3]. Windt J, Gabbett TJ (2019). Br J Sports Med
    53(16):988-990, doi:10.1136/bjsports-2017-098925.
    """
    ratio = np.asarray(coupled, dtype=np.float64)
    with np.errstate(divide="ignore"):
        return np.asarray(3.0 * ratio / (4.0 - ratio))


def coupled_from_uncoupled(uncoupled: ArrayLike) -> NDArray[np.float64]:
    """Coupled 7 : 28 ratio that belongs to an uncoupled one, all 28 days known.

    Parameters
    ----------
    uncoupled : array
        Uncoupled ratio, 0 or more.

    Returns
    -------
    array
        Coupled ratio 4 u / (3 + u), below 4. The inverse of `uncoupled_from_coupled`.
    """
    ratio = np.asarray(uncoupled, dtype=np.float64)
    return np.asarray(4.0 * ratio / (3.0 + ratio))
