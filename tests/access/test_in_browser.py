"""The pages with accounts in a real browser: signing in on a phone, nothing refused by the policy, easy for all."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, expect

from keelmark.service import Squad
from tests.access.conftest import PASSWORDS
from tests.dashboards.browsing import Watched, served, watch
from tests.dashboards.standing import settled, stands_up

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def home(crew: Squad) -> Iterator[str]:
    """Address of the pages."""
    crew.season()
    with served(crew) as address:
        yield address


@pytest.fixture
def phone(chromium: Browser, home: str) -> Iterator[Watched]:
    """A phone; afterwards nothing may have left the machine or been complained of."""
    context = chromium.new_context(viewport={"width": 390, "height": 800})
    watched = watch(context.new_page(), home)
    yield watched
    context.close()
    assert watched.outside == []
    assert watched.complaints == []


def come_in(watched: Watched, name: str, at: str = "/sign-in") -> None:
    watched.page.goto(watched.home + at)
    watched.page.get_by_label("Your name here").fill(name)
    watched.page.get_by_label("Password").fill(PASSWORDS[name])
    watched.page.get_by_role("button", name="Sign in").click()
    watched.settle()


def test_an_athlete_signs_in_on_a_phone_says_all_is_well_and_signs_out(phone: Watched) -> None:
    come_in(phone, "Tove", "/check-ins?week=2026-W22")
    page = phone.page
    assert "/check-ins?week=2026-W22" in page.url
    expect(page.get_by_role("heading", level=1)).to_have_text("Check-ins")
    menu = page.get_by_role("navigation", name="Pages").get_by_role("link")
    assert set(menu.all_inner_texts()) >= {"Athlete", "Check-ins"}
    assert not {"Squad", "Log", "Settings"} & set(menu.all_inner_texts())
    page.get_by_role("button", name="All is well").first.click()
    expect(page.locator("#shell-said")).to_contain_text("Tove")
    assert "Aled" not in page.inner_text("body")
    expect(page.locator("footer")).to_contain_text("Signed in as Tove")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_a_session_that_is_over_leads_to_the_sign_in_page_and_back(phone: Watched, crew: Squad) -> None:
    come_in(phone, "Tove")
    phone.page.context.clear_cookies(name="keelmark")
    phone.page.get_by_role("navigation", name="Pages").get_by_role("link", name="Methods").click()
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Sign in")
    phone.page.get_by_label("Your name here").fill("Tove")
    phone.page.get_by_label("Password").fill(PASSWORDS["Tove"])
    phone.page.get_by_role("button", name="Sign in").click()
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("How the figures are made")
    phone.settle()
    assert all("401" in line for line in phone.complaints)
    phone.complaints.clear()


def test_care_cards_are_read_without_signing_in(phone: Watched) -> None:
    phone.page.goto(phone.home + "/sign-in")
    phone.page.get_by_role("link", name="Get it checked soon").click()
    expect(phone.page.get_by_role("heading", level=2).first).to_have_text("Get it checked soon")


@pytest.mark.parametrize("path", ["/sign-in", "/care?show=now", "/with/made-up"])
def test_plain_pages_have_no_violation(phone: Watched, path: str) -> None:
    phone.page.goto(phone.home + path)
    stands_up(phone.page)
    phone.complaints = [line for line in phone.complaints if "404" not in line]


@pytest.mark.parametrize("path", ["/settings", "/account", "/nowhere", "/accounts", "/accounts?of=2"])
def test_pages_of_an_owner_have_no_violation(phone: Watched, path: str) -> None:
    come_in(phone, "Rowena", "/sign-in?next=" + quote(path))
    phone.opened()
    stands_up(phone.page)


@pytest.mark.parametrize("path", ["/", "/athlete", "/programme", "/log", "/check-ins", "/hand-over", "/methods"])
def test_the_policy_refuses_nothing_that_a_page_needs(phone: Watched, path: str) -> None:
    come_in(phone, "Carys", "/sign-in?next=" + path)
    phone.opened()
    settled(phone.page)


def test_a_script_that_was_smuggled_in_does_not_run(phone: Watched) -> None:
    come_in(phone, "Carys", "/sign-in?next=/care")
    phone.page.evaluate(
        "const s = document.createElement('script'); s.textContent = 'window.smuggled = 1'; document.body.append(s)"
    )
    assert phone.page.evaluate("window.smuggled") is None
    assert any("Content Security Policy" in line for line in phone.complaints)
    phone.complaints.clear()


def test_a_choice_is_kept_shown_and_written_down(phone: Watched, crew: Squad) -> None:
    come_in(phone, "Carys", "/sign-in?next=/settings")
    phone.page.get_by_label("Notices shown first").fill("5")
    phone.page.get_by_role("button", name="Save").click()
    expect(phone.page.locator("#shell-said")).to_contain_text("Saved.", timeout=30_000)
    expect(phone.page.locator("#settings-changes-title + p + div tbody tr").first).to_contain_text("Carys")
    assert crew.settings()["notice_budget"] == 5
    change = crew.setting_changes()[0]
    assert (change.key, change.new, change.who) == ("notice_budget", 5, "Carys")
