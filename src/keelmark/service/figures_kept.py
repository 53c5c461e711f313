"""Figures that are kept beside a store's file, so that a large squad opens fast."""

from __future__ import annotations

from pathlib import Path

import polars as pl

from keelmark.engine.derived import Derived
from keelmark.engine.figure_cache import LEAST_EFFORTS, FigureCache
from keelmark.service.season import Season
from keelmark.store import Store

__all__ = ["forget_figures", "keep_figures", "kept_figures", "kept_weeks"]


def kept_figures(store: Store) -> Derived | None:
    """What was kept of a store's figures, whether or not it still holds; None where nothing is."""
    cache = _cache(store)
    return cache.load() if cache else None


def kept_weeks(store: Store, athlete_id: str) -> pl.DataFrame | None:
    """Weekly figures of one athlete as they were kept last, read in a few milliseconds; None where none are."""
    cache = _cache(store)
    return cache.athlete(athlete_id) if cache else None


def keep_figures(store: Store, season: Season, before: Derived | None) -> None:
    """Keep a season's figures where that saves time and they are not the ones that are there already."""
    cache, new = _cache(store), season.derived
    if cache is None or new is None or season.kept.efforts.height < LEAST_EFFORTS:
        return
    if before is None or new.weekly is not before.weekly or new.daily is not before.daily:
        cache.save(new)


def forget_figures(store: Store) -> None:
    """Remove what is kept, for everybody; the next season keeps it anew."""
    cache = _cache(store)
    if cache:
        cache.clear()


def _cache(store: Store) -> FigureCache | None:
    """Beside a file; nowhere for a store in memory or on a server."""
    file = Path(store.place)
    return FigureCache(file.with_name(file.name + ".figures")) if file.is_file() else None
