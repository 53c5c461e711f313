"""Drive the pages in Debian's Chromium: a server on a free port, a browser, and what it asked for on the way."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import waitress
from playwright.sync_api import Page

from keelmark_dash import create_app
from tests.chromium import browser, chromium_path

__all__ = ["Watched", "browser", "chromium_path", "served", "watch"]


@contextmanager
def served(squad: Any) -> Iterator[str]:
    """The app over a squad on a free port of this machine; gives its address."""
    server = waitress.create_server(create_app(squad).server, host="127.0.0.1", port=0, threads=8)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.effective_port}"
    finally:
        server.close()
        thread.join(timeout=5)


@dataclass
class Watched:
    """A page, and what went wrong or outside while it was used."""

    page: Page
    home: str
    outside: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def visit(self, path: str) -> None:
        """Open a path of the app and wait until the page stands."""
        self.page.goto(self.home + path)
        self.settle()

    def settle(self) -> None:
        """Wait until the page has a heading and nothing is under way."""
        self.page.wait_for_selector("main h1")
        self.page.wait_for_load_state("networkidle")

    def opened(self) -> None:
        """Open everything that can be unfolded, and wait for the grid that fills itself once it is seen."""
        self.page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
        grid = self.page.locator(".catalogue-grid")
        if grid.count():
            grid.scroll_into_view_if_needed()
            self.page.locator(".catalogue-grid [col-id=movement]").nth(2).wait_for()


def watch(page: Page, home: str) -> Watched:
    """Note every request that leaves the machine and everything the browser complains of."""
    watched = Watched(page, home)
    page.set_default_timeout(30_000)

    def asked(request: Any) -> None:
        if not request.url.startswith((home, "data:", "blob:")):
            watched.outside.append(request.url)

    def said(message: Any) -> None:
        if message.type in ("error", "warning"):
            watched.complaints.append(f"{message.type}: {message.text}")

    page.on("request", asked)
    page.on("console", said)
    page.on("pageerror", lambda error: watched.complaints.append(f"page error: {error}"))
    page.on(
        "response",
        lambda answer: watched.complaints.append(f"{answer.status} {answer.url}") if answer.status >= 400 else None,
    )
    return watched
