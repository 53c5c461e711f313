"""What tests of several folders share: one browser for all of them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.chromium import browser


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser; each test has a context of its own in it."""
    with browser() as running:
        yield running
