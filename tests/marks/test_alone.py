"""A programme that is heavy for all is one departure of the squad; who departs alone stands out more clearly."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from keelmark.marks.alone import LEAST_SQUAD, departures

PEOPLE, WEEKS = 12, 400


def tails(together: float, number: int = 0, people: int = PEOPLE) -> NDArray[np.float64]:
    """Tail shares of normal scores that have a part in common; shape (week, athlete), one channel."""
    random = np.random.default_rng(number)
    common = random.normal(size=(WEEKS, 1))
    own = random.normal(size=(WEEKS, people))
    return np.asarray(stats.norm.sf(np.sqrt(together) * common + np.sqrt(1 - together) * own))


def split(shares: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    found = departures(shares[None], np.zeros(shares.shape[1], dtype=np.int64), 1)
    return found.alone[0], found.squad[:, 0]


@pytest.mark.parametrize("together", [0.0, 0.5, 0.8])
@pytest.mark.parametrize("share", [0.1, 0.01])
def test_what_is_left_keeps_the_share_that_it_says(together: float, share: float) -> None:
    """Of usual weeks a share at most a fifth above what the tail says; of the squad's weeks, within chance."""
    alone, squad = (
        np.concatenate(parts)[50:] for parts in zip(*(split(tails(together, k)) for k in range(5)), strict=True)
    )
    assert 0.4 * share <= (alone <= share).mean() <= 1.2 * share
    assert (squad <= share).mean() <= share + 3 * np.sqrt(share / len(squad))


def test_athletes_who_move_each_by_themselves_are_left_as_they_were() -> None:
    shares = tails(0.0)
    alone, _ = split(shares)
    assert np.corrcoef(stats.norm.isf(alone[50:]).ravel(), stats.norm.isf(shares[50:]).ravel())[0, 1] > 0.98


def test_a_heavy_week_of_all_is_the_squads_and_nobodys_own() -> None:
    shares = tails(0.6)
    shares[300] = stats.norm.sf(np.random.default_rng(9).normal(3.0, 0.5, PEOPLE))
    alone, squad = split(shares)
    assert squad[300] < 0.005
    assert (alone[300] > 0.05).sum() >= PEOPLE - 2


def test_a_departure_against_the_squad_is_clearer_than_by_itself() -> None:
    """Two deviations up while the others lie one down: beyond what either of the two shares says."""
    shares = tails(0.6)
    shares[300] = stats.norm.sf(-1.0)
    shares[300, 4] = stats.norm.sf(2.0)
    alone, _ = split(shares)
    assert alone[300, 4] < 0.1 * shares[300, 4]


def test_a_small_squad_has_no_week_of_its_own_and_one_athlete_is_left_alone() -> None:
    shares = tails(0.5, people=LEAST_SQUAD - 1)
    assert np.isnan(split(shares)[1]).all()
    single = tails(0.0, people=1)
    alone, _ = split(single)
    assert np.corrcoef(stats.norm.isf(alone[50:, 0]), stats.norm.isf(single[50:, 0]))[0, 1] > 0.98


def test_each_case_is_looked_at_as_if_it_alone_had_happened() -> None:
    shares = tails(0.5)
    other = shares * 0.1
    both = departures(np.stack([shares, other]), np.zeros(PEOPLE, dtype=np.int64), 1)
    assert np.array_equal(both.alone[0], split(shares)[0], equal_nan=True)
    really = shares.copy()
    really[200, 3] = other[200, 3]
    assert both.alone[1, 200, 3] == pytest.approx(split(really)[0][200, 3])
