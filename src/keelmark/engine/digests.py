"""What an athlete's figures rest on, as numbers that change when it does: one for each day, one for everything else.

The order of rows counts, because amounts are added in it. The numbers hold for one release of the library that makes
them; so its version is part of every key.
"""

from __future__ import annotations

import hashlib
from datetime import date

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.catalogue import Catalogue
from keelmark.engine.partitions import Tables
from keelmark.load import LoadSettings

__all__ = ["day_digests", "first_changes", "general_key", "own_digests"]

_SEEDS = {"efforts": 1, "sessions": 2, "day_states": 3}
_KEY = ["athlete_id", "date"]


def general_key(catalogue: Catalogue, settings: LoadSettings, rules: str) -> str:
    """What is the same for all athletes: the rules' version, the movements, the choices, the last day."""
    shared = hashlib.sha256(f"{rules}|{pl.__version__}|{settings!r}|".encode())
    for name in sorted(catalogue.movements):
        shared.update(repr(catalogue.movements[name]).encode())
    shared.update(repr(catalogue.postures).encode())
    return shared.hexdigest()


def day_digests(tables: Tables) -> pl.DataFrame:
    """One number for each athlete's day with anything on record: `athlete_id`, `date`, `digest`."""
    found = [_digests(getattr(tables, name), _KEY, seed) for name, seed in _SEEDS.items()]
    together = pl.concat(found).group_by(_KEY).agg(pl.col("digest").bitwise_xor())
    return together.sort(_KEY)


def own_digests(tables: Tables) -> pl.DataFrame:
    """One number for each athlete's body, group and rep maxima: `athlete_id`, `digest`."""
    found = [_digests(frame, ["athlete_id"], seed) for seed, frame in ((4, tables.athletes), (5, tables.rep_maxima))]
    return pl.concat(found).group_by("athlete_id").agg(pl.col("digest").bitwise_xor()).sort("athlete_id")


def first_changes(before: tuple[pl.DataFrame, pl.DataFrame], now: tuple[pl.DataFrame, pl.DataFrame]) -> dict[str, date]:
    """The first day on which an athlete's record differs; `date.min` where more than days does.

    Parameters
    ----------
    before, now : pairs of DataFrame
        From `day_digests` and `own_digests`.
    """
    days = before[0].join(now[0], on=_KEY, how="full", coalesce=True, suffix="_now")
    changed = days.filter(pl.col("digest").ne_missing(pl.col("digest_now"))).group_by("athlete_id").agg(pl.min("date"))
    found: dict[str, date] = dict(changed.iter_rows())
    own = before[1].join(now[1], on="athlete_id", how="full", coalesce=True, suffix="_now")
    for key in own.filter(pl.col("digest").ne_missing(pl.col("digest_now")))["athlete_id"]:
        found[key] = date.min
    return found


def _digests(frame: pl.DataFrame, key: list[str], seed: int) -> pl.DataFrame:
    """Rows of each key, in their order, as one number."""
    if frame.is_empty():
        schema = {name: frame.schema[name] for name in key}
        return pl.DataFrame(schema={**schema, "digest": pl.UInt64})
    rows: NDArray[np.uint64] = frame.hash_rows(seed=seed).to_numpy()
    numbered = frame.select(*key, digest=pl.Series(rows), place=pl.int_range(pl.len()).over(key).cast(pl.UInt64))
    mixed = numbered["digest"].to_numpy() * (2 * numbered["place"].to_numpy() + np.uint64(1))
    return numbered.with_columns(digest=pl.Series(mixed)).group_by(key).agg(pl.col("digest").sum())
