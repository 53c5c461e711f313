"""The twelve ways that people go through the pages: each is walked by a test in a real browser, named here."""

from __future__ import annotations

import importlib
import inspect

import pytest

JOURNEYS = {
    "log a class of 14": ("test_whiteboard", "test_a_class_of_fourteen_with_three_exceptions"),
    "athlete, all well": ("test_check_ins", "test_one_tap_says_that_all_is_well"),
    "athlete, a complaint": ("test_check_ins", "test_who_was_bothered_is_asked_what_fits_the_first_answer"),
    "weekly review": ("test_weekly_review", "test_a_coach_reviews_a_week_from_top_to_bottom"),
    "notice to row": ("test_journeys", "test_a_notice_leads_to_the_same_figure_and_rows"),
    "decision and replay": (
        "test_weekly_review",
        "test_a_decision_is_recorded_shown_until_its_day_and_worked_out_again",
    ),
    "import with faults and undo": ("test_first_import", "test_a_log_is_stored_looked_at_and_taken_back"),
    "programme a week": ("test_programme", "test_a_clash_is_mended_in_the_text"),
    "return plan": ("test_check_ins", "test_a_plan_is_settled_by_its_owner"),
    "hand-over": ("test_papers", "test_a_hand_over_from_consent_to_agreed_limits"),
    "new starter": (
        "test_weekly_review",
        "test_a_new_starter_is_added_by_name_and_has_a_week_without_a_usual_range",
    ),
    "data rights": ("test_papers", "test_somebody_takes_everything_away_and_is_erased_with_a_proof"),
}
"""What somebody wants to do, and the file and test that do it."""
BROWSING = {"looking", "trying", "reading", "coach", "alone", "beginning"}
"""Fixtures that hand a test a page in a browser."""


def test_there_are_twelve() -> None:
    assert len(JOURNEYS) == 12
    assert len(set(JOURNEYS.values())) == 12


@pytest.mark.parametrize("journey", JOURNEYS)
def test_each_journey_is_walked_in_a_browser(journey: str) -> None:
    file, name = JOURNEYS[journey]
    module = importlib.import_module(f"tests.dashboards.{file}")
    walked = getattr(module, name, None)
    assert walked is not None, f"{journey}: {file} has no {name}"
    assert module.pytestmark.name == "browser"
    assert BROWSING & set(inspect.signature(walked).parameters), f"{journey}: opens no page"
    marks = {mark.name for mark in getattr(walked, "pytestmark", [])}
    assert not marks & {"skip", "skipif", "xfail"}, f"{journey}: is not always walked"
