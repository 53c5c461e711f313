"""What a browser asks the server while somebody walks through the pages: the questions of each callback, as sent."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page

from tests.benchmarks.page_server import PASSWORD

__all__ = ["first_paint", "record", "weight"]

_ASKING = "/_dash-update-component"
_STAFF = ("/", "/athlete", "/programme", "/log", "/check-ins", "/hand-over", "/brief", "/methods", "/settings", "/care")
_OWN = ("/athlete", "/check-ins", "/hand-over", "/brief", "/methods", "/care")
_TEXT = "Monday\n5 x 5 deadlift 100 kg\n\nWednesday\n3 rounds: 400 m run, 12 box jumps, 9 toes to bar\n"
_TEXT_LATER = _TEXT + "\nFriday\n21-15-9: thrusters 40 kg, pull-ups\n"


def sign_in(browser: Browser, home: str, name: str) -> BrowserContext:
    """A browser of its own that has come in."""
    context = browser.new_context(viewport={"width": 1440, "height": 1000})
    page = context.new_page()
    page.goto(f"{home}/sign-in")
    page.fill("#name", name)
    page.fill("#password", PASSWORD)
    page.click("button[type=submit]")
    page.wait_for_selector("main h1", timeout=600_000)
    page.close()
    return context


def record(browser: Browser, home: str, name: str, *, staff: bool, week: str) -> list[dict[str, Any]]:
    """Walk through all pages that somebody may see and give every question that was asked on the way."""
    context = sign_in(browser, home, name)
    page, asked = context.new_page(), []
    page.set_default_timeout(120_000)
    page.on("request", lambda request: asked.append(request.post_data_json) if _ASKING in request.url else None)
    for path in _STAFF if staff else _OWN:
        _stand(page, f"{home}{path}?week={week}")
        _another_week(page, path)
        _USES.get(path, _nothing)(page)
        page.wait_for_load_state("networkidle")
    context.close()
    return [one for one in asked if isinstance(one, dict)]


def _stand(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_selector("main h1")
    page.wait_for_load_state("networkidle")
    page.evaluate("document.querySelectorAll('main details').forEach(d => { d.open = true; })")


def _another_week(page: Page, path: str) -> None:
    """Follow a link inside the app, as the controls do."""
    page.evaluate(
        """([path, search]) => {
            window.history.pushState({}, "", path + search);
            window.dispatchEvent(new CustomEvent("_dashprivate_pushstate"));
        }""",
        [path, "?channel=tonnage"],
    )
    page.wait_for_load_state("networkidle")
    page.evaluate("document.querySelectorAll('main details').forEach(d => { d.open = true; })")


def _nothing(_page: Page) -> None:
    return None


def _press(page: Page, words: str) -> None:
    page.locator("#main:not(.busy)").wait_for()
    button = page.locator("main button", has_text=words).first
    if button.count():
        button.evaluate("button => button.click()")
        page.wait_for_load_state("networkidle")


def _programme(page: Page) -> None:
    field = page.locator("#programme-text, #programme-text textarea").first
    for text in (_TEXT, _TEXT_LATER):
        field.fill(text)
        field.blur()
        page.wait_for_load_state("networkidle")


def _take_table(page: Page) -> None:
    _press(page, "Table (CSV)")


def _methods(page: Page) -> None:
    page.locator(".catalogue-grid").scroll_into_view_if_needed()
    page.locator(".catalogue-grid [col-id=movement]").nth(2).wait_for()


def _brief(page: Page) -> None:
    _press(page, "Save as PDF")
    _press(page, "Save as HTML")


_USES = {
    "/": _take_table,
    "/athlete": _take_table,
    "/programme": _programme,
    "/methods": _methods,
    "/brief": _brief,
    "/check-ins": lambda page: _press(page, "All well"),
}


def first_paint(context: BrowserContext, address: str) -> float:
    """Milliseconds to the first contentful paint, with an empty cache."""
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.setCacheDisabled", {"cacheDisabled": True})
    page.goto(address)
    page.wait_for_selector("main h1", timeout=120_000)
    told = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1")
    page.close()
    return float(told)


def weight(context: BrowserContext, address: str) -> float:
    """Megabytes that travel, compressed, when a page is opened with an empty cache."""
    page = context.new_page()
    sizes: list[float] = []
    session = context.new_cdp_session(page)
    session.on("Network.loadingFinished", lambda told: sizes.append(told["encodedDataLength"]))
    session.send("Network.enable")
    session.send("Network.setCacheDisabled", {"cacheDisabled": True})
    page.goto(address)
    page.wait_for_selector("main h1", timeout=120_000)
    page.wait_for_load_state("networkidle")
    page.close()
    return sum(sizes) / 1e6
