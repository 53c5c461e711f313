"""Debian's Chromium, driven by the tests: where it is, and one that talks to nobody by itself."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

__all__ = ["browser", "chromium_path"]

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium_path() -> str | None:
    """Where Chromium is: `KEELMARK_BROWSER` if set, else the system's."""
    return os.environ.get("KEELMARK_BROWSER") or shutil.which("chromium") or shutil.which("chromium-browser")


@contextmanager
def browser() -> Iterator[Browser]:
    """A Chromium that talks to nobody by itself."""
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=chromium_path(), args=ARGUMENTS)
        try:
            yield running
        finally:
            running.close()
