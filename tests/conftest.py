"""What tests of several folders share: one browser for all of them, and made-up examples that no clock judges."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser

from tests.chromium import browser

settings.register_profile("steady", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("steady")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser; each test has a context of its own in it."""
    with browser() as running:
        yield running
