"""What is asked of the squad: withheld when little is known, true to what was planted, silent about nothing."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from keelmark.contracts.small_groups import LEAST_PEOPLE
from keelmark.health import association
from keelmark.health.association import (
    LEAST_ATHLETES,
    LEAST_COMPLAINTS,
    LEAST_WITH_COMPLAINTS,
    Association,
    shrunk,
)  # fmt: skip
from keelmark.health.episodes import weeks_said
from keelmark.health.lagged import LAGS, own_steps, weeks_at_stake
from keelmark.health.recurrent import MANY_PERSONS, Fit, event_rate
from tests.health.made import said, squad_season, weekly


def of_the_back(check_ins: pl.DataFrame, figures: pl.DataFrame) -> Association:
    return next(asked for asked in association(check_ins, figures) if asked.areas == "back")


def test_a_large_squad_gives_back_what_was_planted() -> None:
    """Complaints were drawn 1.5 times as often for each step in the week before, and not for earlier weeks."""
    draw = np.random.default_rng(7)
    asked = of_the_back(*squad_season(150, 60, 900, draw, log_ratio=np.log(1.5)))
    assert asked.withheld is None
    first, second, third = asked.ratios
    assert first.low < 1.5 < first.high
    assert first.low > 1.3
    assert not second.stands_out
    assert not third.stands_out
    assert asked.agree
    assert asked.by_calendar[0].ratio == pytest.approx(first.ratio, rel=0.1)


@pytest.mark.slow
def test_with_the_fewest_allowed_the_intervals_hold_their_promise() -> None:
    """In squads in which nothing is connected, 19 of 20 intervals hold 1. Derived band for 3 x 150 intervals, taken as
    150 independent ones: 0.95 - 3 x sqrt(0.95 x 0.05 / 150) = 0.897."""
    draw, held, calendar = np.random.default_rng(11), [], []
    while len(held) < 150 * len(LAGS):
        asked = of_the_back(*squad_season(LEAST_ATHLETES, 30, LEAST_COMPLAINTS * 1.6, draw))
        held += [not ratio.stands_out for ratio in asked.ratios]
        calendar += [not ratio.stands_out for ratio in asked.by_calendar]
    assert np.mean(held) >= 0.897
    assert np.mean(calendar) >= 0.897


def test_too_few_complaints_are_counted_and_nothing_is_worked_out() -> None:
    asked = of_the_back(*squad_season(30, 30, 15, np.random.default_rng(3)))
    assert 0 < asked.complaints < LEAST_COMPLAINTS
    assert asked.ratios == asked.by_calendar == ()
    assert asked.withheld == f"so far there are {asked.complaints} of 30 new complaints"


def test_one_person_is_never_looked_at_however_much_is_known() -> None:
    check_ins, figures = squad_season(1, 400, 150, np.random.default_rng(5))
    asked = of_the_back(check_ins, figures)
    assert asked.complaints >= LEAST_COMPLAINTS
    assert asked.ratios == ()
    assert "too few athletes with answers and known weeks (fewer than five people, not shown)" in str(asked.withheld)


def test_complaints_of_a_few_persons_are_withheld() -> None:
    check_ins, figures = squad_season(40, 60, 400, np.random.default_rng(5))
    few = check_ins["athlete_id"].unique().sort().to_list()[:5]
    well = check_ins.with_columns(area=pl.when(pl.col("athlete_id").is_in(few)).then("area"))
    asked = of_the_back(well, figures)
    assert asked.complaints >= LEAST_COMPLAINTS
    assert asked.withheld == "so far there are 5 of 8 athletes with a new complaint"


def test_what_is_counted_over_fewer_than_five_people_is_not_told() -> None:
    check_ins, figures = squad_season(40, 60, 400, np.random.default_rng(5))
    everybody = check_ins["athlete_id"].unique().sort().to_list()
    for few, told in ((4, False), (5, True)):
        well = check_ins.with_columns(area=pl.when(pl.col("athlete_id").is_in(everybody[:few])).then("area"))
        asked = of_the_back(well, figures)
        assert asked.athletes_with_complaints == few
        assert (f"{few} of 8" in str(asked.withheld)) == told
        assert (
            "too few athletes with a new complaint (fewer than five people, not shown)" in str(asked.withheld)
        ) != told
    assert min(LEAST_ATHLETES, LEAST_WITH_COMPLAINTS) >= LEAST_PEOPLE, "what is shown is about as many at least"


def test_a_squad_without_check_ins_is_told_what_is_missing() -> None:
    assert all(asked.withheld and asked.complaints == 0 for asked in association(said(), weekly({}, "tonnage")))


def test_own_steps_compare_an_athlete_with_himself() -> None:
    """Derived: median 100, distances 0 10 10 20 20 30 30 ... whose median is 20, so a step is 29.652."""
    values: list[float | None] = [100.0, 90.0, 110.0, 80.0, 120.0, 70.0, 130.0, 100.0, 500.0, None]
    values[7] = 80.0
    own = own_steps(weekly({"bo": values, "ida": [10 * v if v else v for v in values]}, "grip_s"), "grip_s")
    bo, ida = (own.filter(pl.col("athlete_id") == name)["steps"].to_numpy() for name in ("bo", "ida"))
    assert bo == pytest.approx(ida)
    median = float(np.median([100, 90, 110, 80, 120, 70, 130, 80, 500]))
    step = 1.4826 * float(np.median(np.abs(np.array([100, 90, 110, 80, 120, 70, 130, 80, 500]) - median)))
    assert bo[1] == pytest.approx((90 - median) / step)
    assert bo[8] == 4.0
    assert len(bo) == 9


def test_weeks_known_too_little_and_athletes_with_few_weeks_have_no_steps() -> None:
    values: dict[str, list[float | None]] = {"bo": [float(place) for place in range(20)]}
    assert own_steps(weekly(values, "grip_s", known_days=5), "grip_s").is_empty()
    assert own_steps(weekly({"bo": values["bo"][:7]}, "grip_s"), "grip_s").is_empty()
    assert own_steps(weekly({"bo": [3.0] * 20}, "grip_s"), "grip_s").is_empty()


def test_only_weeks_in_which_a_complaint_could_begin_are_at_stake() -> None:
    steps = own_steps(weekly({"bo": [float(place % 5) for place in range(30)]}, "lumbar_moment"), "lumbar_moment")
    told = [("bo", place, None) for place in range(4, 20)]
    told[6], told[7], told[8] = ("bo", 10, "lumbosacral"), ("bo", 11, "lumbosacral"), ("bo", 12, "knee")
    rows = weeks_at_stake(weeks_said(said(*told)), ("lumbosacral",), steps)
    # Derived: 16 answered weeks; the first cannot be called new or not, and the weeks after 10 and 11 were not free.
    assert len(rows.began) == 16 - 1 - 2
    assert rows.complaints == 1
    assert rows.left_out == 0


def test_a_week_after_long_silence_or_unknown_work_is_left_out() -> None:
    figures: list[float | None] = [float(place % 5) for place in range(30)]
    figures[12] = None
    steps = own_steps(weekly({"bo": figures}, "lumbar_moment"), "lumbar_moment")
    told = [("bo", 4, None), ("bo", 9, None), ("bo", 13, "lumbosacral"), ("bo", 20, None), ("bo", 21, None)]
    rows = weeks_at_stake(weeks_said(said(*told)), ("lumbosacral",), steps)
    assert (rows.complaints, len(rows.began), rows.left_out) == (0, 1, 1)


def test_little_knowledge_is_drawn_to_none_and_much_is_not() -> None:
    """Derived for one coefficient: middle b s^2 / (s^2 + v), variance v s^2 / (s^2 + v)."""
    for variance, share in ((0.25, 0.5), (0.0025, 0.990099)):
        middle, covariance = shrunk(Fit(np.array([1.0]), np.array([[variance]])), prior_sd=0.5)
        assert middle[0] == pytest.approx(share, abs=1e-6)
        assert covariance[0, 0] == pytest.approx(variance * share, abs=1e-6)


def test_rows_of_one_person_doubled_do_not_make_the_answer_surer() -> None:
    """Copies of everybody's rows hold no news: an error that took rows as independent would shrink by sqrt(2)."""
    draw = np.random.default_rng(2)
    events, steps = draw.poisson(0.3, 600).astype(float), draw.standard_normal((600, 1))
    person = np.repeat(np.arange(30), 20)
    once = event_rate(events, steps, person)
    twice = event_rate(np.tile(events, 2), np.tile(steps, (2, 1)), np.tile(person, 2))
    assert twice.coefficients == pytest.approx(once.coefficients, abs=1e-6)
    assert twice.errors == pytest.approx(once.errors, rel=0.01)


def test_many_persons_need_no_correction_for_few() -> None:
    """The errors of the two ways differ by less than 2 % where the way changes."""
    draw = np.random.default_rng(4)
    people, weeks = MANY_PERSONS, 30
    events, steps = draw.poisson(0.1, people * weeks).astype(float), draw.standard_normal((people * weeks, 1))
    person = np.repeat(np.arange(people), weeks)
    many = event_rate(events, steps, person)
    fewer = event_rate(events[weeks:], steps[weeks:], person[weeks:] - 1)
    scale = np.sqrt((people - 1) / people)
    assert fewer.errors * scale == pytest.approx(many.errors, rel=0.02)
