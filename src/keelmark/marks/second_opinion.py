"""A second way of reckoning for the one athlete who is looked at: a level that drifts, fitted to that athlete alone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize_scalar
from scipy.special import ndtri
from statsmodels.tsa.statespace.kalman_filter import KalmanFilter

__all__ = ["LEAST_FITTED", "SecondOpinion", "second_opinion"]

LEAST_FITTED = 12
"""Known weeks before a level is fitted."""
_TRIED = np.linspace(0.0, 1.0, 9)
"""Gains that are tried first; the best is looked for between the neighbours of the best of them."""


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """What the weeks before lead one to expect of a week, in the unit of the channel, and how many weeks were known."""

    expected: float
    low: float
    high: float
    weeks: int


@lru_cache(maxsize=4096)
def second_opinion(values: tuple[float | None, ...], share: float) -> SecondOpinion | None:
    """The week after some weeks, from a local level model with its prediction interval.

    The model is fitted to square roots, on which amounts scatter about alike; weeks that are not known are left to the
    filter. It knows nothing of the squad and treats the scatter as normal, so it is a comparison and no mark.

    Parameters
    ----------
    values : tuple of float or None
        Amounts of the weeks before, oldest first.
    share : float
        Share of weeks that should lie above the interval, and below it.

    Returns
    -------
    SecondOpinion, or None with fewer than `LEAST_FITTED` known weeks, or weeks all alike.

    Notes
    -----
    Durbin J, Koopman SJ. Time Series Analysis by State Space Methods, 2nd ed., Oxford 2012, chapter 2: missing weeks
    are those of 2.7, the likelihood is the concentrated one of 2.10.2. The filter is the one of statsmodels; its own
    model of a local level looks for both variances at once, to the same end in seven times as long.
    """
    roots = np.sqrt(np.array([np.nan if value is None else value for value in values], dtype=np.float64))
    known = int((~np.isnan(roots)).sum())
    if known < LEAST_FITTED or np.nanstd(roots) == 0:
        return None
    level, variance = _week_ahead(roots)
    half = float(ndtri(1.0 - share)) * variance**0.5
    low, high = (max(end, 0.0) ** 2 for end in (level - half, level + half))
    return SecondOpinion(max(level, 0.0) ** 2, low, high, known)


def _week_ahead(roots: npt.NDArray[np.float64]) -> tuple[float, float]:
    """Level and variance of the next root, for the gain in the long run by which the likelihood is largest.

    The size of scatter and drift follows from what the filter misses. Only their proportion is looked for: drift over
    scatter is K^2 / (1 - K) for the gain K (the steady state of 2.11).
    """
    level = KalmanFilter(1, 1, initialization="approximate_diffuse", loglikelihood_burn=1)
    level.bind(roots[:, None])
    level["design"] = level["transition"] = level["selection"] = np.ones((1, 1))
    level.filter_concentrated = True

    def unlikely(gain: float) -> float:
        level["obs_cov", 0, 0], level["state_cov", 0, 0] = 1.0 - gain, gain**2
        return -float(level.loglike())

    best = int(np.argmin([unlikely(gain) for gain in _TRIED]))
    near = _TRIED[max(best - 1, 0)], _TRIED[min(best + 1, len(_TRIED) - 1)]
    gain = float(minimize_scalar(unlikely, bounds=near, method="bounded", options={"xatol": 1e-5}).x)
    unlikely(gain)
    seen = level.filter()
    return float(seen.predicted_state[0, -1]), float(seen.predicted_state_cov[0, 0, -1] + seen.scale * (1.0 - gain))
