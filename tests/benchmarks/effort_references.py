"""From a log of efforts to weekly figures, as other people would write it; and the least that anybody must do.

All read the same Parquet files, join what one rep of each movement adds to each channel, add up days, and then give the
figures of `tests.benchmarks.references`. Athletes are numbered, which makes the others faster, not slower.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import duckdb
import pandas as pd
import polars as pl

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.channels import CHANNEL_BY_KEY, CHANNELS
from keelmark.dose.routes import route_table
from tests.benchmarks.made_up import DAYS, MONDAY, MOVEMENTS
from tests.benchmarks.references import with_duckdb, with_pandas, with_polars

__all__ = ["KEYS", "RIVALS", "floor", "rates"]

_COLUMNS = ["athlete_id", "date", "movement", "sets", "reps", "load_kg"]


@cache
def rates() -> pl.DataFrame:
    """What one rep of each movement adds to each channel, before its load; a column for each channel."""
    pairs = pl.DataFrame({"movement": MOVEMENTS, "given": 1}, schema_overrides={"given": pl.UInt8})
    routes = route_table(pairs, shipped_catalogue())
    return routes.pivot(on="channel", index="movement", values="unit_value").fill_null(0.0)


KEYS = tuple(channel.key for channel in CHANNELS if channel.key in rates().columns)
_IN_KG = tuple(key for key in KEYS if CHANNEL_BY_KEY[key].unit == "kg")


def floor(folder: Path) -> int:
    """Scan, join and group-by alone; gives the rows."""
    reps = pl.col("sets") * pl.col("reps")
    kilograms = reps * pl.col("load_kg").fill_null(0.0)
    sums = [((kilograms if key in _IN_KG else reps) * pl.col(key)).sum().alias(key) for key in KEYS]
    scanned = pl.scan_parquet(folder / "*.parquet").join(rates().lazy(), on="movement")
    return scanned.group_by("athlete_id", "date").agg(sums).collect(engine="streaming").height


def _polars(folder: Path) -> pl.DataFrame:
    reps = pl.col("sets") * pl.col("reps")
    kilograms = reps * pl.col("load_kg").fill_null(0.0)
    sums = [((kilograms if key in _IN_KG else reps) * pl.col(key)).sum().alias(key) for key in KEYS]
    daily = (
        pl.scan_parquet(folder / "*.parquet")
        .join(rates().lazy(), on="movement")
        .group_by("athlete_id", "date")
        .agg(sums)
        .with_columns(
            athlete=pl.col("athlete_id").str.slice(1).cast(pl.Int64),
            day=(pl.col("date") - pl.lit(MONDAY)).dt.total_days(),
        )
        .unpivot(index=["athlete", "day"], on=KEYS, variable_name="channel", value_name="amount")
        .with_columns(channel=pl.col("channel").replace_strict(dict(zip(KEYS, range(len(KEYS)), strict=True))))
        .collect()
    )
    return with_polars(daily, DAYS)


def _pandas(folder: Path) -> pl.DataFrame:
    efforts = pd.concat([pd.read_parquet(file, columns=_COLUMNS) for file in sorted(folder.glob("*.parquet"))])
    efforts = efforts.merge(rates().to_pandas(), on="movement")
    reps = efforts["sets"] * efforts["reps"]
    kilograms = reps * efforts["load_kg"].fillna(0.0)
    for key in KEYS:
        efforts[key] *= kilograms if key in _IN_KG else reps
    efforts["athlete"] = efforts["athlete_id"].str[1:].astype(int)
    efforts["day"] = (pd.to_datetime(efforts["date"]) - pd.Timestamp(MONDAY)).dt.days
    days = efforts.groupby(["athlete", "day"])[list(KEYS)].sum().reset_index()
    days = days.rename(columns=dict(zip(KEYS, range(len(KEYS)), strict=True)))
    daily = days.melt(id_vars=["athlete", "day"], var_name="channel", value_name="amount")
    daily["channel"] = daily["channel"].astype(int)
    return pl.from_pandas(with_pandas(daily, DAYS))


def _duckdb(folder: Path) -> pl.DataFrame:
    sums = ", ".join(
        f"sum(sets * reps{' * coalesce(load_kg, 0)' if key in _IN_KG else ''} * {key}) AS {key}" for key in KEYS
    )
    numbered = " ".join(f"WHEN '{key}' THEN {place}" for place, key in enumerate(KEYS))
    with duckdb.connect() as connection:
        connection.register("rates", rates().to_arrow())
        connection.execute(
            f"""CREATE TEMP TABLE daily AS
            SELECT athlete, CASE name {numbered} END AS channel, day, amount FROM (
                SELECT CAST(substr(athlete_id, 2) AS BIGINT) AS athlete, date - DATE '{MONDAY}' AS day, {sums}
                FROM read_parquet('{folder}/*.parquet') JOIN rates USING (movement) GROUP BY ALL
            ) UNPIVOT (amount FOR name IN ({", ".join(KEYS)}))"""
        )
        return with_duckdb(connection, DAYS)


RIVALS = {"pandas": _pandas, "polars": _polars, "DuckDB": _duckdb}
