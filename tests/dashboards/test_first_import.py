"""A new squad's way from nothing to its first week and back, on the real service and a real log."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from keelmark.service import Squad
from tests.dashboards.browsing import Watched, served, watch

pytestmark = pytest.mark.browser

LOGS = Path(__file__).resolve().parents[1] / "corpus" / "logs"
LOG = LOGS / "rowing_club.csv"
TRUTH = json.loads((LOGS / "rowing_club.truth.json").read_text(encoding="utf-8"))
"""What the log holds, written down when it was made: see the corpus."""


@pytest.fixture
def beginning(chromium: Browser, tmp_path: Path) -> Iterator[Watched]:
    """The pages of a squad that knows its people and nothing else."""
    roster = tmp_path / "roster.csv"
    roster.write_text("name\n" + "\n".join(TRUTH["roster"]), encoding="utf-8")
    with Squad.open(f"sqlite:///{tmp_path}/squad.sqlite") as squad:
        squad.import_roster(roster)
        with served(squad) as home:
            context = chromium.new_context(viewport={"width": 1440, "height": 1000})
            yield watch(context.new_page(), home)
            context.close()


def test_the_counts_on_the_page_are_those_of_the_log(beginning: Watched) -> None:
    page = beginning.page
    beginning.visit("/")
    expect(page.locator("h1")).to_have_text("First steps")
    page.get_by_role("link", name="Open the Log page").click()
    page.set_input_files(".upload input[type=file]", files=[str(LOG)])
    expect(page.locator("#log-preview h3")).to_have_text("What rowing_club.csv would bring")
    told = dict(
        zip(page.locator(".counts dt").all_inner_texts(), page.locator(".counts dd").all_inner_texts(), strict=True)
    )
    assert int(told["rows read"]) == TRUTH["rows_total"]
    assert int(told["accepted"]) == TRUTH["good_rows"]
    assert int(told["set aside"]) == TRUTH["bad_rows_count"]
    assert int(told["already there or twice in the file"]) == TRUTH["duplicate_count"]
    assert int(told["blank"]) == TRUTH["blank_rows_count"]
    rows = page.locator(".preview table").first.locator("tbody th[scope=row]").all_inner_texts()
    assert [int(row) for row in rows] == [bad["row"] for bad in TRUTH["bad_rows"]]


def test_a_log_is_stored_looked_at_and_taken_back(beginning: Watched) -> None:
    page = beginning.page
    beginning.visit("/log")
    page.set_input_files(".upload input[type=file]", files=[str(LOG)])
    page.get_by_role("button", name=f"Store {TRUTH['good_rows']} good rows").click()
    expect(page.locator(".remark.done")).to_contain_text("Stored.")
    page.get_by_role("link", name="each row").first.click()
    expect(page.locator(".import-rows")).to_contain_text(f"{TRUTH['rows_total']} rows of this import")
    page.get_by_role("link", name="Squad").click()
    expect(page.locator("table.strip tbody tr")).to_have_count(len(TRUTH["roster"]))
    page.get_by_role("link", name="Log", exact=True).click()
    page.get_by_text("Take back").first.click()
    page.get_by_role("button", name="Yes, take these rows out").first.click()
    expect(page.locator(".remark.done")).to_contain_text("Taken back.")
    page.get_by_role("link", name="Squad").click()
    expect(page.locator("h1")).to_have_text("First steps")


def test_days_told_on_the_page_are_known_from_then_on(beginning: Watched) -> None:
    page = beginning.page
    beginning.visit("/log")
    page.set_input_files(".upload input[type=file]", files=[str(LOG)])
    page.get_by_role("button", name=f"Store {TRUTH['good_rows']} good rows").click()
    expect(page.locator(".remark.done")).to_contain_text("Stored.")
    beginning.visit("/log?week=2026-W03&athlete=mila")
    page.get_by_role("textbox", name="What is known").click()
    page.get_by_role("option", name="rest day").click()
    last = page.get_by_role("textbox", name="Last day")
    last.fill("Sun 18 Jan 2026")
    last.press("Tab")
    before = page.locator(".state.unlogged").count()
    page.get_by_role("button", name="Save these days").click()
    expect(page.locator(".remark.done")).to_contain_text("Saved for Mila: Monday 12 January to Sunday 18 January")
    mila = page.locator("table.plain tr", has=page.get_by_role("rowheader", name="Mila"))
    expect(mila.locator(".state.unlogged")).to_have_count(0)
    assert page.locator(".state.unlogged").count() < before


def test_a_broken_file_leaves_the_squad_as_it_was(beginning: Watched) -> None:
    page = beginning.page
    beginning.visit("/log")
    junk = {"name": "photo.csv", "mimeType": "text/csv", "buffer": bytes(range(256)) * 40}
    page.set_input_files(".upload input[type=file]", files=[junk])
    expect(page.locator(".remark.refused")).to_contain_text("Nothing was stored.")
    beginning.visit("/")
    expect(page.locator("h1")).to_have_text("First steps")
