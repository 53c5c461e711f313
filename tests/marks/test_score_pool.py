"""Pools of past scores give back the distribution that was put in, far tail included."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from keelmark.marks.score_pool import THRESHOLD, ScorePool


def filled(scores: np.ndarray) -> ScorePool:
    pool = ScorePool(1)
    pool.add(scores, np.zeros(len(scores), dtype=np.int64), np.ones(len(scores), dtype=bool))
    return pool


def one(values: float | list[float]) -> tuple[np.ndarray, np.ndarray]:
    scores = np.atleast_1d(np.array(values, dtype=np.float64))
    return scores, np.zeros(len(scores), dtype=np.int64)


def test_an_empty_pool_starts_from_a_t_distribution() -> None:
    """Upper 20 % point of a t distribution with 6 degrees of freedom: 0.906 (any table of t)."""
    assert ScorePool(1).quantile(*one(0.2))[0] == pytest.approx(0.906, abs=0.03)


def test_many_normal_scores_give_normal_shares() -> None:
    pool = filled(np.random.default_rng(1).normal(size=200_000))
    scores, number = one([0.0, 1.0, 1.5])
    np.testing.assert_allclose(pool.tail(scores, number), stats.norm.sf(scores), rtol=0.05)


def test_exponential_scores_have_an_exponential_tail_far_beyond_what_was_seen() -> None:
    """P(X > 9) = exp(-9) = 1.2e-4 of a standard exponential (derived)."""
    pool = filled(np.random.default_rng(2).exponential(size=20_000))
    assert pool.tail(*one(9.0))[0] == pytest.approx(np.exp(-9.0), rel=0.35)


def test_quantile_and_tail_are_inverse() -> None:
    pool = filled(np.random.default_rng(3).gamma(2.0, size=5_000) - 2.0)
    levels, number = one([0.3, 0.1, THRESHOLD, 0.02, 1e-3, 1e-5])
    np.testing.assert_allclose(pool.tail(pool.quantile(levels, number), number), levels, rtol=0.02)


def test_levels_out_of_reach() -> None:
    quantiles = ScorePool(1).quantile(*one([0.0, -0.2, 1.0, 1.7]))
    assert quantiles.tolist() == [np.inf, np.inf, -np.inf, -np.inf]


def test_pools_do_not_mix() -> None:
    pool = ScorePool(2)
    pool.add(np.full(1000, 5.0), np.ones(1000, dtype=np.int64), np.ones(1000, dtype=bool))
    assert pool.tail(np.array([4.0, 4.0]), np.array([0, 1]))[0] < 0.02
    assert pool.tail(np.array([4.0, 4.0]), np.array([0, 1]))[1] > 0.9


def test_weeks_that_are_not_counted_leave_no_trace() -> None:
    pool, untouched = ScorePool(1), ScorePool(1)
    pool.add(*one([9.0, 9.0, 9.0]), counted=np.zeros(3, dtype=bool))
    assert pool.tail(*one(3.0)) == untouched.tail(*one(3.0))


def test_ones_own_scores_can_be_left_out() -> None:
    others = np.random.default_rng(4).normal(size=(4_000,))
    own = np.full(60, 4.0)
    both = filled(np.concatenate([others, own]))
    alone = filled(others)
    found = both.tail_among_others(*one(4.0), own[:, None])[0]
    assert both.tail(*one(4.0))[0] > 5 * found
    assert found == pytest.approx(alone.tail(*one(4.0))[0], rel=0.5)
