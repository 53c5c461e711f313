"""A slow rise is held against weeks that it has not yet moved, and against the steps of the others."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.marks.discoveries import adjusted_shares
from keelmark.marks.slow_rise import _STEP_SPREAD, slow_rises
from tests.marks.squad import week, weekly

NOT_LABELLED = pl.DataFrame(schema={"athlete_id": pl.String, "week": pl.String})
PEOPLE = 12


def rises(number: int, climbing: float = 1.0, begins: int = 26, weeks: int = 40, scatter: float = 0.2) -> pl.DataFrame:
    """Steps of a squad of steady athletes, of whom `a00` climbs by a factor every week."""
    random = np.random.default_rng(number)
    amounts = 1000 * random.lognormal(0, 0.3, PEOPLE) * random.lognormal(0, scatter, (weeks, PEOPLE))
    amounts[:, 0] *= climbing ** np.maximum(0, np.arange(weeks) - begins)
    return slow_rises(
        weekly({(f"a{who:02d}", "lumbar_moment"): amounts[:, who].tolist() for who in range(PEOPLE)}),
        NOT_LABELLED,
        0.05,
    )


def test_the_spread_of_a_step_of_independent_weeks() -> None:
    """Median of 4 less median of 16 normal weeks, by drawing them."""
    random = np.random.default_rng(3)
    steps = np.median(random.normal(size=(200_000, 4)), axis=1) - np.median(random.normal(size=(200_000, 16)), axis=1)
    assert steps.std() == pytest.approx(_STEP_SPREAD, rel=0.02)


def test_the_figures_of_a_step_by_hand() -> None:
    """Weeks of 100, then four of 144: median 144 against 100, and 10 to 12 on the square-root scale (derived)."""
    values: list[float | None] = [100.0] * 24 + [144.0] * 4
    last = slow_rises(weekly({("a", "tonnage"): values}), NOT_LABELLED, 0.05).filter(pl.col("week") == week(27))
    row = last.row(0, named=True)
    assert (row["value"], row["expected"]) == pytest.approx((144.0, 100.0))
    assert row["lower"] < 100 < row["upper"] < 144
    assert row["tail"] < 0.05


def test_one_odd_week_is_no_rise() -> None:
    values: list[float | None] = [100.0, 110.0] * 14
    values[27] = 1000.0
    last = slow_rises(weekly({("a", "tonnage"): values}), NOT_LABELLED, 0.05).filter(pl.col("week") == week(27))
    assert last["tail"][0] > 0.05


def test_nothing_is_said_before_there_is_history() -> None:
    found = rises(1)
    assert found["week"].min() == week(16)


def test_eight_per_cent_a_week_is_found_within_ten_weeks() -> None:
    """In nine squads of ten, judged over the whole squad at half the usual rate of false notices."""
    found = 0
    for number in range(10):
        judged = adjusted_shares(rises(number, climbing=1.08))
        told = judged.filter((pl.col("athlete_id") == "a00") & (pl.col("q_value") <= 0.05))["week"].to_list()
        found += any(week(27) <= name <= week(36) for name in told)
    assert found >= 9


def test_labelled_weeks_are_left_out() -> None:
    values: list[float | None] = [100.0] * 24 + [300.0] * 4
    named = pl.DataFrame({"athlete_id": ["a"] * 4, "week": [week(number) for number in range(24, 28)]}).with_columns(
        label=pl.lit("test"), after=pl.lit(False), share=pl.lit(1.0)
    )
    found = slow_rises(weekly({("a", "tonnage"): values}), named, 0.05)
    assert found.filter(pl.col("week") > week(23)).is_empty()


@given(st.floats(1e-3, 1e3))
@settings(max_examples=10, deadline=None)
def test_steps_do_not_depend_on_the_unit(factor: float) -> None:
    random = np.random.default_rng(8)
    amounts = random.lognormal(5, 0.3, (30, 4))

    def tails(by: float) -> np.ndarray:
        series = {(f"a{who}", "tonnage"): (by * amounts[:, who]).tolist() for who in range(4)}
        return slow_rises(weekly(series), NOT_LABELLED, 0.05)["tail"].to_numpy()

    np.testing.assert_allclose(tails(factor), tails(1.0), rtol=1e-7)
