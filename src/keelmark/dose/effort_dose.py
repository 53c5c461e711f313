"""What each single effort adds to each channel, with bounds; a day is the sum of these."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.dose.routes import MEASURES, given_code, route_table

__all__ = ["EFFORT_DOSE_SCHEMA", "effort_doses"]

EFFORT_DOSE_SCHEMA = pl.Schema(
    {
        "effort": pl.UInt32,
        "channel": pl.String,
        "value": pl.Float64,
        "low": pl.Float64,
        "high": pl.Float64,
    }
)


def effort_doses(efforts: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """What each effort adds to the channels that follow from the catalogue's exposures and the load.

    Lumbar moments and compressions, high-rep lifting and the grip index need a body, a maximum or a history and are
    computed elsewhere.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table, N rows.
    catalogue : Catalogue
        Holds every movement of the efforts.

    Returns
    -------
    DataFrame
        Columns `effort` (row number in `efforts`, from 0), `channel`, `value`, `low`, `high` in the unit of the
        channel. An effort that feeds a channel by an amount that is not known has an empty value, low 0 and an empty
        high bound.
    """
    if efforts.is_empty():
        return pl.DataFrame(schema=EFFORT_DOSE_SCHEMA)
    amounts = _amounts(efforts)
    routes = route_table(amounts.select("movement", "given").unique(), catalogue)
    amount = pl.coalesce(pl.when(pl.col("measure") == name).then(pl.col(name)) for name in MEASURES)
    load = pl.when(pl.col("times_load")).then(_load()).otherwise(1.0)
    fed = (
        amounts.join(routes, on=["movement", "given"], how="inner", maintain_order="left")
        .with_columns(amount=amount * pl.col("sets"), load=load)
        .filter(~(pl.col("times_load") & (pl.col("channel") != "tonnage") & (pl.col("load") == 0)).fill_null(False))
        .with_columns(_tonnage_without_load())
    )
    value = pl.col("amount") * pl.col("load")
    return fed.select(
        "effort",
        "channel",
        value=value * pl.col("unit_value"),
        low=(value * pl.col("share_low") * pl.col("unit_low")).fill_null(0.0),
        high=value * pl.col("share_high") * pl.col("unit_high"),
    )


def _amounts(efforts: pl.DataFrame) -> pl.DataFrame:
    return efforts.select(
        pl.int_range(pl.len(), dtype=pl.UInt32).alias("effort"),
        "movement",
        given_code(),
        pl.col("sets").cast(pl.Float64),
        *MEASURES,
        "load_kg",
        pl.col("load_basis").cast(pl.String),
        "share_low",
        "share_high",
    )


def _load() -> pl.Expr:
    """External load in kg; empty where it should be there and is not known."""
    none_carried = (pl.col("load_basis") == "none") & (pl.col("load_rule") != "needs")
    none_possible = (pl.col("load_rule") == "never") & pl.col("load_kg").is_null()
    return pl.when(none_carried | none_possible).then(0.0).when(pl.col("load_basis") != "unknown").then("load_kg")


def _tonnage_without_load() -> list[pl.Expr]:
    """Reps without an external load, and loads without reps to count, are a tonnage of zero, whatever else is open."""
    nothing = (pl.col("channel") == "tonnage") & (
        (pl.col("load") == 0).fill_null(False) | (pl.col("unit_high") == 0).fill_null(False)
    )
    return [
        pl.when(nothing).then(0.0).otherwise(pl.col(name)).alias(name) for name in ("amount", "load", "unit_value")
    ] + [pl.when(nothing).then(0.0).otherwise(pl.col(name)).alias(name) for name in ("unit_low", "unit_high")]
