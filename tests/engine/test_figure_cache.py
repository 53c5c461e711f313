"""What is kept is what was worked out, for its owner alone, and gone when it is told to go."""

from __future__ import annotations

import json
from dataclasses import fields
from pathlib import Path

import polars as pl
import pytest

from keelmark.engine.derived import Derived, derive
from keelmark.engine.figure_cache import FigureCache
from keelmark.load import LoadSettings
from tests.engine.conftest import CATALOGUE, LAST, squads

SQUAD = squads(4, 7)
SETTINGS = LoadSettings(until=LAST)


@pytest.fixture(scope="module")
def derived() -> Derived:
    return derive(SQUAD, CATALOGUE, SETTINGS, "1")


@pytest.fixture
def cache(tmp_path: Path, derived: Derived) -> FigureCache:
    kept = FigureCache(tmp_path / "squad.db.figures")
    kept.save(derived)
    return kept


def test_what_is_kept_comes_back(cache: FigureCache, derived: Derived) -> None:
    back = cache.load()
    assert back is not None
    for field in fields(Derived):
        kept, was = getattr(back, field.name), getattr(derived, field.name)
        assert kept.equals(was, null_equal=True) if isinstance(was, pl.DataFrame) else kept == was


def test_what_is_kept_is_taken_over(cache: FigureCache) -> None:
    back = cache.load()
    assert derive(SQUAD, CATALOGUE, SETTINGS, "1", back).weekly is back.weekly


def test_one_athlete_is_read_alone(cache: FigureCache, derived: Derived) -> None:
    for key in SQUAD.athletes["athlete_id"]:
        own = derived.weekly.filter(pl.col("athlete_id") == key)
        assert own.height > 50
        assert cache.athlete(key).equals(own, null_equal=True)
    assert cache.athlete("nobody") is None


def test_only_the_owner_may_read(cache: FigureCache) -> None:
    for path in (cache.folder, *cache.folder.rglob("*")):
        assert path.stat().st_mode & 0o777 == (0o700 if path.is_dir() else 0o600)


def test_keeping_again_leaves_one_run(cache: FigureCache, derived: Derived) -> None:
    before = cache.athlete("p00")
    cache.save(derived)
    assert len([path for path in cache.folder.iterdir() if path.is_dir()]) == 1
    assert before.equals(cache.athlete("p00"), null_equal=True)


def test_nothing_is_left_after_clearing(cache: FigureCache) -> None:
    cache.clear()
    cache.clear()
    assert not cache.folder.exists()
    assert cache.load() is None
    assert cache.athlete("p00") is None


@pytest.mark.parametrize("spoil", ["words", "format", "file"])
def test_what_cannot_be_read_counts_as_nothing(cache: FigureCache, spoil: str) -> None:
    current = cache.folder / "current.json"
    if spoil == "words":
        current.write_text("{")
    elif spoil == "format":
        current.write_text(json.dumps({**json.loads(current.read_text()), "format": 0}))
    else:
        next(cache.folder.glob("*/daily.arrow")).write_bytes(b"torn")
    assert cache.load() is None
