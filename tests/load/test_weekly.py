"""Weeks are made of days whose state is known; what is not known widens them, and ratios wait for history."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.contracts.errors import FrameError, SettingError
from keelmark.load import LoadSettings, weekly_figures
from tests.load.squad import MONDAY, athletes, doses, states

REST = LoadSettings(quiet_days="rest")


def rows(frame: pl.DataFrame, channel: str = "tonnage", athlete: str = "runa") -> list[dict[str, Any]]:
    return frame.filter((pl.col("channel") == channel) & (pl.col("athlete_id") == athlete)).to_dicts()


def until(week: int, quiet_days: str = "rest") -> LoadSettings:
    """Settings for a record that ends on the Sunday of a week, from 1."""
    return LoadSettings(quiet_days=quiet_days, until=MONDAY + timedelta(days=7 * week - 1))  # type: ignore[arg-type]


def training(weeks: int, days: tuple[int, ...] = (0, 2, 4), amount: float = 100.0) -> pl.DataFrame:
    return doses(*[("runa", 7 * week + day, "tonnage", amount) for week in range(weeks) for day in days])


def test_a_week_with_stated_rest_days_is_fully_known() -> None:
    rest = states(*[("runa", day, "rest") for day in (1, 2, 4, 5, 6)])
    (week,) = rows(
        weekly_figures(doses(("runa", 0, "tonnage", 300.0), ("runa", 3, "tonnage", 200.0)), athletes(), rest)
    )
    assert (week["week"], week["monday"]) == ("2026-W02", MONDAY)
    assert (week["value"], week["low"], week["high"]) == (500.0, 500.0, 500.0)
    assert (week["known_days"], week["trained_days"], week["assumed_rest_days"]) == (7, 2, 0)
    assert week["acute"] == pytest.approx(500 / 7)


def test_days_without_a_record_leave_the_week_open() -> None:
    (week,) = rows(weekly_figures(doses(("runa", 0, "tonnage", 300.0)), athletes(), states()))
    assert (week["value"], week["on_record"], week["low"], week["high"], week["known_days"]) == (
        None, 300.0, 300.0, None, 1
    )  # fmt: skip
    assert week["value_gate"] == "only 1 of 7 days are fully known"
    assert week["acute"] is None


@pytest.mark.parametrize("state", ["ill", "travel", "away", "restricted", "unlogged"])
def test_only_rest_counts_as_zero(state: str) -> None:
    days = states(*[("runa", day, state) for day in range(1, 7)])
    (week,) = rows(weekly_figures(doses(("runa", 0, "tonnage", 300.0)), athletes(), days))
    assert (week["known_days"], week["high"]) == (1, None)


def test_a_squad_may_take_quiet_days_as_rest_and_the_figure_says_so() -> None:
    first, second = rows(weekly_figures(training(2), athletes(), states(), until(2)))
    assert (first["known_days"], first["assumed_rest_days"], first["high"]) == (7, 4, 300.0)
    assert (second["known_days"], second["assumed_rest_days"]) == (7, 4)


def test_quiet_days_are_not_rest_before_the_first_record_nor_after_the_end() -> None:
    daily = doses(("runa", 3, "tonnage", 100.0), ("runa", 7, "tonnage", 100.0), ("runa", 9, "tonnage", 100.0))
    first, second = rows(weekly_figures(daily, athletes(), states(), REST))
    assert (first["known_days"], first["assumed_rest_days"]) == (4, 3)
    assert (second["known_days"], second["assumed_rest_days"]) == (3, 1)


def test_a_week_without_any_record_is_not_rest() -> None:
    daily = doses(("runa", 0, "tonnage", 100.0), ("runa", 14, "tonnage", 100.0))
    _, empty, _ = rows(weekly_figures(daily, athletes(), states(), REST))
    assert (empty["value"], empty["low"], empty["high"], empty["known_days"]) == (None, None, None, 0)


def test_an_illness_inside_a_logged_week_is_not_rest() -> None:
    first, _ = rows(weekly_figures(training(2), athletes(), states(("runa", 1, "ill")), until(2)))
    assert (first["known_days"], first["on_record"], first["low"]) == (6, 300.0, 300.0)
    assert first["value"] >= 300.0
    assert first["high"] > 300.0


def test_a_channel_that_was_not_trained_on_a_trained_day_is_zero() -> None:
    daily = doses(
        ("runa", 0, "tonnage", 100.0), ("runa", 0, "jump_contacts", 40.0), ("runa", 1, "tonnage", 100.0)
    )  # fmt: skip
    (week,) = rows(weekly_figures(daily, athletes(), states()), "jump_contacts")
    assert (week["on_record"], week["known_days"], week["trained_days"]) == (40.0, 2, 1)


def test_a_session_without_efforts_says_nothing_of_other_channels() -> None:
    daily = doses(("runa", 0, "tonnage", 100.0), ("runa", 0, "session_load", 300.0), ("runa", 1, "session_load", 200.0))
    frame = weekly_figures(daily, athletes(), states())
    assert rows(frame, "session_load")[0]["known_days"] == 2
    assert rows(frame)[0]["known_days"] == 1


def test_a_partly_known_day_counts_below_but_not_as_known() -> None:
    daily = doses(("runa", 0, "tonnage", 400.0, 400.0, None), ("runa", 1, "tonnage", 100.0))
    (week,) = rows(weekly_figures(daily, athletes(), states()))
    assert (week["on_record"], week["low"], week["high"], week["known_days"]) == (500.0, 500.0, None, 1)
    assert week["trained_days"] == 2


def test_a_day_of_which_nothing_is_known_has_no_value() -> None:
    (week,) = rows(weekly_figures(doses(("runa", 0, "tonnage", None, 0.0, None)), athletes(), states()))
    assert (week["value"], week["known_days"]) == (None, 0)


def test_rest_days_do_not_make_an_amount_of_a_week_whose_trained_days_are_not_known() -> None:
    """A club that keeps no ratings: sessions are on record, their load is not."""
    unrated = doses(*[("runa", day, "session_load", None, 0.0, None) for day in (0, 2)],
                    *[("runa", day, "tonnage", 100.0) for day in (0, 2)])  # fmt: skip
    frame = weekly_figures(unrated, athletes(), states(), until(1))
    (week,) = rows(frame, "session_load")
    assert (week["value"], week["low"], week["high"], week["acute"]) == (None, None, None, None)
    assert (week["known_days"], week["trained_days"]) == (5, 2)
    assert rows(frame)[0]["value"] == 200.0


@pytest.mark.parametrize("channel", ["session_load", "tonnage", "lumbar_peak", "grip_s"])
def test_rests_beside_a_single_unknown_day_are_no_zero(channel: str) -> None:
    rest = states(*[("runa", day, "rest") for day in range(1, 7)])
    alone = doses(
        ("runa", 0, channel, None, 0.0, None), ("runa", 0, "tonnage" if channel != "tonnage" else "grip_s", 1.0)
    )
    (week,) = rows(weekly_figures(alone, athletes(), rest), channel)
    assert (week["value"], week["low"], week["acute"], week["monotony"]) == (None, None, None, None)


def test_one_rated_day_is_a_lower_bound_beside_unrated_ones() -> None:
    daily = doses(("runa", 0, "session_load", 300.0), ("runa", 2, "session_load", None, 0.0, None))
    (week,) = rows(weekly_figures(daily, athletes(), states(), until(1)), "session_load")
    assert (week["on_record"], week["low"], week["known_days"]) == (300.0, 300.0, 6)
    # derived: the other session is drawn from the one rated day and from a half more and less of it
    assert 300.0 + 150.0 <= week["value"] <= week["high"] <= 300.0 + 450.0


def test_a_peak_is_the_largest_day_and_has_no_ratio() -> None:
    daily = doses(
        *[("runa", day, "tonnage", 1.0) for day in range(42)],
        *[("runa", day, "lumbar_peak", 200.0 + day, 150.0 + day, 300.0 + day) for day in range(42)],
    )
    last = rows(weekly_figures(daily, athletes(), states()), "lumbar_peak")[-1]
    assert (last["value"], last["low"], last["high"]) == (241.0, 191.0, 341.0)
    assert last["gate"] == "a largest value is not added up, so it has no ratio"
    assert last["acute"] is last["ratio_coupled"] is last["monotony"] is None


def test_ratios_of_a_steady_athlete_are_one() -> None:
    last = rows(weekly_figures(training(8), athletes(), states(), until(8)))[-1]
    assert last["ratio_coupled"] == pytest.approx(1.0)
    assert last["ratio_uncoupled"] == pytest.approx(1.0)
    assert last["change"] == pytest.approx(0.0)
    assert last["gate"] is None


def test_the_weekday_moves_the_window_but_not_the_week() -> None:
    daily = training(8)
    sunday = rows(weekly_figures(daily, athletes(), states(), until(8)))[-1]
    choice = LoadSettings(quiet_days="rest", week_day=1, until=MONDAY + timedelta(days=55))
    monday = rows(weekly_figures(daily, athletes(), states(), choice))[-1]
    assert monday["value"] == sunday["value"]
    heavier = doses(*[("runa", 7 * week + day, "tonnage", 100.0) for week in range(7) for day in (0, 2, 4)],
                    ("runa", 49, "tonnage", 100.0), ("runa", 51, "tonnage", 900.0))  # fmt: skip
    late = rows(weekly_figures(heavier, athletes(), states(), choice))[-1]
    assert late["ratio_coupled"] == pytest.approx(monday["ratio_coupled"])


def test_no_ratio_before_28_known_days() -> None:
    gates = [row["gate"] for row in rows(weekly_figures(training(5), athletes(), states(), until(5)))]
    assert gates[:3] == [f"{7 * week} of the 28 known days that a ratio needs" for week in (1, 2, 3)]
    assert gates[3:] == [None, None]


def test_no_ratio_in_a_gap_nor_until_history_has_formed_again() -> None:
    before = training(6)
    after = doses(*[("runa", 7 * week + day, "tonnage", 100.0) for week in range(9, 14) for day in (0, 2, 4)])
    idle = states(*[("runa", day, "rest") for day in range(42, 63)])
    found = rows(weekly_figures(pl.concat([before, after]), athletes(), idle, until(14)))
    gates = [row["gate"] for row in found]
    assert gates[5] is None
    assert gates[7] == "no training on record for 16 days"
    assert gates[9] == "7 of the 28 known days that a ratio needs"
    assert gates[12] is None


def test_thirteen_quiet_days_are_no_gap_but_fourteen_are() -> None:
    """Last training on day 39: the next one on day 53 follows 13 idle days, on day 54 it follows 14."""

    def gate(next_day: int) -> str | None:
        steady = doses(*[("runa", day, "tonnage", 100.0) for day in range(40)], ("runa", next_day, "tonnage", 100.0))
        idle = states(*[("runa", day, "rest") for day in range(40, 56)])
        found: str | None = rows(weekly_figures(steady, athletes(), idle))[-1]["gate"]
        return found

    assert gate(53) is None
    assert gate(54) == "2 of the 28 known days that a ratio needs"


def test_no_ratio_for_work_done_less_than_twice_a_week() -> None:
    seldom = pl.concat([training(8), doses(*[("runa", 7 * week, "jump_contacts", 50.0) for week in range(8)])])
    last = rows(weekly_figures(seldom, athletes(), states(), until(8)), "jump_contacts")[-1]
    assert last["gate"] == "done on 4 of the last 28 days; a ratio needs at least two days a week"
    assert last["ratio_coupled"] is None
    assert last["acute"] == pytest.approx(50 / 7)


def test_no_ratio_from_a_week_that_is_mostly_unknown() -> None:
    daily = pl.concat([training(8), doses(("runa", 56, "tonnage", 100.0))])
    last = rows(weekly_figures(daily, athletes(), states(), REST))[-1]
    assert last["gate"] == "only 1 of the last 7 days are known"


def test_a_week_that_is_not_over_says_so() -> None:
    tuesday = LoadSettings(quiet_days="rest", until=MONDAY + timedelta(days=57))
    daily = pl.concat([training(8), doses(("runa", 56, "tonnage", 100.0))])
    last = rows(weekly_figures(daily, athletes(), states(), tuesday))[-1]
    assert last["gate"] == "the week is not over: 2 of its 7 days are known so far"
    assert (last["known_days"], last["assumed_rest_days"], last["high"]) == (2, 1, None)


def test_a_week_of_equal_days_has_no_monotony_and_says_why() -> None:
    alike = doses(*[("runa", day, "tonnage", 100.0) for day in range(7)])
    (week,) = rows(weekly_figures(alike, athletes(), states()))
    assert week["monotony"] is week["strain"] is None
    assert week["monotony_gate"] == "all known days are alike, so there is no spread to divide by"
    (hardly,) = rows(weekly_figures(doses(("runa", 0, "tonnage", 100.0)), athletes(), states()))
    assert hardly["monotony_gate"] == "only 1 of 7 days are fully known"
    (plain,) = rows(weekly_figures(training(1), athletes(), states(), until(1)))
    assert plain["monotony"] is not None
    assert plain["monotony_gate"] is None


def test_change_needs_two_known_weeks_and_something_before() -> None:
    daily = pl.concat([training(1, amount=100.0), doses(*[("runa", 7 + day, "tonnage", 150.0) for day in (0, 2, 4)])])
    first, second = rows(weekly_figures(daily, athletes(), states(), until(2)))
    assert first["change"] is None
    assert second["change"] == pytest.approx(0.5)


def test_only_the_weeks_of_an_athletes_own_record() -> None:
    daily = pl.concat([training(4), doses(("ebbe", 14, "tonnage", 10.0))])
    frame = weekly_figures(daily, athletes("runa", "ebbe"), states(), until(4))
    assert [row["week"] for row in rows(frame, athlete="ebbe")] == ["2026-W04", "2026-W05"]
    gone = weekly_figures(training(2), athletes(left=9), states(), until(6))
    assert len(rows(gone)) == 2


def test_a_record_after_the_day_an_athlete_left_is_not_lost() -> None:
    found = rows(weekly_figures(training(4), athletes(left=9), states(), until(6)))
    assert [row["value"] for row in found] == [300.0] * 4


def test_only_channels_that_an_athlete_ever_did() -> None:
    daily = doses(("runa", 0, "tonnage", 1.0), ("ebbe", 0, "tonnage", 1.0), ("ebbe", 0, "grip_s", 30.0))
    frame = weekly_figures(daily, athletes("runa", "ebbe"), states())
    assert frame.filter(pl.col("athlete_id") == "runa")["channel"].unique().to_list() == ["tonnage"]


def test_blocks_give_the_same_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    daily = pl.concat(
        [training(6).with_columns(athlete_id=pl.lit(name)) for name in ("ada", "bo", "cai", "dag", "eli")]
    )
    squad = athletes("ada", "bo", "cai", "dag", "eli")
    whole = weekly_figures(daily, squad, states(), until(6))
    monkeypatch.setattr("keelmark.load.weekly.BLOCK_CELLS", 1)
    assert weekly_figures(daily, squad, states(), until(6)).equals(whole)


def test_nothing_on_record_gives_an_empty_table() -> None:
    assert weekly_figures(doses(), athletes(), states()).is_empty()


def test_a_table_of_another_shape_is_refused() -> None:
    with pytest.raises(FrameError, match=r"weekly figures, table Daily dose: columns missing.*'high'"):
        weekly_figures(doses().drop("high"), athletes(), states())


@pytest.mark.parametrize(
    ("choice", "text"),
    [
        ({"quiet_days": "zero"}, "setting quiet_days: 'zero' is not a meaning of a quiet day"),
        ({"week_day": 8}, "setting week_day: 8 is not a weekday"),
        ({"standard_deviation": "robust"}, "setting standard_deviation: 'robust' is not a standard deviation"),
    ],
)
def test_a_setting_out_of_range_is_refused(choice: dict[str, Any], text: str) -> None:
    with pytest.raises(SettingError, match=text):
        LoadSettings(**choice)


logs = st.dictionaries(st.integers(0, 69), st.floats(1.0, 1000.0), min_size=2, max_size=50)


@given(logs, st.data())
@settings(max_examples=60, deadline=None)
def test_deleting_a_record_widens_and_never_looks_like_rest(log: dict[int, float], data: st.DataObject) -> None:
    """Without one day's record: low never rises, high never falls, fewer days are known."""
    gone = data.draw(st.sampled_from(sorted(log)))
    end = LoadSettings(until=MONDAY + timedelta(days=69))
    whole = rows(weekly_figures(doses(*[("runa", day, "tonnage", log[day]) for day in log]), athletes(), states(), end))
    less = doses(*[("runa", day, "tonnage", log[day]) for day in log if day != gone])
    left = {row["week"]: row for row in rows(weekly_figures(less, athletes(), states(), end))}
    for before in whole:
        after = left.get(before["week"])
        if after is None:
            continue
        assert (after["low"] or 0.0) <= (before["low"] or 0.0)
        assert after["high"] is None or (before["high"] is not None and after["high"] >= before["high"])
        assert after["known_days"] <= before["known_days"]


@given(logs, st.floats(0.01, 100.0))
@settings(max_examples=40, deadline=None)
def test_figures_scale_with_the_unit(log: dict[int, float], factor: float) -> None:
    def figures(by: float) -> pl.DataFrame:
        return weekly_figures(
            doses(*[("runa", day, "tonnage", log[day] * by) for day in log]), athletes(), states(), REST
        )

    one, other = figures(1.0), figures(factor)
    for name in ("value", "low", "acute", "chronic", "strain"):
        np.testing.assert_allclose(other[name].to_numpy(), one[name].to_numpy() * factor, rtol=1e-9)
    for name in ("ratio_coupled", "ratio_uncoupled", "ratio_ewma", "change"):
        np.testing.assert_allclose(other[name].to_numpy(), one[name].to_numpy(), rtol=1e-9, atol=1e-12)


@given(st.permutations(["ada", "bo", "cai"]))
@settings(max_examples=6, deadline=None)
def test_names_do_not_matter(names: list[str]) -> None:
    logs_of = [{0: 10.0, 3: 20.0}, {1: 5.0, 8: 6.0, 30: 7.0}, dict.fromkeys(range(40), 1.0)]
    daily = doses(*[(who, day, "tonnage", log[day]) for who, log in zip(names, logs_of, strict=True) for day in log])
    end = LoadSettings(quiet_days="rest", until=MONDAY + timedelta(days=39))
    frame = weekly_figures(daily, athletes("ada", "bo", "cai"), states(), end)
    for who, log in zip(names, logs_of, strict=True):
        alone = doses(*[("x", day, "tonnage", log[day]) for day in log])
        expected = weekly_figures(alone, athletes("x"), states(), end)
        assert frame.filter(pl.col("athlete_id") == who).drop("athlete_id").equals(expected.drop("athlete_id"))
