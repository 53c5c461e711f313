"""Squads to ask: the demo's, and an empty one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from keelmark.service import Squad, load_demo


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """The demo season in a store of its own."""
    with Squad.open(f"sqlite:///{tmp_path_factory.mktemp('demo') / 'demo.sqlite'}") as squad:
        load_demo(squad)
        yield squad


@pytest.fixture
def squad(tmp_path: Path) -> Iterator[Squad]:
    """An empty squad."""
    with Squad.open(f"sqlite:///{tmp_path / 'squad.sqlite'}") as opened:
        yield opened
