"""Cumulative sums against a published table."""

from __future__ import annotations

import numpy as np
import pytest

from keelmark.marks.cusum import cumulative_sum, tabular_cusum

CONCENTRATION = np.array([
    102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3, 101.4,
    97.2, 101.0,
])  # fmt: skip
SUMS = [3.0, -1.2, -1.9, -2.5, 0.5, 0.0, 0.0, -1.3, -0.3, -1.2, 1.1, 0.8, 2.9, 2.3, 0.3, -2.0, -0.7, 1.7, -0.1, 1.9]


def test_the_sums_of_the_chemical_process() -> None:
    """Montgomery DC, Runger GC. Applied Statistics and Probability for Engineers, table 16-7, target 99 (published;
    signs derived)."""
    assert np.round(cumulative_sum(CONCENTRATION, 99.0), 1).tolist() == pytest.approx(SUMS, abs=1e-9)


def test_the_one_sided_sums_of_the_same_process_stay_below_ten() -> None:
    """The form is published (p. 635); with a slack of 1 (from memory) the largest are 2.0 and 3.2 (derived)."""
    above, below = tabular_cusum(CONCENTRATION, 99.0, 1.0)
    assert above.max() == pytest.approx(2.0)
    assert below.max() == pytest.approx(3.2)


def test_a_shift_is_summed_up_from_where_it_begins() -> None:
    """Five periods at 2 above the target with a slack of 0.5: 1.5 a period (derived); several series at once."""
    values = np.zeros((8, 2))
    values[3:, 1] = 2.0
    above, below = tabular_cusum(values, 0.0, 0.5)
    assert above[:, 1].tolist() == [0.0, 0.0, 0.0, 1.5, 3.0, 4.5, 6.0, 7.5]
    assert not above[:, 0].any()
    assert not below.any()
