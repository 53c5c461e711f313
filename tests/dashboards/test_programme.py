"""The page Programme in a browser: typing fills the table, changes go into the text, versions stand side by side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect

from keelmark.service import Squad
from tests.dashboards.browsing import Watched, served, watch

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
    expect(looking.page.locator("#programme-found")).to_contain_text("of the best choice")
    looking.page.get_by_role("textbox", name="And does").click()
    looking.page.get_by_role("option", name="version B, where there is one").click()
    looking.page.wait_for_load_state("networkidle")
    rows = looking.page.locator("#programme-what-if tbody tr")
    looking.page.wait_for_function(
        """[...document.querySelectorAll("#programme-what-if tbody tr")]
           .some(row => row.children[1].innerText !== row.children[2].innerText)"""
    )
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
    for scheme in ("light", "dark"):
        looking.page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        for width in (390, 1440):
            looking.page.set_viewport_size({"width": width, "height": 900})
            looking.page.wait_for_timeout(150)
            found = Axe().run(looking.page)
            assert found.violations_count == 0, f"{scheme} {width}: {found.generate_report()}"
            assert looking.page.evaluate("document.documentElement.scrollWidth") <= width


def test_weeks_ahead_follow_their_fields(looking: Watched) -> None:
    """Derived: 10 000 kg, a twentieth more is 10 500, then 11 025; the fourth is 0.6 x 11 576.25 = 6 946."""
    looking.visit("/programme")
    rows = looking.page.locator("#programme-ahead tbody tr")
    expect(rows).to_have_count(8)
    for at, figure in enumerate(("10\u202f000", "10\u202f500", "11\u202f025", "6\u202f946")):
        expect(rows.nth(at).locator("td").first).to_have_text(figure)
    looking.page.get_by_role("textbox", name="Number of weeks").fill("3")
    expect(rows).to_have_count(3)
    looking.page.get_by_role("textbox", name="Beginning with").click()
    looking.page.get_by_role("option", name="Week 23").click()
    expect(rows.first.locator("td").nth(1)).not_to_have_text("")
