"""A second way of reckoning for the one athlete who is looked at: a level that drifts, fitted to that athlete alone."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from statsmodels.tools.sm_exceptions import ConvergenceWarning
from statsmodels.tsa.statespace.structural import UnobservedComponents

__all__ = ["LEAST_FITTED", "SecondOpinion", "second_opinion"]

LEAST_FITTED = 12
"""Known weeks before a level is fitted."""


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """What the weeks before lead one to expect of a week, in the unit of the channel, and how many weeks were known."""

    expected: float
    low: float
    high: float
    weeks: int


@lru_cache(maxsize=256)
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
    SecondOpinion, or None with fewer than `LEAST_FITTED` known weeks, weeks all alike, or where no fit is reached.

    Notes
    -----
    Durbin J, Koopman SJ. Time Series Analysis by State Space Methods, 2nd ed., Oxford 2012, chapter 2.
    """
    roots = np.sqrt(np.array([np.nan if value is None else value for value in values], dtype=np.float64))
    known = int((~np.isnan(roots)).sum())
    if known < LEAST_FITTED or np.nanstd(roots) == 0:
        return None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)
        fit = UnobservedComponents(roots, "llevel").fit(disp=0, cov_type="none")
    if not fit.mle_retvals["converged"]:
        return None
    ahead = fit.get_forecast(1)
    low, high = (max(float(end), 0.0) ** 2 for end in ahead.conf_int(alpha=2 * share)[0])
    return SecondOpinion(max(float(ahead.predicted_mean[0]), 0.0) ** 2, low, high, known)
