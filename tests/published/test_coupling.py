"""What it does to a ratio, and to a correlation, that seven days are part of the twenty-eight."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.load.ratios import coupled_from_uncoupled, quotient, uncoupled_chronic, uncoupled_from_coupled
from keelmark.load.windows import rolling_mean

# Derived from c = A / [(A + W1 + W2 + W3) / 4]; definition in Windt & Gabbett 2019, doi:10.1136/bjsports-2017-098925.
PAIRS = [
    (0.8, 0.75), (1.0, 1.0), (1.3, 1.4444444444), (1.4285714286, 1.6666666667), (1.5, 1.8), (2.0, 3.0), (3.9, 117.0),
]  # fmt: skip


@pytest.mark.parametrize(("coupled", "uncoupled"), PAIRS)
def test_pairs(coupled: float, uncoupled: float) -> None:
    assert uncoupled_from_coupled(coupled) == pytest.approx(uncoupled, rel=1e-9)
    assert coupled_from_uncoupled(uncoupled) == pytest.approx(coupled, rel=1e-9)


def test_the_coupled_ratio_is_bounded_by_four() -> None:
    assert np.isinf(uncoupled_from_coupled(4.0))
    assert coupled_from_uncoupled(1e12) < 4.0


@given(st.lists(st.floats(1.0, 1000.0), min_size=28, max_size=28))
def test_the_windows_keep_the_algebra(loads: list[float]) -> None:
    days = np.array(loads)[:, None]
    acute, chronic = rolling_mean(days, 7), rolling_mean(days, 28)
    earlier = uncoupled_chronic(rolling_mean(days, 21))
    coupled, uncoupled = quotient(acute, chronic)[-1, 0], quotient(acute, earlier)[-1, 0]
    assert uncoupled_from_coupled(coupled) == pytest.approx(uncoupled, rel=1e-9)


def test_coupling_alone_makes_a_correlation_of_one_half() -> None:
    """1/sqrt(4) = 0.5 exactly for independent weeks (derived); 0.52 in 1,000 simulated athletes is published:
    Lolli L et al. 2019, Br J Sports Med 53(15):921-922, doi:10.1136/bjsports-2017-098110."""
    weeks = np.random.default_rng(0).normal(100.0, 20.0, (4, 200_000))
    days = np.repeat(weeks / 7.0, 7, axis=0)
    acute, chronic = rolling_mean(days, 7)[-1], rolling_mean(days, 28)[-1]
    earlier = uncoupled_chronic(rolling_mean(days, 21))[-1]
    assert np.corrcoef(acute, chronic)[0, 1] == pytest.approx(0.5, abs=0.01)
    assert np.corrcoef(acute, chronic)[0, 1] == pytest.approx(0.52, abs=0.025)
    assert np.corrcoef(acute, earlier)[0, 1] == pytest.approx(0.0, abs=0.01)
