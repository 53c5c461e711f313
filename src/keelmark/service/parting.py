"""The squad's tables without names, words and reasons, for figures on other machines."""

from __future__ import annotations

from collections.abc import Mapping

import polars as pl

from keelmark.contracts.frames import DAY_STATE
from keelmark.engine import Manifest, Tables, write_partitions
from keelmark.service.season import Season
from keelmark.service.squad_settings import load_settings

__all__ = ["bare_tables", "write_parts"]

_TOLD_APART = ("trained", "partly", "rest", "unlogged")
"""States of a day that a figure tells apart; why somebody was away is nobody's business on another machine."""


def write_parts(season: Season, chosen: Mapping[str, object], address: str, buckets: int) -> Manifest:
    """Write what the figures of a season rest on, in parts, by the squad's settings; see `write_partitions`."""
    settings = load_settings(chosen)
    return write_partitions(
        bare_tables(season),
        address,
        buckets=buckets,
        last=season.until,
        quiet_days=settings.quiet_days,
        week_day=settings.week_day,
    )


def bare_tables(season: Season) -> Tables:
    """Tables that give the same figures, with keys in place of names and without anything that somebody wrote."""
    kept = season.kept
    blank = pl.lit(None, pl.String)
    state = pl.col("state").cast(pl.String)
    told = pl.when(state.is_in(_TOLD_APART)).then(state).otherwise(pl.lit("away")).cast(DAY_STATE.polars["state"])
    return Tables(
        athletes=kept.athletes.with_columns(name="athlete_id"),
        efforts=kept.efforts.with_columns(text=blank),
        sessions=kept.sessions.with_columns(label=blank, whiteboard=blank, result=blank, note=blank),
        rep_maxima=kept.rep_maxima,
        day_states=kept.day_states.with_columns(state=told, note=blank),
    )
