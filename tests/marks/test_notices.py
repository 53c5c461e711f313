"""A notice can be acted on: what was done, the usual range, what made it, what is not known, what could be done."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import numpy as np
import polars as pl
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.contracts.records import CALENDAR_LABEL
from keelmark.contracts.words import SCOPE_LINE
from keelmark.dose import daily_dose
from keelmark.load import LoadSettings, weekly_figures
from keelmark.marks import MarkSettings, marks, notices
from tests.marks.squad import MONDAY, week

PEOPLE = ("ada", "bo", "cai", "dag", "eli", "fen", "gil", "hel")
WEEKS = 30
LAST = MONDAY + timedelta(days=7 * WEEKS - 1)
SPIKE = 26


def crew(*extra: dict[str, Any], creeping: str | None = None) -> tuple[pl.DataFrame, pl.DataFrame, pl.DataFrame]:
    """Eight people who squat, jump and pull on three days a week, much alike every week; and extra efforts."""
    random, rows, sessions = np.random.default_rng(5), [], []
    for number in range(WEEKS):
        for day in (0, 2, 4):
            today = MONDAY + timedelta(days=7 * number + day)
            for who in PEOPLE:
                grown = 1.05 ** max(0, number - 12) if who == creeping else 1.0
                amounts = {"back_squat": 30.0, "box_jump": 24.0, "deadlift": 20.0 * grown}
                for order, (movement, reps) in enumerate(amounts.items()):
                    rows.append(effort(who, today, movement, float(round(reps * random.lognormal(0, 0.15))), order))
                sessions.append({"session_id": f"{today}", "athlete_id": who, "date": today, "session_rpe": 6.0,
                                 "duration_min": 60.0, "import_id": "i"})  # fmt: skip
    rows += [effort(**{"order": 9, **row}) for row in extra]
    numbered = [{**row, "source_row": place + 1} for place, row in enumerate(rows)]
    people = ATHLETE.build([{"athlete_id": who, "name": who.title(), "body_mass_kg": 75.0} for who in PEOPLE])
    return EFFORT.build(numbered), SESSION.build(sessions), people


def effort(
    athlete_id: str, day: date, movement: str, reps: float, order: int, load_kg: float | None = 60.0
) -> dict[str, Any]:
    loaded = movement != "box_jump" and load_kg is not None
    return {
        "athlete_id": athlete_id, "date": day, "session_id": f"{day}", "order": order, "movement": movement,
        "version": "as_written", "sets": 1, "reps": reps, "load_kg": load_kg if loaded else None,
        "load_basis": "external" if loaded else "none", "share_low": 1.0, "share_high": 1.0, "source": "log",
        "import_id": "i",
    }  # fmt: skip


def told(
    tables: tuple[pl.DataFrame, pl.DataFrame, pl.DataFrame],
    settings: MarkSettings | None = None,
    labels: pl.DataFrame | None = None,
    states: pl.DataFrame | None = None,
) -> pl.DataFrame:
    efforts, sessions, people = tables
    catalogue, none = shipped_catalogue(), REP_MAXIMUM.empty()
    daily = daily_dose(efforts, sessions, people, none, catalogue)
    quiet = LoadSettings(quiet_days="rest", until=LAST)
    weekly = weekly_figures(daily, people, DAY_STATE.empty() if states is None else states, quiet)
    marked = marks(weekly, settings, labels, people)
    return notices(weekly, marked, efforts, sessions, people, none, catalogue, settings, labels)


def jumps(who: str = "cai", number: int = SPIKE) -> list[dict[str, Any]]:
    """Four sets of forty extra box jumps on the Tuesday of a week."""
    tuesday = MONDAY + timedelta(days=7 * number + 1)
    return [{"athlete_id": who, "day": tuesday, "movement": "box_jump", "reps": 40.0}] * 4


@pytest.fixture(scope="module")
def spike() -> dict[str, Any]:
    found = told(crew(*jumps()))
    assert found["athlete_id"].to_list() == ["cai"]
    return found.row(0, named=True)


def test_an_unplanned_spike_is_found_and_nothing_else(spike: dict[str, Any]) -> None:
    assert (spike["week"], spike["channel"], spike["rank"]) == (week(SPIKE), "jump_contacts", 1)
    assert spike["place"] == "well_above"
    assert spike["within_budget"]
    assert spike["q_value"] < 0.01
    assert spike["value"] > spike["upper"] > spike["lower"] > 0


def test_it_says_what_was_done_and_what_is_usual(spike: dict[str, Any]) -> None:
    assert re.fullmatch(
        r"In the week of 2 March, Cai's jump contacts came to 2\d\d, 3(\.\d)? times the expected 7\d\.",
        spike["headline"],
    )
    assert re.match(
        r"The usual range, from 26 earlier weeks, is \d\d to (8|9|10)\d contacts\. Also above their usual range: ",
        spike["usual"],
    )


def test_it_names_the_largest_contributors_down_to_their_rows(spike: dict[str, Any]) -> None:
    first = 3 * 3 * len(PEOPLE) * WEEKS + 1
    assert spike["contributors"][0].startswith(f"160 box jumps on Tue 3 Mar (rows {first} to {first + 3}), 7")
    assert spike["contributors"][0].endswith(" % of the week")
    assert len(spike["contributors"]) == 3


def test_work_that_is_new_is_named(spike: dict[str, Any]) -> None:
    """Sets of about 24 box jumps are usual, so that 40 lie in the same range of reps; broad jumps are new."""
    assert "in one set" not in spike["usual"]
    new = told(crew(*[{**row, "movement": "broad_jump"} for row in jumps()])).row(0, named=True)
    assert new["usual"].endswith(" First broad jumps on record.")


def test_a_heavy_session_of_the_whole_squad_is_one_notice_that_names_it() -> None:
    found = told(crew(*[row for who in PEOPLE[:7] for row in jumps(who)]))
    assert found["athlete_id"].to_list() == [None]
    notice = found.row(0, named=True)
    assert notice["notice_id"] == f"squad:{week(SPIKE)}:jump_contacts"
    assert notice["headline"].startswith(
        "In the week of 2 March, 7 of 8 athletes lay above their own usual range of jump contacts."
    )
    assert "One notice stands for all of them. Furthest above: " in notice["usual"]
    assert notice["contributors"][0].startswith("The session on Tue 3 Mar, 6")
    assert notice["options"][1].startswith("Spread it: The session on Tue 3 Mar holds the largest part")
    assert notice["value"] > notice["upper"]


def test_who_departs_from_a_heavy_week_of_all_is_told_apart_in_other_work_alone() -> None:
    """Everybody jumps much more; one of them also pulls much more."""
    tuesday = MONDAY + timedelta(days=7 * SPIKE + 1)
    pulls = [{"athlete_id": "bo", "day": tuesday, "movement": "pull_up", "reps": 100.0}]
    before = [
        {"athlete_id": who, "day": MONDAY + timedelta(days=7 * number), "movement": "pull_up", "reps": 20.0}
        for number in range(WEEKS) for who in PEOPLE
    ]  # fmt: skip
    found = told(crew(*[row for who in PEOPLE for row in jumps(who)], *before, *pulls))
    assert set(found["athlete_id"]) == {None, "bo"}
    assert found.filter(pl.col("athlete_id") == "bo")["channel"].to_list() != ["jump_contacts"]


def test_a_heavy_week_of_the_whole_squad_that_is_named_with_its_amount_gives_no_notice() -> None:
    """160 jumps more on 72 a week: 3.2 times the usual (derived), which the name says."""
    amounts = crew(*[row for who in PEOPLE for row in jumps(who)])
    assert not told(amounts).is_empty()
    assert told(amounts, labels=named("overload +220 %")).is_empty()


def test_it_says_what_is_not_known(spike: dict[str, Any]) -> None:
    assert spike["not_known"].startswith(
        "All seven days of the week are on record. 3 days without a record counted as rest."
    )
    assert spike["not_known"].endswith("Work outside the log is not seen.")


def test_it_offers_to_leave_spread_scale_and_swap(spike: dict[str, Any]) -> None:
    leave, spread, scale, swap = spike["options"]
    assert leave == "Leave it: if the week was meant to be like this, name it in the calendar, with its amount."
    assert re.fullmatch(
        r"Spread it: Tue 3 Mar alone held 7\d % \(160 contacts\); a second day could take part of it\.", spread
    )
    assert re.fullmatch(
        r"Scale it: \d+ contacts next time, about 6[05] % less, is the upper edge of the usual range\.", scale
    )
    assert swap == "Swap it: 1 step-up for each box jump adds none of this work."


def test_it_says_how_often_and_who_decides(spike: dict[str, Any]) -> None:
    assert spike["how_often"] == (
        "If nothing had changed for anybody, at most about 1 week in 8 would bring any notice for the whole squad."
    )
    assert spike["scope"] == SCOPE_LINE


def test_a_quiet_squad_has_no_notice() -> None:
    assert told(crew()).is_empty()


def test_a_slow_rise_is_told_once_and_again_only_after_a_while() -> None:
    found = told(crew(creeping="eli"))
    assert set(found["athlete_id"]) == {"eli"}
    slow = found.filter(pl.col("notice_id").str.ends_with(":slow")).sort("week")
    assert slow.height in (1, 2)
    first = slow.row(0, named=True)
    assert week(15) < first["week"] <= week(24)
    assert re.match(
        r"Eli's .* crept up: the four weeks to the week of .* lay around .*, 1\.\d times the ", first["headline"]
    )
    assert "Each week alone may lie inside its own marks, which follow slowly." in first["usual"]
    assert first["channel"] in {"hip_hinge_reps", "hip_hinge_kg", "hip_opening", "grip_s", "high_rep"}


def test_a_named_taper_and_the_week_after_give_no_notice_by_themselves() -> None:
    """Half of the usual work in the named week, and the usual again after it."""
    efforts, sessions, people = crew()
    inside = pl.col("date").is_between(MONDAY + timedelta(days=7 * SPIKE), MONDAY + timedelta(days=7 * SPIKE + 6))
    halved = efforts.with_columns(reps=pl.when(inside).then(pl.col("reps") / 2).otherwise("reps"))
    assert told((halved, sessions, people), labels=named("taper")).is_empty()


def test_what_lies_far_beyond_a_name_is_told_all_the_same() -> None:
    """Jumps at about 3.2 times the usual: in a taper, after a taper, and in an overload of a tenth."""
    found = told(crew(*jumps()), labels=named("taper")).row(0, named=True)
    assert found["week"] == week(SPIKE)
    assert found["usual"].endswith("The calendar calls the week “taper”, and what is expected goes by that.")
    assert week(SPIKE + 1) in told(crew(*jumps(number=SPIKE + 1)), labels=named("taper"))["week"].to_list()
    assert week(SPIKE) in told(crew(*jumps()), labels=named("overload +10 %"))["week"].to_list()
    assert told(crew(*jumps()), labels=named("overload +220 %")).is_empty()


def test_a_name_of_ones_own_leaves_open_what_is_to_be_expected() -> None:
    assert told(crew(*jumps()), labels=named("jumping week")).is_empty()


def named(label: str) -> pl.DataFrame:
    monday = MONDAY + timedelta(days=7 * SPIKE)
    return CALENDAR_LABEL.build(
        [{"label_id": "1", "date_from": monday, "date_to": monday + timedelta(days=6), "label": label}]
    )


def test_what_lies_beyond_the_budget_is_kept_and_marked() -> None:
    found = told(crew(*jumps("cai"), *jumps("dag"), *jumps("hel")), MarkSettings(budget=2))
    assert found["rank"].to_list() == [1, 2, 3]
    assert found["within_budget"].to_list() == [True, True, False]


def test_days_that_are_not_known_are_said() -> None:
    ill = DAY_STATE.build([{"athlete_id": "cai", "date": MONDAY + timedelta(days=7 * SPIKE + 3), "state": "ill"}])
    found = told(crew(*jumps()), states=ill).row(0, named=True)
    assert found["not_known"].startswith("1 day of the week is not fully known: it may be more.")


def test_no_notice_in_an_athletes_first_eight_weeks() -> None:
    assert told(crew(*jumps(number=6))).filter(pl.col("week") == week(6)).is_empty()
