"""Events that come back: hazard ratios with errors by athlete, and rates.

statsmodels fits the coefficients. Two things of its proportional hazards model are not used as they are: with entry
times it counts a row as at risk at the very moment of its entry, and its errors by group are off there. Entry is moved
by a trifle, and the errors come from the score residuals in this file; both are held to published figures by tests.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import statsmodels.api as sm
from numpy.typing import NDArray
from statsmodels.duration.hazard_regression import PHReg

__all__ = ["Fit", "event_rate", "recurrent_hazard"]

Array = NDArray[np.float64]

_TRIFLE = 1e-6

MANY_PERSONS = 100
"""From so many persons on, the correction for few changes the errors by less than they are known, and takes seconds."""


@dataclass(frozen=True, slots=True)
class Fit:
    """Log ratios of a model with their covariance, the rows of one person taken together."""

    coefficients: Array
    covariance: Array

    @property
    def errors(self) -> Array:
        """Standard errors."""
        return np.asarray(np.sqrt(np.diag(self.covariance)))


def recurrent_hazard(start: Array, stop: Array, event: Array, covariates: Array, person: NDArray[np.int64]) -> Fit:
    """Hazard ratios for events that may come back to the same person (Andersen and Gill), robust by person.

    Scope: ties by Breslow's method; the baseline is common to all and follows the time scale of `start` and `stop`.

    Parameters
    ----------
    start, stop : array, shape (row,)
        Each row is at risk after `start` and up to `stop`, whole numbers of any one unit.
    event : array, shape (row,)
        1 where the row ends with an event, else 0.
    covariates : array, shape (row, covariate)
        Constant over the row.
    person : int array, shape (row,)
        Whose row it is.

    Returns
    -------
    Fit
        Log hazard ratios per unit of each covariate, with the covariance grouped by person.

    Notes
    -----
    Lin DY, Wei LJ. J Am Stat Assoc 1989;84(408):1074-1078, doi:10.1080/01621459.1989.10478874: the covariance is
    A^-1 B A^-1, with A the information and B the sum over persons of the outer products of their score residuals.
    """
    earliest = start.min()  # the library wants times from zero on
    entry, time = start - earliest + _TRIFLE, stop - earliest
    model = PHReg(time, covariates, status=event, entry=entry, ties="breslow")
    fitted = model.fit()
    bread = np.asarray(fitted.cov_params())
    scores = _scores(start, stop, event, covariates, np.asarray(fitted.params))
    return Fit(np.asarray(fitted.params), bread @ _outer_by_person(scores, person) @ bread)


def _scores(start: Array, stop: Array, event: Array, covariates: Array, coefficients: Array) -> Array:
    """Score residual of each row: what it adds to the score, less what was expected of it."""
    weight = np.exp(covariates @ coefficients)
    residuals = np.zeros_like(covariates)
    for time in np.unique(stop[event == 1]):
        at_risk = (start < time) & (stop >= time)
        total = weight[at_risk].sum()
        away = covariates - (weight[at_risk] @ covariates[at_risk]) / total
        here = (event == 1) & (stop == time)
        residuals[here] += away[here]
        residuals[at_risk] -= away[at_risk] * (weight[at_risk] * here.sum() / total)[:, None]
    return residuals


def _outer_by_person(scores: Array, person: NDArray[np.int64]) -> Array:
    sums = np.zeros((int(person.max()) + 1, scores.shape[1]))
    np.add.at(sums, person, scores)
    return np.asarray(sums.T @ sums)


def event_rate(events: Array, covariates: Array, person: NDArray[np.int64]) -> Fit:
    """Rate ratios by estimating equations of Poisson form, the rows of one person taken together.

    Scope: rows of equal length in time. Rows of one person are taken as independent for the fit, which stays right for
    exposures that change over time (Pepe and Anderson 1994); the errors do not assume it.

    Parameters
    ----------
    events : array, shape (row,)
        Events of each row.
    covariates : array, shape (row, covariate)
        Without a constant, which is added as the last coefficient.
    person : int array, shape (row,)
        Whose row it is.

    Returns
    -------
    Fit
        Log rate ratios per unit of each covariate, then the log rate; the covariance is corrected for few persons.

    Notes
    -----
    Liang KY, Zeger SL. Biometrika 1986;73(1):13-22, doi:10.1093/biomet/73.1.13. Correction: Mancl LA, DeRouen TA.
    Biometrics 2001;57(1):126-134, doi:10.1111/j.0006-341X.2001.00126.x.
    """
    design = np.column_stack([covariates, np.ones(len(events))])
    model = sm.GEE(events, design, groups=person, family=sm.families.Poisson(), cov_struct=sm.cov_struct.Independence())
    few = len(np.unique(person)) < MANY_PERSONS
    fitted = model.fit(cov_type="bias_reduced" if few else "robust")
    return Fit(np.asarray(fitted.params), np.asarray(fitted.cov_params()))
