"""How much travels when a page is opened for the first time, and what does not travel where it is not needed."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from keelmark_dash.app import PAGES

HEAVIEST_MB = 2.5
"""Compressed, with an empty cache: what the project set itself."""
GRID, CHARTS = "/dash_ag_grid.", "/plotly.min.js"


@pytest.fixture(scope="module")
def weighed(chromium: Browser, crew_home: str) -> dict[str, dict[str, float]]:
    """Bytes by address of what each page brings, as they travel."""
    return {page.path: dict(_first_load(chromium, crew_home + page.path)) for page in PAGES}


def _first_load(chromium: Browser, address: str) -> Iterator[tuple[str, float]]:
    context = chromium.new_context(viewport={"width": 1440, "height": 1000})
    page = context.new_page()
    asked: dict[str, str] = {}
    travelled: dict[str, float] = {}
    watch = context.new_cdp_session(page)
    watch.on("Network.responseReceived", lambda told: asked.update({told["requestId"]: told["response"]["url"]}))
    watch.on("Network.loadingFinished", lambda told: travelled.update({told["requestId"]: told["encodedDataLength"]}))
    watch.send("Network.enable")
    page.goto(address)
    page.wait_for_selector("main h1")
    page.wait_for_load_state("networkidle")
    yield from ((asked[key], size) for key, size in travelled.items() if key in asked)
    context.close()


@pytest.mark.parametrize("path", [page.path for page in PAGES])
def test_no_page_is_heavier_than_it_may_be(weighed: dict[str, dict[str, float]], path: str) -> None:
    megabytes = sum(weighed[path].values()) / 1e6
    assert 0.3 < megabytes < HEAVIEST_MB


def test_the_grid_and_the_charts_travel_only_where_they_are_shown(weighed: dict[str, dict[str, float]]) -> None:
    brought = {
        library: {path for path, sizes in weighed.items() if library in " ".join(sizes)} for library in (GRID, CHARTS)
    }
    assert brought == {GRID: {"/methods"}, CHARTS: {"/athlete"}}
