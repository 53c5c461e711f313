"""What stands of a week, and how complaints begin, last and end. Silence never ends one."""

from __future__ import annotations

import polars as pl

from keelmark.health import Answers, complaint_episodes, weeks_said
from tests.health.made import monday, said


def episodes(*told: tuple[str, int, str | None], as_of: int) -> list[dict[str, object]]:
    return complaint_episodes(weeks_said(said(*told)), monday(as_of)).rows(named=True)


def test_the_last_word_on_an_area_stands() -> None:
    weeks = weeks_said(said(("bo", 0, "knee", Answers(2, 2, 2, 2)), ("bo", 0, "knee", Answers(1, 0, 0, 1))))
    assert weeks["severity"].to_list() == [16.0]
    assert weeks["substantial"].to_list() == [False]


def test_two_areas_of_one_week_both_stand() -> None:
    weeks = weeks_said(said(("bo", 0, "knee"), ("bo", 0, "foot")))
    assert weeks["area"].to_list() == ["foot", "knee"]


def test_all_well_takes_back_what_was_said_before_it_and_not_after() -> None:
    assert weeks_said(said(("bo", 0, "knee"), ("bo", 0, None)))["area"].to_list() == [None]
    assert weeks_said(said(("bo", 0, None), ("bo", 0, "knee")))["area"].to_list() == ["knee"]


def test_new_then_persisting_then_resolved() -> None:
    told = (("bo", 0, None), ("bo", 1, "knee"), ("bo", 2, "knee"), ("bo", 3, None))
    states = [row["state"] for week in (1, 2, 3) for row in episodes(*told, as_of=week)]
    assert states == ["new", "persisting", "resolved"]
    (whole,) = episodes(*told, as_of=3)
    assert (whole["first"], whole["last"], whole["over"], whole["weeks"]) == (monday(1), monday(2), monday(3), 2)


def test_silence_is_no_answer_and_resolves_nothing() -> None:
    (row,) = episodes(("bo", 1, "knee"), as_of=4)
    assert (row["state"], row["over"]) == ("no_answer", None)


def test_a_complaint_bridges_a_short_silence() -> None:
    (row,) = episodes(("bo", 0, "knee"), ("bo", 4, "knee"), as_of=4)
    assert (row["weeks"], row["silent_weeks"], row["state"]) == (2, 3, "persisting")


def test_after_a_long_silence_it_is_told_as_coming_back_and_the_first_has_no_known_end() -> None:
    first, second = episodes(("bo", 0, "knee"), ("bo", 5, "knee"), as_of=5)
    assert (first["state"], first["over"]) == ("no_answer", None)
    assert (second["number"], second["state"]) == (2, "new")


def test_what_was_resolved_comes_back_under_a_new_number() -> None:
    rows = episodes(("bo", 0, "knee"), ("bo", 1, None), ("bo", 2, "knee"), as_of=2)
    assert [(row["number"], row["state"]) for row in rows] == [(1, "resolved"), (2, "new")]


def test_another_area_answered_resolves_the_first() -> None:
    rows = episodes(("bo", 0, "knee"), ("bo", 1, "foot"), as_of=1)
    assert {row["area"]: row["state"] for row in rows} == {"knee": "resolved", "foot": "new"}


def test_later_weeks_are_not_looked_at() -> None:
    (row,) = episodes(("bo", 0, "knee"), ("bo", 1, None), as_of=0)
    assert row["state"] == "new"


def test_athletes_are_kept_apart() -> None:
    rows = episodes(("bo", 0, "knee"), ("ida", 1, None), as_of=1)
    assert [(row["athlete_id"], row["state"]) for row in rows] == [("bo", "no_answer")]


def test_answers_of_another_scale_keep_their_severity_and_are_not_read() -> None:
    other = said(("bo", 0, "knee")).with_columns(scale_id=pl.lit("another/1"), answers=pl.lit('{"pain": 3}'))
    (row,) = weeks_said(other).rows(named=True)
    assert (row["severity"], row["substantial"]) == (24.0, None)
