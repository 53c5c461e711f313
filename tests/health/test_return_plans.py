"""Gaps as they stand on record, and the four weeks proposed after one."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from keelmark.contracts.errors import RefusedInput
from keelmark.health import Gap, gaps, propose_return
from keelmark.health.kept_plan import plan_of_row, steps_to_keep
from keelmark.health.return_plan import PROPOSED_SHARES, ReturnPlan
from tests.health.made import MONDAY, daily, days, monday, weekly

FIRST = MONDAY + timedelta(days=10)


def trained(*numbers: int) -> list[date]:
    return [MONDAY + timedelta(days=number) for number in numbers]


def found(*numbers: int, until: int = 60, **told: tuple[date, date, str]) -> list[Gap]:
    states = days("bo", *told.values())
    return gaps(daily("bo", trained(*numbers)), states, MONDAY + timedelta(days=until), "bo")


def test_fourteen_days_are_a_gap_and_thirteen_are_none() -> None:
    assert found(0, 14, until=14) == []
    (gap,) = found(0, 15, until=15)
    assert (gap.first, gap.last, gap.days, gap.over) == (trained(1)[0], trained(14)[0], 14, True)


def test_a_gap_still_open_is_told_so() -> None:
    (gap,) = found(0, until=20)
    assert (gap.days, gap.over) == (20, False)


def test_days_without_a_record_are_counted_apart_from_rest() -> None:
    (gap,) = found(
        0, 20, until=20, ill=(trained(1)[0], trained(7)[0], "ill"), rest=(trained(8)[0], trained(10)[0], "rest")
    )
    assert gap.states == {"ill": 7, "rest": 3, "unlogged": 9}
    assert gap.unlogged == 9


def test_other_athletes_and_later_days_are_not_looked_at() -> None:
    assert gaps(daily("ida", trained(0, 30)), days("bo"), MONDAY + timedelta(days=60), "bo") == []
    assert found(0, 5, 40, until=10) == []


def plan(values: list[float | None] | None = None, gap_first: date | None = None) -> ReturnPlan:
    figures = weekly({"bo": values or [100.0, 300.0, 200.0, 220.0, 180.0, 210.0]}, "knee_reps")
    first = gap_first or monday(6)
    return propose_return(Gap("bo", first, first + timedelta(days=16), {"away": 17}, over=True), figures)


def test_four_weeks_at_half_to_nine_tenths_of_the_usual_week() -> None:
    """50, 30, 20 and 10 % less (Caterisano 2019). Derived: the median of 100 180 200 210 220 300 is 205."""
    proposed = plan()
    usual = proposed.usual["knee_reps"]
    assert (usual.amount, usual.low, usual.high, usual.weeks) == (205.0, 100.0, 300.0, 6)
    assert [step.share for step in proposed.steps] == [0.5, 0.7, 0.8, 0.9]
    amounts = [step.amount("knee_reps", usual) for step in proposed.steps]
    assert amounts == pytest.approx([102.5, 143.5, 164.0, 184.5])


def test_it_begins_with_the_first_whole_week_after_the_gap() -> None:
    """Derived: the gap ends on the Wednesday of week 8, so week 9 is first; one that ends on a Sunday gives week 8."""
    assert [step.monday for step in plan().steps] == [monday(9), monday(10), monday(11), monday(12)]
    assert plan(gap_first=monday(6) - timedelta(days=3)).steps[0].monday == monday(8)


def test_the_week_in_which_the_gap_begins_is_not_a_usual_week() -> None:
    proposed = plan([200.0] * 6 + [1.0], gap_first=monday(6) + timedelta(days=2))
    assert proposed.usual["knee_reps"].low == 200.0


def test_nothing_is_proposed_where_too_little_is_known() -> None:
    assert plan([200.0, None, None, 200.0, None, 200.0]).usual == {}


def test_weeks_long_before_do_not_count() -> None:
    assert plan([200.0] * 6, gap_first=monday(11)).usual == {}


def test_a_plan_can_be_edited_and_says_who_looks_again() -> None:
    edited = plan().edited(shares=(0.4, 0.6, 0.8, 1.0), amounts={(1, "knee_reps"): 90.0}, owner=" Dagny ",
                           review_date=monday(13))  # fmt: skip
    assert [step.amount("knee_reps", edited.usual["knee_reps"]) for step in edited.steps] == [82.0, 90.0, 164.0, 205.0]
    assert (edited.owner, edited.review_date) == ("Dagny", monday(13))
    again = edited.edited(note="rowing first")
    assert (again.owner, again.note, again.steps) == ("Dagny", "rowing first", edited.steps)


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"shares": (0.5, 0.7)}, "2 shares were given. Wanted: 4 shares"),
        ({"shares": (0.5, 0.7, 0.8, 1.6)}, "1.6 is the share of a week. Wanted: a share from 0 to 1.5"),
        ({"shares": (0.5, 0.7, float("nan"), 1)}, "nan is the share of a week"),
        ({"amounts": {(4, "knee_reps"): 1.0}}, "week 5 is not in the plan. Wanted: a week from 1 to 4"),
        ({"amounts": {(0, "grip_s"): 1.0}}, "“grip_s” is not in the plan. Wanted: one of Knee dominant"),
        ({"amounts": {(0, "knee_reps"): -1.0}}, "-1 is not an amount. Wanted: a number from 0 up"),
        ({"amounts": {(0, "knee_reps"): float("inf")}}, "inf is not an amount"),
    ],
)
def test_what_cannot_be_a_plan_is_refused(change: dict[str, object], text: str) -> None:
    with pytest.raises(RefusedInput) as refused:
        plan().edited(**change)  # type: ignore[arg-type]
    assert text in str(refused.value)
    assert str(refused.value).endswith("What to do: change it and save the plan again.")


def test_the_source_is_named_with_what_is_ours() -> None:
    source = plan().source
    for part in ("Caterisano", "2019", "10.1519/SSC.0000000000000477", "from memory", "a judgement"):
        assert part in source
    assert PROPOSED_SHARES == (0.5, 0.7, 0.8, 0.9)


def test_a_plan_comes_back_as_it_was_kept() -> None:
    edited = plan().edited(amounts={(2, "knee_reps"): 50.0}, owner="Dagny", review_date=monday(13), note="n")
    row = {
        "athlete_id": "bo", "gap_first": edited.gap_first, "gap_last": edited.gap_last, "source": edited.source,
        "owner": "Dagny", "review_date": monday(13), "note": "n", "steps": json.dumps(steps_to_keep(edited)),
    }  # fmt: skip
    assert plan_of_row(row) == edited
