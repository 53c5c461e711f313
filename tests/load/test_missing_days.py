"""A missing day is neither rest nor nothing: it widens every figure it lies in, and never pulls one towards zero."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from polars.testing import assert_frame_equal

from keelmark.contracts.frames import ATHLETE, DAY_STATE
from keelmark.load import LoadSettings, weekly_figures
from keelmark.load.ranges import RANGED
from tests.load.squad import MONDAY, athletes, doses, states

WEEKS = 12
END = LoadSettings(until=MONDAY + timedelta(days=7 * WEEKS - 1))
TRAINED = (0, 2, 4, 5)


def club(random: np.random.Generator, people: int = 8) -> dict[tuple[str, int], float]:
    """Tonnage of a club whose members do the same session on four days a week, each in their own size, and rest else.

    Keys are athlete and day number.
    """
    plan = random.lognormal(7.0, 0.4, 7 * WEEKS)
    size = random.lognormal(0.0, 0.3, people)
    return {
        (f"a{who}", day): float(plan[day] * size[who] * random.lognormal(0.0, 0.15)) if day % 7 in TRAINED else 0.0
        for who in range(people)
        for day in range(7 * WEEKS)
    }


def figures(
    log: dict[tuple[str, int], float], choice: LoadSettings = END, more: tuple[tuple[str, int], ...] = ()
) -> pl.DataFrame:
    """Weekly figures of such a club; days left out of the log are not known, on those in `more` more was done."""
    names = sorted({who for who, _ in log})
    resting = [
        {"athlete_id": who, "date": MONDAY + timedelta(days=day), "state": "rest"}
        for (who, day), amount in log.items()
        if not amount
    ]
    resting += [{"athlete_id": who, "date": MONDAY + timedelta(days=day), "state": "partly"} for who, day in more]
    worked = [(who, day, "tonnage", amount) for (who, day), amount in log.items() if amount]
    return weekly_figures(doses(*worked), athletes(*names), DAY_STATE.build(resting), choice)


def row(frame: pl.DataFrame, athlete: str, week: int) -> dict[str, Any]:
    monday = MONDAY + timedelta(days=7 * week)
    return frame.row(by_predicate=(pl.col("athlete_id") == athlete) & (pl.col("monday") == monday), named=True)


def without(log: dict[tuple[str, int], float], *gone: tuple[str, int]) -> dict[tuple[str, int], float]:
    return {key: amount for key, amount in log.items() if key not in gone}


@given(st.integers(0, 50), st.integers(14, 7 * WEEKS - 1), st.integers(0, 7))
@settings(max_examples=40, deadline=None)
def test_deleting_any_day_widens_and_never_makes_it_look_like_rest(number: int, day: int, who: int) -> None:
    log = club(np.random.default_rng(number))
    key = (f"a{who}", day)
    before, after = (row(figures(some), key[0], day // 7) for some in (log, without(log, key)))
    assert before["low"] == before["value"] == before["high"]
    assert after["known_days"] == 6
    assert after["on_record"] == pytest.approx(before["value"] - log[key])
    assert after["low"] == after["on_record"] <= before["low"]
    assert after["low"] <= after["value"] <= after["at_most"] == after["high"]
    if log[key]:
        assert after["high"] > after["low"]
        assert after["value"] > after["on_record"]
    for name in RANGED:
        assert before[f"{name}_low"] is before[f"{name}_high"] is None
        if after[name] is not None:
            assert after[f"{name}_low"] <= after[f"{name}_high"]


@given(st.integers(0, 20), st.sets(st.integers(21, 7 * WEEKS - 1), min_size=1, max_size=30))
@settings(max_examples=40, deadline=None)
def test_what_else_is_deleted_never_raises_the_lower_bound(number: int, days: set[int]) -> None:
    log = club(np.random.default_rng(number), people=4)
    whole, less = figures(log), figures(without(log, *[("a1", day) for day in days]))
    for week in range(WEEKS):
        known = 7 - sum(day // 7 == week for day in days)
        after = row(less, "a1", week)
        assert after["known_days"] == known
        assert (after["low"] or 0.0) <= row(whole, "a1", week)["low"]
        assert (after["value"] is None) == (known < 6)
        if known < 6:
            assert after["value_gate"] == f"only {known} of 7 days are fully known"
            assert after["high"] is None


def test_the_range_holds_what_was_done_in_nine_of_ten_deleted_training_days() -> None:
    """A range from the fifth to the ninety-fifth of a hundred parts holds 90 % of what it stands for; drawn clubs."""
    inside, off, count = 0, 0.0, 0
    random = np.random.default_rng(5)
    for number in range(12):
        log = club(np.random.default_rng(number))
        gone = [(f"a{who}", 7 * int(random.integers(3, WEEKS)) + int(random.choice(TRAINED))) for who in range(8)]
        frame = figures(without(log, *gone))
        for key in gone:
            found = row(frame, key[0], key[1] // 7)
            truth = found["on_record"] + log[key]
            inside += found["low"] <= truth <= found["high"]
            off += (found["value"] - truth) / truth
            count += 1
    assert inside / count >= 0.9
    assert off / count == pytest.approx(0.0, abs=0.05)


@given(st.integers(0, 20), st.sampled_from(TRAINED), st.floats(0.05, 4.0))
@settings(max_examples=40, deadline=None)
def test_a_day_that_is_partly_on_record_widens_the_week_upwards_only(number: int, weekday: int, share: float) -> None:
    log = club(np.random.default_rng(number))
    key = ("a2", 7 * 8 + weekday)
    told = {**log, key: share * log[key]}
    plain, partly = (row(figures(told, more=more), "a2", 8) for more in ((), (key,)))
    gone = row(figures(without(log, key)), "a2", 8)
    assert (plain["known_days"], partly["known_days"], gone["known_days"]) == (7, 6, 6)
    assert plain["low"] == plain["value"] == plain["high"]
    # derived: what is on record is a floor, and what a missing day would have been drawn as is drawn for the rest of it
    assert partly["low"] == partly["on_record"] == plain["value"]
    assert partly["low"] <= partly["value"] <= partly["high"] == partly["at_most"]
    assert partly["value"] >= gone["value"] - 1e-9
    assert partly["high"] >= gone["high"] - 1e-9
    assert partly["trained_days"] == plain["trained_days"]
    if share < 0.3:
        assert partly["high"] > partly["value"] > partly["on_record"]
    for name in RANGED:
        if partly[name] is not None:
            assert partly[f"{name}_low"] <= partly[f"{name}_high"]


def test_a_session_that_the_group_did_is_drawn_from_the_group_and_a_free_day_is_nearly_free() -> None:
    log = club(np.random.default_rng(1))
    heavy = {key: amount * (3.0 if key[1] == 60 else 1.0) for key, amount in log.items()}
    plain, of_heavy = (row(figures(without(some, ("a2", 60))), "a2", 8) for some in (log, heavy))
    # derived: everybody else did three times as much that day, so three times as much is drawn
    assert of_heavy["value"] - of_heavy["on_record"] == pytest.approx(3 * (plain["value"] - plain["on_record"]))
    sunday = row(figures(without(log, ("a2", 62))), "a2", 8)
    usual_day = sunday["on_record"] / len(TRAINED)
    assert 0.0 <= sunday["value"] - sunday["on_record"] < 0.25 * usual_day


def test_the_group_is_the_training_group_where_there_are_several() -> None:
    log = club(np.random.default_rng(1))
    worked = [
        (who, day, "tonnage", amount) for (who, day), amount in log.items() if amount and (who, day) != ("a2", 60)
    ]
    strong = [
        (who, day, name, amount * (10 if who in ("a5", "a6", "a7") and day == 60 else 1))
        for who, day, name, amount in worked
    ]
    rest = states(*[(who, day, "rest") for (who, day), amount in log.items() if not amount])
    people = ATHLETE.build(
        [{"athlete_id": f"a{who}", "name": f"A{who}", "group": "one" if who < 5 else "two"} for who in range(8)]
    )
    plain, other = (row(weekly_figures(doses(*some), people, rest, END), "a2", 8) for some in (worked, strong))
    assert other["value"] == plain["value"]


def test_windows_of_figures_with_a_missing_day_have_ranges_and_others_have_none() -> None:
    log = club(np.random.default_rng(2))
    frame = figures(without(log, ("a3", 40)))
    ranged = [week for week in range(WEEKS) if row(frame, "a3", week)["chronic_low"] is not None]
    assert ranged == [5, 6, 7, 8]
    week = row(frame, "a3", 5)
    for name in ("acute", "chronic", "ratio_coupled", "ratio_uncoupled", "ratio_ewma", "monotony", "strain"):
        assert week[f"{name}_low"] < week[f"{name}_high"], name
        assert week[f"{name}_low"] <= week[name] <= week[f"{name}_high"]
    others = frame.filter(pl.col("athlete_id") != "a3")
    assert others.equals(figures(log).filter(pl.col("athlete_id") != "a3"))


def test_a_whole_week_may_be_missing_from_a_month_and_three_weeks_bear_the_figure() -> None:
    """21 of 28 days are three quarters: the month stands, with a range; the week itself does not."""
    log = club(np.random.default_rng(3))
    frame = figures(without(log, *[("a0", day) for day in range(35, 42)]))
    missing, after = row(frame, "a0", 5), row(frame, "a0", 6)
    assert missing["value"] is missing["acute"] is None
    assert missing["chronic"] is not None
    assert after["value"] == after["on_record"]
    assert after["chronic_low"] < after["chronic"] < after["chronic_high"]


def test_the_same_records_give_the_same_draws_in_any_order_and_block(monkeypatch: pytest.MonkeyPatch) -> None:
    log = without(club(np.random.default_rng(4)), ("a1", 40), ("a6", 33), ("a6", 50))
    one = figures(log)
    turned = figures(dict(sorted(log.items(), reverse=True)))
    assert_frame_equal(turned, one, rel_tol=1e-12)
    monkeypatch.setattr("keelmark.load.weekly.BLOCK_CELLS", 1)
    monkeypatch.setattr("keelmark.load.ranges.CELLS", 1)
    assert figures(log).equals(one)


def test_nothing_is_drawn_before_the_first_record_nor_of_days_to_come() -> None:
    log = {key: amount for key, amount in club(np.random.default_rng(6)).items() if key[1] >= 1}
    first = row(figures(log), "a0", 0)
    assert (first["known_days"], first["value"], first["high"]) == (6, first["on_record"], None)
    saturday = LoadSettings(until=MONDAY + timedelta(days=7 * WEEKS - 2))
    last = row(figures({key: amount for key, amount in log.items() if key[1] < 7 * WEEKS - 1}, saturday), "a0", 11)
    assert (last["known_days"], last["value"], last["high"]) == (6, last["on_record"], None)


def test_work_of_which_no_day_is_known_cannot_be_drawn() -> None:
    rest = states(*[("runa", day, "rest") for day in range(28) if day % 7])
    unrated = doses(*[("runa", 7 * week, "session_load", None, 0.0, None) for week in range(4)])
    until = LoadSettings(until=MONDAY + timedelta(days=27))
    last = weekly_figures(unrated, athletes(), rest, until).row(-1, named=True)
    assert last["value"] is last["low"] is last["high"] is None
    assert last["value_gate"] == "no day with this work has a known amount"


def test_the_window_may_close_on_any_weekday() -> None:
    log = without(club(np.random.default_rng(7)), ("a1", 44))
    wednesday = LoadSettings(until=END.until, week_day=3)
    frame = figures(log, wednesday)
    ranged = [week for week in range(WEEKS) if row(frame, "a1", week)["acute_low"] is not None]
    # derived: day 44 is a Wednesday, the last day of the seven to the Wednesday of week 6
    assert ranged == [6]
    assert row(frame, "a1", 6)["value"] > row(frame, "a1", 6)["on_record"]
