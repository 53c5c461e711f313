"""An athlete's most unusual share is placed among those of past athlete-weeks, however alike the kinds of work are."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from numpy.typing import NDArray
from scipy import stats

from keelmark.marks.athlete_weeks import athlete_shares
from keelmark.marks.discoveries import adjusted_by_athlete

PEOPLE, KINDS, WEEKS = 20, 12, 150
ATHLETE = np.repeat(np.arange(PEOPLE), KINDS)


def tails(alike: float, number: int = 0) -> NDArray[np.float64]:
    """Tails of normal scores of which each athlete's have a part in common, week by week."""
    random = np.random.default_rng(number)
    common = np.repeat(random.normal(size=(WEEKS, PEOPLE)), KINDS, axis=1)
    own = random.normal(size=(WEEKS, PEOPLE * KINDS))
    return np.asarray(stats.norm.sf(np.sqrt(alike) * common + np.sqrt(1 - alike) * own))


def least(shares: NDArray[np.float64]) -> NDArray[np.float64]:
    return shares.reshape(WEEKS, PEOPLE, KINDS).min(axis=2)


@pytest.mark.parametrize("alike", [0.0, 0.6, 0.95])
@pytest.mark.parametrize("share", [0.1, 0.01])
def test_the_share_of_athlete_weeks_is_the_one_that_is_said(alike: float, share: float) -> None:
    """Within three standard errors of a binomial count, once some weeks have been seen."""
    plain = np.ones((WEEKS, PEOPLE * KINDS))
    found = np.concatenate([least(athlete_shares(tails(alike, k)[None], plain, ATHLETE)[0])[40:] for k in range(3)])
    error = np.sqrt(share * (1 - share) / found.size)
    assert (found <= share).mean() == pytest.approx(share, abs=3 * error + 0.15 * share)


def test_kinds_of_work_that_move_together_cost_less_than_unlike_ones() -> None:
    """The same tail is less often beaten by chance where twelve kinds are nearly one."""
    together, apart = tails(0.95), tails(0.0)
    together[-1, 0] = apart[-1, 0] = 1e-3
    plain = np.ones(together.shape)
    shares = [athlete_shares(some[None], plain, ATHLETE)[0, -1, 0] for some in (together, apart)]
    assert shares[0] < 0.5 * shares[1]


def test_a_greater_weight_makes_a_tail_more_unusual() -> None:
    one = tails(0.3)
    one[-1, 5] = 1e-3
    plain, heavy = np.ones(one.shape), np.ones(one.shape)
    heavy[-1, 5] = 3.0
    shares = [athlete_shares(one[None], weights, ATHLETE)[0, -1, 5] for weights in (plain, heavy)]
    assert shares[1] < shares[0]


def test_athletes_are_the_comparisons_of_a_week() -> None:
    """Smallest shares 0.01, 0.04, 0.5 of three athletes: 0.03, 0.06, 0.5; a second row of 0.02 of the first one stands
    out from min(0.02 x 3 / 1, 0.06) = 0.06, and one of 0.2 from min(0.2 x 3 / 2, 0.5) = 0.3 (derived)."""
    rows = [("a", 0.01), ("a", 0.02), ("a", 0.2), ("b", 0.04), (None, 0.5)]
    frame = pl.DataFrame(rows, schema={"athlete_id": pl.String, "share": pl.Float64}, orient="row")
    found = adjusted_by_athlete(frame.with_columns(week=pl.lit("w")))
    assert found["q_value"].to_list() == pytest.approx([0.03, 0.06, 0.3, 0.06, 0.5])
