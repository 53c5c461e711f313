"""Whether a page stands up: no violation by axe and no sideways scrolling, day and night, on a desk and on a phone.

The document is the same by day and night; only colours differ, as `test_theme.py` holds. So everything is looked at by
day on a desk and by night on a phone, and what has nothing to do with colour at the widths between. With
`KEELMARK_LOOK=whole` everything is looked at in both colour schemes and at all widths.
"""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path
from typing import Any, Literal

import axe_playwright_python
from playwright.sync_api import Page

__all__ = ["WIDTHS", "settled", "stands_up", "violations"]

WIDTHS = (390, 768, 1440)
_LOOKS: tuple[tuple[Literal["light", "dark"], int, bool], ...] = (
    ("light", 1440, True),
    ("light", 768, False),
    ("light", 390, False),
    ("dark", 390, True),
)
_SETTLED = """() => Promise.all([
  document.fonts.ready,
  ...document.getAnimations()
    .filter(one => one.effect.getComputedTiming().iterations < 100)
    .map(one => one.finished.catch(() => 0)),
  new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done))),
])"""
_FITS = """async () => {  // a chart takes its new width a moment later
  const end = performance.now() + 3000;
  while (document.documentElement.scrollWidth > innerWidth && performance.now() < end)
    await new Promise(done => setTimeout(done, 50));
}"""
_RUN = """async colours => {
  const rules = colours ? {} : {'color-contrast': {enabled: false}, 'link-in-text-block': {enabled: false}};
  const found = await axe.run(document, {resultTypes: ['violations'], rules});
  return found.violations.map(one => [one.id, one.help, one.nodes.map(node => node.html.slice(0, 200))]);
}"""


@cache
def _axe() -> str:
    """The checks themselves, as their package brings them."""
    return next(Path(axe_playwright_python.__file__).parent.rglob("axe.min.js")).read_text(encoding="utf-8")


def settled(page: Page) -> None:
    """Wait until letters are there, what moves has come to rest, and the page has been drawn again."""
    page.evaluate(_SETTLED)


def violations(page: Page, *, colours: bool = True) -> list[Any]:
    """What axe finds on the page as it is: rule, what it asks for, and the elements."""
    if not page.evaluate("() => typeof axe === 'object'"):
        page.evaluate(_axe())
    found: list[Any] = page.evaluate(_RUN, colours)
    return found


def stands_up(page: Page) -> None:
    """No violation and no sideways scrolling."""
    looks = _LOOKS
    if os.environ.get("KEELMARK_LOOK") == "whole":
        looks = tuple((scheme, width, True) for scheme in ("light", "dark") for width in WIDTHS)  # type: ignore[misc]
    for scheme, width, colours in looks:
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        page.set_viewport_size({"width": width, "height": 900})
        settled(page)
        assert violations(page, colours=colours) == [], f"{scheme} {width}"
        page.evaluate(_FITS)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, f"{scheme} {width}"
