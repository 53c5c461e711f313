"""Everything the figures need from the store, read in one go."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

from keelmark.store import Store

__all__ = ["Kept", "read_kept"]


@dataclass(frozen=True, slots=True)
class Kept:
    """Tables as the store gives them, each of its own schema."""

    revision: int
    athletes: pl.DataFrame
    rep_maxima: pl.DataFrame
    efforts: pl.DataFrame
    sessions: pl.DataFrame
    day_states: pl.DataFrame
    labels: pl.DataFrame
    imports: pl.DataFrame


def read_kept(store: Store) -> Kept:
    """Read the store as it stands now."""
    return Kept(
        revision=store.revision,
        athletes=store.athletes(),
        rep_maxima=store.rep_maxima(),
        efforts=store.efforts(),
        sessions=store.sessions(),
        day_states=store.day_states(),
        labels=store.labels(),
        imports=store.imports(),
    )
