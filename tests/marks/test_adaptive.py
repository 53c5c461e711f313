"""The promise of the marks is a theorem about any sequence of weeks, so it is tested on sequences made to break it.

Gibbs I, Candès E (2021). Adaptive conformal inference under distribution shift. NeurIPS 34, proposition 4.1:
|mean error - share| <= (max(first level, 1 - first level) + step) / (step T).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from keelmark.marks import MarkSettings, marks
from keelmark.marks.adaptive import STEP, error_bound, next_level
from keelmark.marks.usual_range import LEAST_WEEKS
from tests.marks.squad import weekly

SHARE = 0.05
LENGTH = 1500


def test_the_update_and_the_bound() -> None:
    """0.05 + 0.01 (0.05 - 1) = 0.0405 after a miss, else 0.0505; (0.95 + 0.01) / (0.01 x 1000) = 0.096 (derived)."""
    after = next_level(np.array([0.05, 0.05]), np.array([True, False]), SHARE, 0.01)
    assert after.tolist() == pytest.approx([0.0405, 0.0505])
    assert error_bound(1000, 0.05, 0.01) == pytest.approx(0.096)


HARD: dict[str, Callable[[np.random.Generator], NDArray[np.float64]]] = {
    "a rise of 2 % a week": lambda random: 100 * 1.02 ** np.arange(LENGTH) * random.lognormal(0, 0.2, LENGTH),
    "a fall of 1 % a week": lambda random: 1e9 * 0.99 ** np.arange(LENGTH) * random.lognormal(0, 0.2, LENGTH),
    "every other week doubled": lambda random: np.where(np.arange(LENGTH) % 2, 200.0, 100.0),
    "ever wider scatter": lambda random: np.exp(random.normal(5, 1e-3 * np.arange(1, LENGTH + 1))),
    "heavy tails": lambda random: 100 * np.exp(random.standard_t(2, LENGTH).clip(-20, 20)),
    "a step every 30 weeks": lambda random: (
        100.0 * 2.0 ** (np.arange(LENGTH) // 30 % 2) * random.lognormal(0, 0.1, LENGTH)
    ),
    "nothing ever changes": lambda random: np.full(LENGTH, 100.0),
    "mostly zeros": lambda random: np.where(random.random(LENGTH) < 0.6, 50.0 * random.lognormal(0, 1, LENGTH), 0.0),
    "a spike whenever it is quiet": lambda random: np.where(np.arange(LENGTH) % 8 == 7, 1e4, 100.0),
}


@pytest.mark.parametrize("name", HARD)
def test_the_bound_holds_on_hard_sequences(name: str) -> None:
    values = HARD[name](np.random.default_rng(7)).tolist()
    marked = marks(weekly({("runa", "tonnage"): values}), MarkSettings(share=SHARE))
    judged = marked.filter(pl.col("place") != "not_known")
    assert judged.height >= LENGTH - LEAST_WEEKS - 400
    above = judged["place"].is_in(["above", "well_above"]).mean()
    below = (judged["place"] == "below").mean()
    bound = error_bound(judged.height, SHARE, STEP)
    assert isinstance(above, float)
    assert isinstance(below, float)
    assert abs(above - SHARE) <= bound
    assert abs(below - SHARE) <= bound


@given(st.lists(st.booleans(), min_size=1, max_size=400), st.floats(0.01, 0.4), st.floats(0.001, 0.2))
@settings(deadline=None)
def test_the_bound_holds_whatever_an_adversary_does(wishes: list[bool], share: float, step: float) -> None:
    """At a level of 0 or below no week can miss, at 1 or above every week does; in between an adversary chooses."""
    level, missed = np.array([share]), []
    for wish in wishes:
        miss = bool(level[0] >= 1.0 or (wish and level[0] > 0.0))
        missed.append(miss)
        level = next_level(level, np.array([miss]), share, step)
    assert abs(np.mean(missed) - share) <= error_bound(len(missed), share, step) + 1e-12
