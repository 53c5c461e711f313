"""Check-ins and plans after a gap as people use them: one tap, four questions, names in a list, a plan to settle."""

from __future__ import annotations

import polars as pl
import pytest
from playwright.sync_api import expect

from keelmark.service import Squad
from tests.dashboards.browsing import Watched
from tests.dashboards.standing import stands_up

pytestmark = pytest.mark.browser

SIGNE = "/check-ins?athlete=signe&week=2026-W19&channel=lumbar_moment"
MAREK = "/athlete?athlete=marek&week=2026-W11"


def test_the_page_reads_well_for_everybody(looking: Watched) -> None:
    looking.visit(SIGNE)
    looking.page.get_by_text("Something bothered me", exact=True).click()
    looking.page.get_by_text("Only in part, because of it").click()
    stands_up(looking.page)


def test_the_plan_reads_well_for_everybody(looking: Watched) -> None:
    looking.visit(MAREK)
    looking.page.get_by_text("Change and settle the plan").click()
    looking.page.get_by_text("Set single amounts by hand").click()
    stands_up(looking.page)


def test_one_tap_says_that_all_is_well(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit("/check-ins?athlete=bridie&week=2026-W19")
    expect(page.locator(".answer-group", has_text="No answer yet")).to_contain_text("Bridie")
    page.get_by_role("button", name="All is well").click()
    expect(page.locator("#shell-said")).to_contain_text("Noted for Bridie, week 19: all is well. Thank you.")
    expect(page.locator(".answer-group", has_text="All is well")).to_contain_text("Bridie")
    kept = crew.check_ins("bridie").filter(pl.col("week") == "2026-W19").row(-1, named=True)
    assert (kept["area"], kept["severity"]) == (None, 0.0)


def test_who_was_bothered_is_asked_what_fits_the_first_answer(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit("/check-ins?athlete=lowri&week=2026-W19")
    page.get_by_text("Something bothered me", exact=True).click()
    amount, symptoms = page.locator(".check-in-amount"), page.locator(".check-in-symptoms")
    expect(symptoms).to_be_hidden()
    page.get_by_text("No, because of it").click()
    expect(symptoms).to_be_visible()
    expect(amount).to_be_hidden()
    page.get_by_text("Only in part, because of it").click()
    expect(amount).to_be_visible()
    amount.get_by_text("A little", exact=True).click()
    page.locator(".check-in-performance").get_by_text("Clearly worse").click()
    symptoms.get_by_text("Clearly", exact=True).click()

    page.get_by_role("button", name="Save").click()
    expect(page.locator("#shell-said")).to_contain_text("No part of the body is chosen")
    assert crew.check_ins("lowri").filter(pl.col("week") == "2026-W19").is_empty()

    page.get_by_role("textbox", name="Where was it?").click()
    page.get_by_role("option", name="Wrist").click()
    page.get_by_role("button", name="Save").click()
    # Derived: 17 + 8 + 17 + 17.
    expect(page.locator(".check-in .decided")).to_contain_text("wrist (59 of 100)")
    kept = crew.check_ins("lowri").row(-1, named=True)
    assert (kept["area"], kept["severity"]) == ("wrist", 59.0)


def test_a_hidden_answer_is_not_kept(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit("/check-ins?athlete=wren&week=2026-W19")
    page.get_by_text("Something bothered me", exact=True).click()
    page.get_by_text("Only in part, because of it").click()
    page.locator(".check-in-amount").get_by_text("Most of it").click()
    page.get_by_text("No, because of it").click()
    page.locator(".check-in-symptoms").get_by_text("A little", exact=True).click()
    page.get_by_role("textbox", name="Where was it?").click()
    page.get_by_role("option", name="Ankle").click()
    page.get_by_role("button", name="Save").click()
    # Derived: 25 + 25 + 25 + 8.
    expect(page.locator(".check-in .decided")).to_contain_text("ankle (83 of 100)")
    assert '"amount": null' in crew.check_ins("wren").row(-1, named=True)["answers"]
    before = crew.check_ins("wren").height
    page.get_by_role("button", name="Take my last answer back").click()
    expect(page.locator(".check-in .decided")).to_have_count(0)
    expect(page.get_by_text("The last answer is taken back.")).to_be_visible()
    assert crew.check_ins("wren").height == before - 1


def test_complaints_stand_as_lanes_under_the_work_of_the_same_weeks(looking: Watched) -> None:
    page = looking.page
    looking.visit(SIGNE)
    lane = page.locator(".lanes tr", has_text="Lower back")
    expect(lane.locator(".disc-number")).to_have_text(["16", "32", "41", "24"])
    expect(page.get_by_text("order is not cause")).to_be_visible()
    expect(page.locator("main")).to_contain_text(
        "Lower back: told from the week of 13 April, 4 weeks, at most 41 of 100"
    )
    page.locator(".lanes td.chosen a.cell").click()
    expect(page.locator("h1")).to_contain_text("Signe Week 19")


def test_the_squad_is_told_how_much_is_missing_and_never_about_one_person(looking: Watched) -> None:
    looking.visit(SIGNE)
    panel = looking.page.get_by_role("region", name="Work and complaints in this squad")
    expect(panel).to_contain_text("It says nothing about one person")
    expect(panel).to_contain_text(
        "Back, after weeks with more lumbar loading: so far there are 12 of 30 new complaints."
    )
    expect(panel.locator(".lags .ratio")).to_have_count(3)
    assert "%" not in panel.inner_text()


def test_a_plan_is_settled_by_its_owner(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit(MAREK)
    panel = page.locator(".return-plan")
    expect(panel).to_contain_text("never a clearance")
    expect(panel).to_contain_text("Caterisano")
    page.get_by_text("Change and settle the plan").click()
    page.get_by_text("Set single amounts by hand").click()
    page.get_by_label("Week of 9 March", exact=True).fill("40")
    page.get_by_label("Knee dominant, week of 16 March").fill("99")
    page.get_by_label("Who sees to it").fill("Dagny")
    page.get_by_role("button", name="Save the plan").click()
    expect(panel.locator(".decided")).to_contain_text("Dagny sees to it.")
    kept = crew.return_plan("marek", "2026-W11")
    assert kept is not None
    assert [step.share for step in kept.steps] == [0.4, 0.7, 0.8, 0.9]
    assert dict(kept.steps[1].by_hand) == {"knee_reps": 99.0}
    assert crew.return_plan("marek", "2026-W20") is None


def test_an_empty_share_is_not_taken_for_nothing(looking: Watched) -> None:
    page = looking.page
    looking.visit("/athlete?athlete=nadia&week=2026-W10")
    page.get_by_text("Change and settle the plan").click()
    page.get_by_label("Week of 2 March", exact=True).fill("")
    page.get_by_role("button", name="Save the plan").click()
    expect(page.locator("#athlete-return-said")).to_contain_text("Write a share for each week first.")


def test_nobody_without_a_gap_is_offered_a_plan(looking: Watched) -> None:
    looking.visit("/athlete?athlete=tove&week=2026-W23")
    expect(looking.page.locator(".return-plan")).to_have_count(0)


def test_a_decision_about_a_complaint_is_recorded_beside_it(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit(SIGNE)
    complaint = page.locator(".complaint-list > li", has_text="Lower back")
    complaint.get_by_text("Record a decision about the lower back").click()
    complaint.get_by_role("button", name="Record the decision").click()
    expect(complaint.get_by_role("status")).to_contain_text("Choose what is decided first.")
    complaint.get_by_role("textbox", name="What is decided").click()
    page.get_by_role("option", name="Talk it over before the next session").click()
    complaint.get_by_label("Who sees to it").fill("Dagny")
    complaint.get_by_role("button", name="Record the decision").click()
    expect(complaint.get_by_role("status")).to_contain_text("Recorded: Talk it over before the next session.")
    kept = crew.complaint_decisions("signe").row(0, named=True)
    assert (kept["area"], kept["owner"]) == ("lumbosacral", "Dagny")
    looking.visit(SIGNE)
    expect(complaint.locator(".decided")).to_contain_text("Dagny sees to it.")
