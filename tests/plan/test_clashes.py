"""Planted clashes are found and near misses stay silent."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from keelmark.contracts.errors import SettingError
from keelmark.plan import clashes
from keelmark.plan.clash_rules import rules_from, shipped_rules
from tests.plan.conftest import Planned

_HERE = Path(__file__).parent
WEEKS = tomllib.loads((_HERE / "clash_weeks.toml").read_text(encoding="utf-8"))["week"]
MORE = tomllib.loads((_HERE / "more_clash_weeks.toml").read_text(encoding="utf-8"))["week"]
CLEAN = tomllib.loads((_HERE / "clean_weeks.toml").read_text(encoding="utf-8"))["weeks"]
PLANTED = [week for week in WEEKS if "rule" in week]
NEAR = [week for week in WEEKS if "rule" not in week]


@pytest.mark.parametrize("week", PLANTED, ids=lambda week: week["name"])
def test_a_planted_clash_is_found(planned: Planned, week: dict[str, str]) -> None:
    found = {(clash.rule, clash.place) for clash in clashes(planned(week["text"]))}
    assert (week["rule"], week["place"]) in found


@pytest.mark.parametrize("week", NEAR, ids=lambda week: week["name"])
def test_a_near_miss_stays_silent(planned: Planned, week: dict[str, str]) -> None:
    assert [clash.headline for clash in clashes(planned(week["text"]))] == []


def test_of_the_second_table_nearly_all_are_found(planned: Planned) -> None:
    planted = [week for week in MORE if "rule" in week]
    assert len(planted) == 20
    missed = []
    for week in planted:
        found = [(clash.rule, clash.place) for clash in clashes(planned(week["text"]))]
        if (week["rule"], week["place"]) not in found:
            missed.append(week["name"])
    assert len(missed) <= 0.05 * len(planted), missed


@pytest.mark.parametrize("week", [week for week in MORE if "rule" not in week], ids=lambda week: week["name"])
def test_a_near_miss_of_the_second_table_stays_silent(planned: Planned, week: dict[str, str]) -> None:
    assert [clash.headline for clash in clashes(planned(week["text"]))] == []


@pytest.mark.parametrize("week", [week for week in MORE if "opposing" in week], ids=lambda week: week["name"])
def test_couplets_of_the_second_table_that_oppose_are_told_so(planned: Planned, week: dict[str, str]) -> None:
    found = [clash for clash in clashes(planned(week["text"]), sensitivity="many") if clash.rule == week["rule"]]
    assert [clash.opposing for clash in found] == [True]


def test_landings_in_one_circuit_with_a_long_run_clash_only_after_it(planned: Planned) -> None:
    """Derived: 5000 m at 2.9 m a second are 1724 s, above 1200 s; 100 jumps are above 60."""
    run_first = clashes(planned("Mon\nFor time\n5000 m run\n100 box jumps 60/50 cm"))
    assert [(clash.rule, clash.place) for clash in run_first] == [("landing_after_long_run", "together")]
    assert clashes(planned("Mon\nFor time\n100 box jumps 60/50 cm\n5000 m run")) == []


def test_the_table_is_large_and_half_of_it_near_misses() -> None:
    assert len(WEEKS) >= 60
    assert len(NEAR) >= len(WEEKS) / 2 - 1
    assert {week["rule"] for week in PLANTED} == {rule.key for rule in shipped_rules()}
    assert len(CLEAN) == 20


def test_at_most_one_false_clash_in_twenty_clean_weeks(planned: Planned) -> None:
    false = [clash.headline for text in CLEAN for clash in clashes(planned(text))]
    assert len(false) <= 1, false


def test_an_opposing_couplet_is_recognised(planned: Planned) -> None:
    """Toes to bar close the hip and swings open it; both hold on: 5 x 10 x 2 = 100 s and 5 x 12 x 1.5 = 90 s."""
    text = "Mon\n5 rounds for time\n10 toes to bar\n12 kettlebell swings 24/16 kg"
    (clash,) = clashes(planned(text))
    assert clash.opposing
    assert clash.headline.endswith("they oppose each other, so it may be meant")
    (other,) = clashes(planned("Mon\n5 rounds for time\n8 deadlift 60/40 kg\n40 m farmers carry 2x24/16 kg"))
    assert not other.opposing


def test_sensitivity_names_more_or_fewer(planned: Planned) -> None:
    """48 presses overhead on two days running: below 60, above 0.7 x 60 = 42."""
    week = planned("Thu\n8 x 6 push press 40/30 kg\n\nFri\n8 x 6 push press 40/30 kg")
    assert clashes(week, sensitivity="usual") == []
    assert [clash.rule for clash in clashes(week, sensitivity="many")] == ["overhead_after_overhead"]
    heavy = planned("Thu\n8 x 8 push press 40/30 kg\n\nFri\n8 x 8 push press 40/30 kg")
    assert clashes(heavy, sensitivity="usual")
    assert clashes(heavy, sensitivity="few") == []


def test_spacing_is_told_in_hours_only_where_times_are_written(planned: Planned) -> None:
    with_times = planned("Mon 18:00\n8 x 8 push press 40/30 kg\n\nTue 7:00\n8 x 8 push press 40/30 kg")
    assert clashes(with_times)[0].headline == "Monday to Tuesday: locked-out shoulders again, 13 hours apart"
    without = planned("Mon\n8 x 8 push press 40/30 kg\n\nTue\n8 x 8 push press 40/30 kg")
    assert clashes(without)[0].headline == "Monday to Tuesday: locked-out shoulders again, one day apart"


def test_a_rule_that_names_no_channel_is_refused() -> None:
    text = '[demands.x]\nwords = "x"\nunit = "rep"\nchannels = ["nothing"]\nmost = 1\n[rules]\n'
    with pytest.raises(SettingError, match="names the channel nothing, which does not exist"):
        rules_from(text, "own.toml")
