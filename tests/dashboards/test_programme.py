"""The page Programme in a browser: typing fills the table, changes go into the text, versions stand side by side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from keelmark.service import Squad
from tests.dashboards.browsing import Watched, served, watch
from tests.dashboards.standing import stands_up

pytestmark = pytest.mark.browser

TWO_DAYS = "Mon\n5x5 back squat 80/55 kg\n\nTue\n8 x 8 push press 40/30 kg\n\nWed\n9 x 7 overhead squat 40/30 kg"


@pytest.fixture
def alone(chromium: Browser, tmp_path: Path) -> Iterator[Watched]:
    """The page over a squad of which nothing is logged."""
    with Squad.open(f"sqlite:///{tmp_path / 'new.sqlite'}") as squad, served(squad) as home:
        context = chromium.new_context(viewport={"width": 1440, "height": 1000})
        watched = watch(context.new_page(), home)
        yield watched
        context.close()
        assert watched.outside == []
        assert watched.complaints == []


def _write(looking: Watched, text: str) -> None:
    """Type a week from the keyboard, starting at the label."""
    looking.page.get_by_label("Sessions by day").focus()
    looking.page.keyboard.press("Control+A")
    looking.page.keyboard.insert_text(text)
    looking.page.locator("#programme-comes table").wait_for()
    looking.page.wait_for_load_state("networkidle")


def test_typing_fills_the_table(alone: Watched) -> None:
    alone.visit("/programme")
    expect(alone.page.locator("#programme-comes")).to_contain_text("The table fills while you write.")
    _write(alone, "Mon\n5 x 5 deadlift 100/70 kg")
    row = alone.page.locator("#programme-comes tbody tr", has_text="Tonnage").first
    expect(row).to_contain_text("2\u202f500")
    _write(alone, "Mon\n5 x 5 deadlift 60/40 kg")
    expect(row).to_contain_text("1\u202f500")
    expect(alone.page.locator("#programme-squad")).to_contain_text("two readers of the board stand here")


def test_a_clash_is_mended_in_the_text(looking: Watched) -> None:
    looking.visit("/programme")
    _write(looking, TWO_DAYS)
    clash = looking.page.locator(".clash")
    expect(clash).to_have_count(1)
    expect(clash).to_contain_text("locked-out shoulders again, one day apart")
    clash.get_by_role("button", name="What could be changed?").press("Enter")
    expect(clash.locator(".repairs li")).not_to_have_count(0)
    before = looking.page.get_by_label("Sessions by day").input_value()
    clash.get_by_role("button", name="Make this change").first.press("Enter")
    expect(looking.page.locator("#programme-clashes")).to_contain_text("None found.")
    assert looking.page.get_by_label("Sessions by day").input_value() != before


def test_versions_stand_side_by_side_and_can_be_tried(looking: Watched) -> None:
    looking.visit("/programme")
    _write(looking, "Mon\n10 x 10 deadlift 100/70 kg\n\nThu\n10 x 10 box jumps 60/50 cm")
    looking.page.get_by_role("button", name="Look for versions").press("Enter")
    looking.page.locator(".boards").first.wait_for(timeout=60_000)
    expect(looking.page.locator(".versions-of").first.locator(".version")).not_to_have_count(1)
    expect(looking.page.locator("#programme-found")).to_contain_text("Proven: ")
    looking.page.get_by_role("textbox", name="And does").click()
    looking.page.get_by_role("option", name="version B, where there is one").click()
    looking.page.wait_for_load_state("networkidle")
    rows = looking.page.locator("#programme-what-if tbody tr")
    tonnage = rows.filter(has_text="Tonnage").first
    usual = tonnage.locator("td").first.inner_text()
    expect(tonnage.locator("td").nth(1)).not_to_have_text(usual)
    assert rows.count() > 10


def test_one_session_is_explained_and_a_calendar_saved(looking: Watched) -> None:
    looking.visit("/programme")
    _write(looking, "Thu\nEvery 2:00 x 10: 10 power snatch 35/25 kg, 5 box jumps 60/50 cm")
    looking.page.get_by_role("textbox", name="Session", exact=True).click()
    looking.page.get_by_role("option", name="Thursday").click()
    expect(looking.page.locator("#programme-explained")).to_contain_text("keep the trunk as it was on the first rep")
    with looking.page.expect_download() as saved:
        looking.page.get_by_role("button", name="Save as calendar file").click()
    assert Path(saved.value.path()).read_bytes().startswith(b"BEGIN:VCALENDAR")


def test_a_filled_page_has_no_violation_and_does_not_scroll_sideways(looking: Watched) -> None:
    looking.visit("/programme")
    looking.page.get_by_role("button", name="Put in an example").click()
    looking.page.locator("#programme-comes table").wait_for()
    looking.page.wait_for_load_state("networkidle")
    looking.opened()
    stands_up(looking.page)


def test_weeks_ahead_follow_their_fields_and_are_kept(looking: Watched, crew: Squad) -> None:
    """Derived: 10 000 kg, a twentieth more is 10 500, then 11 025; the fourth is 0.6 x 11 576.25 = 6 946."""
    looking.visit("/programme")
    rows = looking.page.locator("#programme-ahead table").first.locator("tbody tr")
    expect(rows).to_have_count(8)
    for at, figure in enumerate(("10\u202f000", "10\u202f500", "11\u202f025", "6\u202f946")):
        expect(rows.nth(at).locator("td").nth(1)).to_have_text(figure)
    looking.page.get_by_role("textbox", name="Number of weeks").fill("3")
    expect(rows).to_have_count(3)
    looking.page.get_by_role("textbox", name="Beginning with").click()
    looking.page.get_by_role("option", name="Week 23").click()
    expect(rows.first.locator("td").nth(2)).not_to_have_text("")
    looking.page.get_by_role("button", name="Keep this ramp").press("Enter")
    kept = looking.page.locator("#programme-ahead .repairs li")
    expect(kept).to_have_count(1)
    expect(kept).to_contain_text("Tonnage: 3 weeks from Monday 1 June")
    looking.visit("/programme")
    expect(kept).to_have_count(1)
    with looking.page.expect_download() as saved:
        looking.page.get_by_role("button", name="Save weeks and named days").click()
    assert b"Meant: Tonnage" in Path(saved.value.path()).read_bytes()
    kept.get_by_role("button", name="Take back").press("Enter")
    expect(kept).to_have_count(0)
    week = "\n\n".join(f"{day}\n5 x 5 back squats at 60 kg" for day in ("Mon 8 June 2026", "Tue", "Wed", "Thu", "Fri"))
    _write(looking, week)
    expect(looking.page.locator("#programme-comes")).to_contain_text("Knee dominant")
    looking.page.get_by_role("button", name="Keep the planned week as it is meant").press("Enter")
    expect(looking.page.locator("#programme-season-said")).to_contain_text("is kept with its text")
    expect(kept.first).to_contain_text("8 June")
    assert crew.ahead.weeks()["text"].to_list() == [week]
    while kept.count():
        left = kept.count()
        kept.first.get_by_role("button", name="Take back").press("Enter")
        expect(kept).to_have_count(left - 1)


def test_the_rounds_of_an_open_clock_can_be_typed(alone: Watched) -> None:
    alone.visit("/programme")
    _write(alone, "Mon\nAMRAP 11\n10 air squats\n10 push-ups")
    told = alone.page.locator(".assumed")
    expect(told).to_contain_text("about 13 rounds (")
    field = alone.page.get_by_label("Rounds to expect, Monday")
    field.fill("6")
    field.press("Tab")
    text = alone.page.get_by_label("Sessions by day")
    expect(text).to_have_value("Mon\nAMRAP 11\n10 air squats\n10 push-ups\nGoal: 6 rounds")
    expect(told).to_contain_text("Monday: 6 rounds, as the board says")
    expect(alone.page.locator("#programme-comes tbody tr", has_text="Knee dominant").first).to_contain_text("60")
    field.fill("")
    field.press("Tab")
    expect(text).to_have_value("Mon\nAMRAP 11\n10 air squats\n10 push-ups")


def test_an_amount_is_agreed_and_taken_back(looking: Watched) -> None:
    looking.visit("/programme")
    expect(looking.page.locator("#programme-limits")).to_contain_text("Nothing is agreed with anybody.")
    looking.page.get_by_text("Agree on another amount").click()
    looking.page.get_by_role("textbox", name="Athlete", exact=True).click()
    looking.page.get_by_role("option", name="Tove").click()
    looking.page.locator("#programme-limit-kind").click()
    looking.page.get_by_role("option", name="Jump contacts (contact)", exact=True).click()
    looking.page.get_by_label("At most, a week").fill("20")
    looking.page.get_by_role("button", name="Keep it").press("Enter")
    expect(looking.page.locator("#programme-said")).to_contain_text("Nobody is named")
    looking.page.get_by_label("Agreed with").fill("Tove and Sam")
    looking.page.get_by_role("button", name="Keep it").press("Enter")
    kept = looking.page.locator("#programme-limits li")
    expect(kept).to_contain_text("Tove: jump contacts at most 20 contacts a week")
    expect(kept).to_contain_text("agreed with Tove and Sam")
    _write(looking, "Mon\n10 x 10 box jumps 60/50 cm")
    expect(looking.page.locator("#programme-squad")).to_contain_text("Tove: jump contacts at most 20")
    kept.get_by_role("button", name="Take back").press("Enter")
    expect(looking.page.locator("#programme-limits")).to_contain_text("Nothing is agreed with anybody.")
    expect(looking.page.locator("#programme-squad")).not_to_contain_text("Tove: jump contacts at most 20")


def test_a_balance_that_is_meant_is_mended_in_the_text(alone: Watched) -> None:
    alone.visit("/programme")
    _write(alone, "Mon\n10 x 10 pull-ups\n3 x 10 strict press 20/15 kg")
    pairs = alone.page.locator("#programme-balance")
    expect(pairs).to_contain_text("one to 3.3")
    expect(pairs.get_by_role("button", name="What could be changed?")).to_have_count(0)
    alone.page.get_by_text("What you mean by balance").click()
    alone.page.get_by_role("textbox", name="Vertical push to vertical pull").click()
    alone.page.get_by_role("option", name="one to one").click()
    pairs.get_by_role("button", name="What could be changed?").press("Enter")
    changes = pairs.locator(".repairs > li")
    expect(changes.nth(1)).to_be_visible()
    expect(changes.first).to_contain_text("change (")
    changes.first.get_by_role("button", name="Make this change").press("Enter")
    expect(pairs).not_to_contain_text("one to 3.3")
