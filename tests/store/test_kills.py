"""A program that is killed at any moment leaves a store that opens, with all it acknowledged and nothing by halves."""

from __future__ import annotations

import pytest

from tests.store.kills import WORKS, kill_again_and_again

KILLS = 30


@pytest.mark.slow
def test_killed_at_random_moments(address: str) -> None:
    outcome = kill_again_and_again(address, KILLS, seed=20)
    assert sum(outcome.kills.values()) + outcome.after >= KILLS
    assert sum(outcome.kills.values()) >= KILLS / 2, "most kills hit work that is under way"
    assert set(outcome.kills) <= set(WORKS)
