"""The coach's week: the review from top to bottom, a decision that is recorded and worked out again, a new starter."""

from __future__ import annotations

import datetime as dt
import re

import polars as pl
import pytest
from playwright.sync_api import expect

from keelmark.service import Squad
from tests.dashboards.browsing import Watched

pytestmark = pytest.mark.browser

WORKING = 30_000
"""How long working out a season may take on a busy machine [ms]."""


def busiest_week(crew: Squad) -> str:
    """The week with the most notices in the demo."""
    return str(crew.season().notices["week"].value_counts(sort=True)["week"][0])


def test_a_coach_reviews_a_week_from_top_to_bottom(looking: Watched, crew: Squad) -> None:
    page, week = looking.page, busiest_week(crew)
    looking.visit(f"/?week={week}")
    headings = page.locator("main h2").all_inner_texts()
    assert "athletes with every day on record" in headings[0]
    assert headings.index("What stands out") < headings.index("What still stands") < headings.index("The season")
    card = page.locator("article.notice").first
    for words in ("What made it", "What is not known", "What could be done"):
        expect(card.get_by_role("heading", name=words)).to_be_visible()
    card.get_by_role("button", name="Useful", exact=True).click()
    expect(card.get_by_text("Noted as useful.")).to_be_visible()
    stands = page.locator("#squad-still-stands")
    expect(stands.get_by_role("heading", name="Complaints")).to_be_visible()
    page.get_by_role("textbox", name="Group").click()
    page.get_by_role("option", name="inshore").click()
    page.wait_for_url("**group=inshore**")
    inshore = crew.season().athletes.filter(pl.col("group") == "inshore").height
    expect(page.locator("table.strip tbody tr")).to_have_count(inshore)
    page.get_by_role("link", name="The week on one page, to print or save").click()
    expect(page.locator(".paper")).to_be_visible()


def test_complaints_stand_by_how_they_are_and_lead_to_the_athlete(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit("/?week=2026-W23")
    new = page.locator("#squad-still-stands li", has_text="New this week")
    expect(new).to_contain_text("Tove")
    new.get_by_role("link", name="Tove").first.click()
    expect(page).to_have_url(re.compile(r"/check-ins\?.*athlete=tove"))


def test_a_decision_is_recorded_shown_until_its_day_and_worked_out_again(looking: Watched, crew: Squad) -> None:
    page, week = looking.page, busiest_week(crew)
    monday = dt.date.fromisocalendar(int(week[:4]), int(week[-2:]), 1)
    looking.visit(f"/?week={week}")
    card = page.locator("article.notice").first
    headline = card.locator("h3").inner_text()
    card.get_by_text("Record a decision").click()
    card.get_by_role("textbox", name="What is decided").click()
    page.get_by_role("option").first.click()
    card.get_by_label("Who sees to it").fill("Dilys")
    review = card.get_by_label("Looked at again on")
    review.fill(f"{monday + dt.timedelta(days=8):%d %b %Y}")
    review.press("Tab")
    card.get_by_role("button", name="Record the decision").click()
    expect(card.locator(".remark")).to_contain_text("Recorded:")
    kept = crew.decisions().filter(pl.col("option").is_not_null()).row(-1, named=True)
    assert (kept["owner"], kept["review_date"]) == ("Dilys", monday + dt.timedelta(days=8))
    page.reload()
    looking.settle()
    due = page.locator("#squad-still-stands li", has_text="Dilys sees to it.")
    expect(due).to_contain_text(headline)
    due.get_by_role("button").click()
    said = due.locator(".remark")
    expect(said).to_contain_text("From the records of that day, the same figures come out (value ", timeout=WORKING)
    assert crew.replay(kept["decision_id"]).same


def test_a_new_starter_is_added_by_name_and_has_a_week_without_a_usual_range(looking: Watched, crew: Squad) -> None:
    page, before = looking.page, crew.season().athletes.height
    looking.visit("/log")
    panel = page.locator("section", has=page.get_by_role("heading", name="The people"))
    panel.get_by_text("Add one person").click()
    panel.get_by_label("Name").fill("Kensa")
    panel.get_by_label("Group, if there are any").fill("inshore")
    panel.get_by_role("button", name="Add this person").click()
    expect(page.locator(".remark.done")).to_contain_text("Stored.", timeout=WORKING)
    expect(panel).to_contain_text(f"{before + 1} people in the squad.")
    looking.visit("/athlete?athlete=kensa")
    expect(page.locator("h1")).to_contain_text("Kensa")
    expect(page.locator("main")).to_contain_text("No week of this work is on record yet.")
    expect(page.locator("#athlete-chart")).to_have_count(0)
    looking.visit("/log")
    page.locator("#log-imports tr, #log-imports li", has_text="one person.csv").get_by_text("Take back").first.click()
    page.get_by_role("button", name="Yes, take these rows out").first.click()
    expect(page.locator(".remark.done")).to_contain_text("Taken back.", timeout=WORKING)
    assert crew.season().athletes.height == before


def test_a_list_of_people_with_faults_tells_each_and_stores_nothing(looking: Watched, crew: Squad) -> None:
    page, before = looking.page, crew.season().athletes.height
    looking.visit("/log")
    text = "name,standard,body mass kg\nKensa,odd,60\nJago,heavier,much\n"
    file = {"name": "people.csv", "mimeType": "text/csv", "buffer": text.encode()}
    page.set_input_files(".upload.people input[type=file]", files=[file])
    said = page.locator("#log-people-said")
    expect(said).to_contain_text("2 cells cannot be read.")
    expect(said).to_contain_text("line 2, column standard: the cell is 'odd'")
    expect(said).to_contain_text("line 3, column body mass kg: the cell is 'much'")
    assert crew.season().athletes.height == before
