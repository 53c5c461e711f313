"""A crew from the demo, a squad of made-up weeks, and a browser to look at them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from keelmark.service import Squad, load_demo
from keelmark_dash.desk import SeasonView
from tests.dashboards import made_up
from tests.dashboards.browsing import Watched, served, watch


@pytest.fixture
def squad() -> made_up.MadeUpSquad:
    """A squad of made-up weeks that remembers what it was asked."""
    return made_up.MadeUpSquad()


@pytest.fixture(scope="module")
def season() -> SeasonView:
    """Its season, for tests that only read."""
    return SeasonView(made_up.season())


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the demo in it, to be copied; nobody writes into it."""
    place = tmp_path_factory.mktemp("demo") / "demo.sqlite"
    with Squad.open(f"sqlite:///{place}") as opened:
        load_demo(opened)
    return place


@pytest.fixture(scope="module")
def crew(demo_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """The demo's crew in a store of its own."""
    place = tmp_path_factory.mktemp("crew") / "demo.sqlite"
    shutil.copy(demo_file, place)
    with Squad.open(f"sqlite:///{place}") as opened:
        yield opened


@pytest.fixture(scope="module")
def crew_home(crew: Squad) -> Iterator[str]:
    """Address of the demo's pages."""
    with served(crew) as home:
        yield home


@pytest.fixture
def looking(chromium: Browser, crew_home: str) -> Iterator[Watched]:
    """A page over the demo; afterwards nothing may have left the machine or been complained of."""
    context = chromium.new_context(viewport={"width": 1440, "height": 1000})
    watched = watch(context.new_page(), crew_home)
    yield watched
    context.close()
    assert watched.outside == []
    assert watched.complaints == []


@pytest.fixture
def home(squad: made_up.MadeUpSquad) -> Iterator[str]:
    """Address of the pages over the made-up squad."""
    with served(squad) as address:
        yield address


@pytest.fixture
def trying(chromium: Browser, home: str) -> Iterator[Watched]:
    """A page over the made-up squad; afterwards nothing may have left the machine or been complained of."""
    context = chromium.new_context(viewport={"width": 1440, "height": 1000})
    watched = watch(context.new_page(), home)
    yield watched
    context.close()
    assert watched.outside == []
    assert watched.complaints == []
