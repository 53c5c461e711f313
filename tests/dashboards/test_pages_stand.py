"""Every page in a real browser: it opens, keeps to itself, reads well for everybody, day and night, wide and narrow."""

from __future__ import annotations

import itertools

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.dashboards.browsing import Watched

pytestmark = pytest.mark.browser

PATHS = {
    "squad": "/?week=2026-W10&weeks=12",
    "squad in numbers": "/?week=2026-W10&channel=jump_contacts&show=numbers&weeks=12",
    "athlete": "/athlete?athlete=tove&week=2026-W23&channel=jump_contacts",
    "athlete without marks": "/athlete?athlete=tove&week=2025-W36&channel=tonnage",
    "programme": "/programme",
    "log": "/log?show=1",
    "check-ins": "/check-ins?athlete=tove&week=2026-W23",
    "hand-over": "/hand-over?athlete=tove&week=2026-W23",
    "week on paper": "/brief?athlete=tove&week=2026-W23",
    "methods": "/methods",
    "care": "/care?show=soon",
    "nowhere": "/harbour",
}
WIDTHS = (390, 768, 1440)
SMALL_TARGETS = """
const WITH_LABEL = '.mantine-Radio-root, .mantine-Checkbox-root';
[...document.querySelectorAll('header a, header button, main a, main button, main summary, main input')]
  .filter(e => !e.closest('p, li:not(.coverage li), .strip, .catalogue-grid, .mantine-MultiSelect-pillsList'))
  .filter(e => e.offsetParent && e.type !== 'file' && e.type !== 'hidden')
  .filter(e => {
    const box = (e.closest(WITH_LABEL) || e).getBoundingClientRect();
    return box.height < 44 || box.width < 24;
  })
  .map(e => e.outerHTML.slice(0, 120))
"""


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
def test_a_page_has_no_violation_and_does_not_scroll_sideways(looking: Watched, path: str) -> None:
    looking.visit(path)
    looking.opened()
    for scheme in ("light", "dark"):
        looking.page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        for width in WIDTHS:
            looking.page.set_viewport_size({"width": width, "height": 900})
            looking.page.wait_for_timeout(150)
            found = Axe().run(looking.page)
            assert found.violations_count == 0, f"{scheme} {width}: {found.generate_report()}"
            assert looking.page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
def test_targets_on_a_phone_are_large_enough_for_a_thumb(looking: Watched, path: str) -> None:
    looking.page.set_viewport_size({"width": 390, "height": 800})
    looking.visit(path)
    assert looking.page.evaluate(SMALL_TARGETS) == []


@pytest.mark.parametrize("path", ["/", "/athlete", "/log", "/methods", "/harbour"])
def test_both_care_cards_are_one_step_away(looking: Watched, path: str) -> None:
    for name in ("Get medical help now", "Get it checked soon"):
        looking.visit(path)
        looking.page.get_by_role("link", name=name).click()
        looking.page.wait_for_url("**/care?show=*")
        expect(looking.page.locator("main h2").first).to_have_text(name)


def test_only_a_page_with_a_chart_loads_the_chart_library(looking: Watched) -> None:
    asked: list[str] = []
    looking.page.on("request", lambda request: asked.append(request.url))
    looking.visit("/")
    assert not [url for url in asked if "plotly" in url]
    looking.visit("/athlete")
    assert [url for url in asked if "plotly" in url]


def test_headings_come_in_order_and_the_page_has_its_landmarks(looking: Watched) -> None:
    looking.visit("/?week=2026-W10")
    levels = looking.page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map(h => +h.tagName[1])")
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    for landmark in ("banner", "main", "contentinfo"):
        assert looking.page.get_by_role(landmark).count() == 1


def test_a_fault_on_the_page_would_be_found(looking: Watched) -> None:
    looking.visit("/care")
    looking.page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<img src=\"data:,\">')")
    assert Axe().run(looking.page).violations_count == 1
