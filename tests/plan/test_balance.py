"""Ratios of opposing pairs against hand-worked examples, and who is served worst."""

from __future__ import annotations

import datetime as dt

import pytest

from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.plan import BALANCE_NOTE, balance_of_squad, history_before, worst_served
from keelmark.plan.balance import Balance, balance
from tests.plan.conftest import Planned

PULL = ("vertical_push", "vertical_pull")


def _pair(pairs: list[Balance], one: str) -> Balance:
    return next(pair for pair in pairs if pair.one == one)


def test_log2_of_hand_worked_ratios() -> None:
    """Derived: 80 to 20 is log2 4 = 2; 30 to 60 is -1; against an intended 1:2 (log2 = -1) it is 0 away."""
    pairs = balance({"vertical_push": 80, "vertical_pull": 20, "knee_reps": 30, "hip_hinge_reps": 60})
    assert _pair(pairs, "vertical_push").log2 == pytest.approx(2)
    assert _pair(pairs, "knee_reps").log2 == pytest.approx(-1)
    meant = balance({"vertical_push": 30, "vertical_pull": 60}, {PULL: 0.5})
    assert _pair(meant, "vertical_push").distance == pytest.approx(0)
    assert _pair(pairs, "vertical_push").words == "4.0 to one"


def test_a_missing_side_has_no_ratio_but_lies_far_away() -> None:
    even = {("spinal_extension", "spinal_flexion"): 1.0}
    pair = _pair(balance({"spinal_flexion": 100}, even), "spinal_extension")
    assert (pair.log2, pair.distance, pair.words) == (None, -3.0, "only spinal flexion")
    few = _pair(balance({"spinal_flexion": 9}, even), "spinal_extension")
    assert (few.log2, few.distance, few.words) == (None, None, "hardly any of either")


def test_where_nothing_is_meant_nothing_lies_far_from_it() -> None:
    pair = _pair(balance({"vertical_push": 80, "vertical_pull": 20}), "vertical_push")
    assert (pair.intended_log2, pair.distance) == (None, None)
    assert worst_served({"p": [pair]}) == []


def test_attendance_is_held_against_the_week_as_written(planned: Planned) -> None:
    """Derived: 60 presses to 30 pull-ups in the week is log2 2 = 1; on Mondays 60 to 15 is 2, one doubling off."""
    week = planned("Mon\n3 x 20 strict press 20/15 kg\n3 x 5 pull-ups\n\nThu\n3 x 5 pull-ups")
    assert worst_served(balance_of_squad(week, as_written=True)) == []
    mondays = balance_of_squad(week, days={0}, as_written=True)
    assert _pair(mondays["heavier"], "vertical_push").distance == pytest.approx(1)
    assert worst_served(mondays) == [("heavier", pytest.approx(1))]


def test_a_week_worked_by_hand(planned: Planned) -> None:
    """Derived: 3 x 10 pull-ups and 3 x 20 strict presses: log2(60 / 30) = 1; 50 swings against 100 air squats: 1."""
    week = planned(
        "Mon\n3 x 10 pull-ups\n3 x 20 strict press 20/15 kg\n\n"
        "Thu\n5 x 10 kettlebell swings 24/16 kg\n5 x 20 air squats"
    )
    pairs = balance_of_squad(week)["heavier"]
    assert _pair(pairs, "vertical_push").log2 == pytest.approx(1)
    assert _pair(pairs, "knee_reps").log2 == pytest.approx(1)
    weekend = balance_of_squad(week, days={5, 6})["heavier"]
    assert all(pair.log2 is None for pair in weekend)


def test_the_weeks_before_are_added(planned: Planned) -> None:
    """Derived: 30 pulls planned, 30 done three weeks ago, 60 presses planned: log2(60 / 60) = 0."""
    week = planned("Mon 8 June 2026\n3 x 10 pull-ups\n3 x 20 strict press 20/15 kg")
    monday = dt.date(2026, 6, 8)
    weekly = WEEKLY_FIGURE.build(
        [
            {
                "athlete_id": "heavier", "week": (monday - dt.timedelta(weeks=back)).strftime("%G-W%V"),
                "monday": monday - dt.timedelta(weeks=back), "channel": "vertical_pull", "value": amount,
                "known_days": 7, "assumed_rest_days": 0, "trained_days": 1,
            }
            for back, amount in ((3, 30.0), (4, 500.0), (0, 900.0))
        ]
    )  # fmt: skip
    four = balance_of_squad(week, before=history_before(weekly, monday, 3))["heavier"]
    assert _pair(four, "vertical_push").log2 == pytest.approx(0)
    season = balance_of_squad(week, before=history_before(weekly, monday))["heavier"]
    assert _pair(season, "vertical_push").amount_other == pytest.approx(560)


def test_the_worst_served_tenth_is_named() -> None:
    """Of 11 people a tenth, rounded up, is two; distances are 0 to 1 doublings by construction."""
    squad = {
        f"p{number:02}": balance({"vertical_push": 100 * 2 ** (number / 10), "vertical_pull": 100}, {PULL: 1.0})
        for number in range(11)
    }
    assert [name for name, _ in worst_served(squad)] == ["p10", "p09"]
    assert worst_served({"p": balance({"vertical_push": 50, "vertical_pull": 50}, {PULL: 1.0})}) == []


@pytest.mark.parametrize(("pair", "ratio"), [(PULL, 0.0), (PULL, float("inf")), (("tonnage", "grip_s"), 1.0)])
def test_an_intent_that_cannot_be_meant_is_refused(pair: tuple[str, str], ratio: float) -> None:
    with pytest.raises(SettingError, match="intended balance"):
        balance({}, {pair: ratio})


def test_no_norm_is_claimed() -> None:
    assert "convention, no norm" in BALANCE_NOTE
