"""States between two pages read as well as the pages do: nothing yet, a preview, a refusal, an open list."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Route, expect

from keelmark.service import Squad
from keelmark_dash.app import PAGES
from tests.dashboards.browsing import Watched, served, watch
from tests.dashboards.made_up import MadeUpSquad, season
from tests.dashboards.standing import stands_up, violations

pytestmark = pytest.mark.browser


def bring(watched: Watched, content: bytes) -> None:
    """Drop a file on the Log page."""
    watched.visit("/log")
    file = {"name": "spring.csv", "mimeType": "text/csv", "buffer": content}
    watched.page.set_input_files(".upload input[type=file]", files=[file])


def test_a_squad_without_records(trying: Watched, squad: MadeUpSquad) -> None:
    squad.now = squad.now.without_records()
    trying.visit("/")
    stands_up(trying.page)


@pytest.fixture(scope="module")
def bare(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    """The pages of a squad with nothing in its store: no people, no rows, no settings."""
    with (
        Squad.open(f"sqlite:///{tmp_path_factory.mktemp('bare') / 'bare.sqlite'}") as opened,
        served(opened) as home,
        chromium.new_context(viewport={"width": 390, "height": 900}) as context,
    ):
        yield watch(context.new_page(), home)


@pytest.mark.parametrize("path", [page.path for page in PAGES])
def test_a_page_of_a_squad_without_records(bare: Watched, path: str) -> None:
    bare.visit(path)
    bare.opened()
    assert violations(bare.page) == []
    assert bare.page.locator("main h1").count() == 1
    assert bare.page.evaluate("document.documentElement.scrollWidth") <= 390
    assert bare.page.locator(".remark.refused").count() == 0
    assert bare.complaints == bare.outside == []


def test_a_page_that_is_still_coming(trying: Watched) -> None:
    held: list[Route] = []
    trying.page.route("**/_dash-update-component*", lambda route: held.append(route))
    trying.page.goto(trying.home + "/")
    expect(trying.page.get_by_role("status").first).to_have_text("Reading the season …")
    expect(trying.page.locator("main")).to_have_class("busy")
    stands_up(trying.page)
    trying.page.unroute("**/_dash-update-component*")
    trying.settle()


@pytest.mark.filterwarnings("default")
def test_a_fault_before_the_first_page_stands(trying: Watched, squad: MadeUpSquad) -> None:
    def fails() -> None:
        message = "the mast came down"
        raise ValueError(message)

    squad.season = fails  # type: ignore[method-assign,assignment]
    trying.page.goto(trying.home + "/")
    expect(trying.page.locator(".remark.refused")).to_contain_text("something went wrong inside keelmark")
    expect(trying.page.locator("main h1")).to_have_text("This page could not be shown")
    expect(trying.page.get_by_text("Reading the season")).to_have_count(0)
    stands_up(trying.page)


def test_a_server_that_does_not_answer(trying: Watched) -> None:
    trying.page.route("**/_dash-update-component*", lambda route: route.abort())
    trying.page.goto(trying.home + "/")
    expect(trying.page.locator(".remark.refused")).to_contain_text("keelmark does not answer")
    expect(trying.page.locator("main h1")).to_have_text("This page could not be shown")
    trying.page.unroute("**/_dash-update-component*")
    trying.complaints.clear()


@pytest.mark.filterwarnings("default")
def test_a_fault_inside(trying: Watched, squad: MadeUpSquad) -> None:
    trying.visit("/care")

    def fails() -> None:
        message = "the mast came down"
        raise ValueError(message)

    squad.season = fails  # type: ignore[method-assign,assignment]
    trying.page.get_by_role("link", name="Squad").click()
    expect(trying.page.locator(".remark.refused")).to_contain_text("something went wrong inside keelmark")
    stands_up(trying.page)


def test_a_preview_with_faults(trying: Watched) -> None:
    bring(trying, b"date;athlete\n")
    expect(trying.page.locator(".preview")).to_be_visible()
    trying.opened()
    stands_up(trying.page)


def test_a_refusal(trying: Watched) -> None:
    bring(trying, b"refuse")
    expect(trying.page.locator(".remark.refused")).to_be_visible()
    stands_up(trying.page)


def test_an_open_list_of_choices(trying: Watched) -> None:
    trying.visit("/")
    trying.page.get_by_role("textbox", name="Kind of work").click()
    expect(trying.page.get_by_role("option", name="Grip (s)")).to_be_visible()
    stands_up(trying.page)


def test_an_open_calendar(trying: Watched) -> None:
    trying.visit("/log")
    trying.page.get_by_role("textbox", name="First day").click()
    expect(trying.page.get_by_role("button", name="12 June 2026")).to_be_visible()
    stands_up(trying.page)


def test_a_form_for_a_decision(trying: Watched) -> None:
    trying.visit("/")
    trying.opened()
    card = trying.page.locator("article.notice").first
    card.get_by_role("button", name="Record the decision").click()
    expect(card.locator(".remark")).to_be_visible()
    stands_up(trying.page)


def test_a_squad_of_five_hundred_is_shown_thirty_at_a_time(trying: Watched, squad: MadeUpSquad) -> None:
    squad.now = season(athletes=500, weeks=12)
    page = trying.page
    trying.visit("/")
    expect(page.locator("table.strip tbody tr")).to_have_count(30)
    first = page.locator("table.strip tbody th").first.inner_text()
    page.get_by_role("link", name="31 to 60").click()
    expect(page.locator("table.strip tbody th").first).not_to_have_text(first)
    expect(page.get_by_role("link", name="31 to 60")).to_have_attribute("aria-current", "true")
    stands_up(trying.page)
