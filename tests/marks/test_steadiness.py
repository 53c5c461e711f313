"""What could be found at best, and that nothing of ours finds more.

Expected values: the normal distribution, by arithmetic written beside them.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from keelmark.marks import MarkSettings
from keelmark.marks.steadiness import SCATTERS, classes, most_found, steadiness_plants, steadiness_tally
from keelmark.marks.unchanged import DrawnWeeks, Pairs
from keelmark.marks.watch import watch

PEOPLE, WEEKS = 12, 400


def drawn(scatter: float, number: int = 0, weeks: int = WEEKS) -> DrawnWeeks:
    """One kind of work on three days a week, whose weeks' square roots are normal with half the relative scatter."""
    random = np.random.default_rng(number)
    total = 100.0 * np.maximum(1.0 + scatter / 2 * random.normal(size=(weeks, PEOPLE)), 0.05) ** 2
    days = np.zeros((weeks, 7, PEOPLE))
    days[:, [0, 2, 4]] = total[:, None] / 3
    names = tuple(f"a{who:02d}" for who in range(PEOPLE))
    return DrawnWeeks(Pairs(names, ("tonnage",), np.arange(PEOPLE), np.zeros(PEOPLE, dtype=np.int64)), days)


@pytest.mark.parametrize("scatter", [0.18, 0.27, 0.35, 0.45])
def test_the_most_that_could_be_found_is_what_the_normal_distribution_says(scatter: float) -> None:
    """Line: 1 + s z at the share that leaves 0.23 of 12 athletes above it a week; found: x with x^2 + mean > line^2."""
    seasons = [drawn(scatter, k) for k in range(6)]
    a_week = 0.23
    s = scatter / 2
    line = 1 + s * stats.norm.isf(a_week / PEOPLE)
    least = np.sqrt(max(line**2 - (1 + s**2), 0.0))
    wanted = stats.norm.sf((least - 1) / s)
    kind = classes(seasons)
    found = most_found(seasons, kind, 1.0, a_week)
    assert set(kind.tolist()) <= {0, 1, 2, 3, 4, 5, 6}
    for start, pairs, share in found.select("scatter", "pairs", "most").iter_rows():
        assert pairs <= PEOPLE
        assert abs(start - scatter) < 0.1
        assert share == pytest.approx(wanted, abs=0.04)


def test_work_that_changes_much_cannot_be_found_nine_times_in_ten() -> None:
    """At a scatter of 0.45, by the formula above: about one in three."""
    seasons = [drawn(0.45, k) for k in range(4)]
    found = most_found(seasons, classes(seasons), 1.0, 0.23)["most"]
    assert found.len() > 0
    assert (found < 0.5).all()


def test_steady_weeks_are_found_and_no_more_than_could_be() -> None:
    seasons = [drawn(0.14, k, 60) for k in range(3)]
    kind, random = classes(seasons), np.random.default_rng(0)
    most = most_found(seasons, kind, 1.0, 0.23)
    found = planted = 0
    for one in seasons:
        put = steadiness_plants(kind, 60, random)
        tally = steadiness_tally(
            one, watch(one, MarkSettings(), changes=(1.0,)).with_plants(0, put), MarkSettings(), put, kind
        )
        assert set(tally["scatter"]) <= set(SCATTERS)
        found, planted = found + tally["notice"].sum(), planted + tally["planted"].sum()
    assert planted == 3 * 48
    assert found / planted >= 0.9
    assert (most["most"] >= found / planted - 0.02).any()
