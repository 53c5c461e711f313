"""One-repetition maxima from sets, and high-rep lifting, against figures in print."""

from __future__ import annotations

import math

import pytest

from keelmark.mechanics.rep_maximum import capacity, maximum_brzycki, maximum_epley, reps_possible


def test_hundred_kilograms_for_five() -> None:
    """Published (widely printed worked figures): Epley 116.667, Brzycki 112.5."""
    assert maximum_epley(100, 5) == pytest.approx(116.667, abs=0.0005)
    assert maximum_brzycki(100, 5) == pytest.approx(112.5)


def test_185_pounds_for_five() -> None:
    """Published: 216 and 208 lb; 215.83 and 208.125 before rounding."""
    assert round(maximum_epley(185, 5)) == 216
    assert round(maximum_brzycki(185, 5)) == 208


def test_the_two_formulas_meet_at_ten_reps() -> None:
    """Published statement; derived value 133.3333 for 100."""
    assert maximum_epley(100, 10) == pytest.approx(maximum_brzycki(100, 10)) == pytest.approx(133.3333, abs=5e-5)


def test_one_rep_is_the_maximum_itself_and_37_reps_are_beyond_brzycki() -> None:
    """Derived from the formulas: w (1 + 1/30) would be 1.0333 w; 36 w / (37 - r) has no value at 37."""
    assert maximum_epley(100, 1) == maximum_brzycki(100, 1) == 100
    assert math.isnan(maximum_brzycki(100, 37))


CHART = {2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75}


@pytest.mark.parametrize(("reps", "percent"), CHART.items())
def test_percent_of_maximum_by_reps(reps: int, percent: int) -> None:
    """Published chart, 2 to 10 reps, printed in whole percents; the formula stays within 2.5 points of it."""
    assert 100 / maximum_epley(1, reps) == pytest.approx(percent, abs=2.5)


@pytest.mark.parametrize(("percent", "reps"), [(60, 20), (70, 12), (80, 8), (85, 6), (90, 4), (95, 2)])
def test_reps_possible_by_percent_of_maximum(percent: int, reps: int) -> None:
    """A second published page, which names the textbook; the formula stays within one rep of it. At 12 reps the two
    pages disagree (67 and 70 %), so the table above ends at 10."""
    assert reps_possible(percent / 100, 1.0) == pytest.approx(reps, abs=1.0)


def test_half_of_the_maximum_holds_30_reps_and_45_of_them_are_one_and_a_half_sets() -> None:
    """Derived: n = 30 (M / L - 1) = 30 at L = M / 2; 45 / 30 = 1.5."""
    assert reps_possible(60.0, 120.0) == pytest.approx(30)
    assert capacity(45.0, 60.0, 120.0) == pytest.approx(1.5)


@pytest.mark.parametrize("reps", [2, 5, 10])
def test_reps_possible_undoes_the_estimate(reps: int) -> None:
    """Derived: n(w, Epley(w, r)) = r."""
    assert reps_possible(80.0, maximum_epley(80.0, reps)) == pytest.approx(reps)
