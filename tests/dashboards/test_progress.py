"""Long work in a browser: it is begun, told about, left and come back to, stopped, and refused in words."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, expect

from keelmark.contracts.errors import SettingError
from tests.dashboards.browsing import Watched, served, watch
from tests.dashboards.made_up import MadeUpSquad


class SlowSquad(MadeUpSquad):
    """A squad whose audit draws until it is let go on."""

    def __init__(self) -> None:
        super().__init__()
        self.go_on = threading.Event()
        self.ended = threading.Event()

    def audit(self, progress: Callable[[str], None]) -> None:
        """Tell of steps; refuse in the end."""
        self.ended.clear()
        try:
            progress("Drawing quiet seasons")
            self.go_on.wait(20)
            progress("Drawing ramps")
            raise SettingError("nobody has enough on record", where="audit", wanted="more weeks", remedy="log some")
        finally:
            self.ended.set()


@pytest.fixture
def slow() -> Iterator[SlowSquad]:
    squad = SlowSquad()
    yield squad
    squad.go_on.set()


@pytest.fixture
def methods(chromium: Browser, slow: SlowSquad) -> Iterator[Watched]:
    with served(slow) as home:
        context = chromium.new_context(viewport={"width": 1440, "height": 1000})
        watched = watch(context.new_page(), home)
        watched.visit("/methods")
        yield watched
        slow.go_on.set()
        context.close()
        assert watched.outside == []
        assert watched.complaints == []


def test_work_goes_on_beside_the_page_until_it_is_stopped(methods: Watched, slow: SlowSquad) -> None:
    page = methods.page
    bar, said = page.get_by_role("progressbar", name="How far the audit is"), page.locator(".long-work [role=status]")
    expect(bar).to_be_hidden()
    page.get_by_role("button", name="Work it out").click()
    expect(bar).to_be_visible()
    expect(said).to_have_text("Drawing quiet seasons")
    page.get_by_role("link", name="Get medical help now").click()
    expect(page.locator("main h1")).not_to_have_text("How the figures are made")
    page.go_back()
    expect(said).to_have_text("Drawing quiet seasons")
    page.get_by_role("button", name="Stop").click()
    expect(bar).to_be_hidden()
    expect(page.get_by_text("Stopped. Nothing was changed.")).to_be_visible()
    slow.go_on.set()
    assert slow.ended.wait(5)
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_text("nobody has enough on record")).to_be_visible()
    expect(bar).to_be_hidden()
