"""Every page in a real browser: it opens, keeps to itself, reads well for everybody, day and night, wide and narrow."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.dashboards.browsing import Watched, watch
from tests.dashboards.standing import settled, stands_up, violations

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
    "settings": "/settings",
    "care": "/care?show=soon",
    "nowhere": "/harbour",
}
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
CONTROLS = """
[...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')]
  .filter(e => e.tabIndex >= 0 && !e.disabled && e.type !== 'hidden' && e.type !== 'file')
  .filter(e => e.checkVisibility({visibilityProperty: true}) && !e.closest('.ag-root-wrapper'))
  .filter(e => e.type !== 'radio' || e.checked || !document.querySelector(`input[name="${e.name}"]:checked`))
"""
WALK = f"""() => {{
  window.seen = new Set();
  document.addEventListener('focusin', event => {{
    window.seen.add(event.target);
    if (event.target.type === 'radio') document.getElementsByName(event.target.name).forEach(e => window.seen.add(e));
  }});
  document.body.focus();
  return {CONTROLS.strip()}.length;
}}"""
LEFT_OUT = f"() => {CONTROLS.strip()}.filter(e => !window.seen.has(e)).map(e => e.outerHTML.slice(0, 120))"


@pytest.fixture(scope="module", params=PATHS.values(), ids=PATHS)
def page_at(request: pytest.FixtureRequest, chromium: Browser, crew_home: str) -> Iterator[Watched]:
    """One page of the demo, looked at by several tests; afterwards nothing may have left the machine."""
    context = chromium.new_context(viewport={"width": 390, "height": 800})
    watched = watch(context.new_page(), crew_home)
    watched.visit(request.param)
    yield watched
    context.close()
    assert watched.outside == []
    assert watched.complaints == []


def test_targets_on_a_phone_are_large_enough_for_a_thumb(page_at: Watched) -> None:
    assert page_at.page.evaluate(SMALL_TARGETS) == []


def test_headings_come_in_order_and_the_page_has_its_landmarks(page_at: Watched) -> None:
    levels = page_at.page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map(h => +h.tagName[1])")
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    for landmark in ("banner", "main", "contentinfo"):
        assert page_at.page.get_by_role(landmark).count() == 1


def test_everything_is_reached_with_the_tab_key(page_at: Watched) -> None:
    steps = page_at.page.evaluate(WALK)
    assert steps > 5
    for press in range(steps + 60):
        page_at.page.keyboard.press("Tab")
        if press >= steps and page_at.page.evaluate(LEFT_OUT) == []:
            break
    assert page_at.page.evaluate(LEFT_OUT) == []


def test_it_has_no_violation_and_does_not_scroll_sideways(page_at: Watched) -> None:
    page_at.opened()
    stands_up(page_at.page)


@pytest.mark.parametrize("path", ["/", "/methods", "/harbour"])
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


def test_nothing_moves_for_those_who_want_it_still(looking: Watched) -> None:
    page = looking.page
    looking.visit("/")
    page.evaluate("document.querySelector('main').classList.add('busy')")
    settled(page)
    moving = "document.getAnimations().filter(one => one.effect.getComputedTiming().duration > 20).length"
    assert page.evaluate(moving) > 0
    page.emulate_media(reduced_motion="reduce")
    settled(page)
    assert page.evaluate(moving) == 0


def test_a_fault_on_the_page_would_be_found(looking: Watched) -> None:
    looking.visit("/care")
    looking.page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<img src=\"data:,\">')")
    looking.page.evaluate("document.querySelector('main p').style.color = '#bbbbbb'")
    assert {rule for rule, *_ in violations(looking.page)} == {"image-alt", "color-contrast"}
