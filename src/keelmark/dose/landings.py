"""Landings by intensity class, with the forces measured under the feet in such landings."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.heights import height_kinds
from keelmark.contracts.frames import EFFORT
from keelmark.dose.effort_dose import effort_doses
from keelmark.mechanics.landing import CLASS_FORCES, landing_class_of_drop

__all__ = ["LANDING_SCHEMA", "landings_daily", "landings_efforts"]

LANDING_SCHEMA = pl.Schema(
    {
        "athlete_id": pl.String,
        "date": pl.Date,
        "kind": pl.String,
        "contacts": pl.Float64,
        "low": pl.Float64,
        "high": pl.Float64,
        "force_low": pl.Float64,
        "force_high": pl.Float64,
        "unknown": pl.Int64,
    }
)


def landings_daily(efforts: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """Landings of every athlete and day: the sum of `landings_efforts` by kind.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table.
    catalogue : Catalogue
        Contacts and landing classes of the movements.

    Returns
    -------
    DataFrame
        `LANDING_SCHEMA`: `kind` is low, moderate, high or step down; `contacts` with bounds (`high` empty when
        something is not known); `force_low` and `force_high` are the peak forces of that class under both feet, in
        body weights.
    """
    rows = landings_efforts(efforts, catalogue)
    return (
        rows.group_by("athlete_id", "date", "kind")
        .agg(
            contacts=pl.when(pl.col("contacts").count() > 0).then(pl.col("contacts").sum()),
            low=pl.col("low").sum(),
            high=pl.when(pl.col("high").null_count() == 0).then(pl.col("high").sum()),
            force_low=pl.col("force_low").first(),
            force_high=pl.col("force_high").first(),
            unknown=pl.col("contacts").null_count().cast(pl.Int64),
        )
        .select(LANDING_SCHEMA.names())
        .sort("athlete_id", "date", "kind")
    )


def landings_efforts(efforts: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """Landings of each effort.

    Both feet landing together count once. A step down from a box is kept apart: it is not a landing from a jump. A
    rebound is in the movement's own class; where a drop height is written, the height decides the class; a box that
    is jumped on is not dropped from.

    Parameters
    ----------
    efforts, catalogue
        As for `landings_daily`.

    Returns
    -------
    DataFrame
        `effort` (row number in `efforts`, from 0), then the columns of `LANDING_SCHEMA` but `unknown`; `contacts` and
        `high` are empty where the amount is not known.
    """
    efforts = EFFORT.check(efforts, where="landings")
    doses = effort_doses(efforts, catalogue).filter(pl.col("channel").is_in(["jump_contacts", "step_downs"]))
    classes = {name: movement.landing_class for name, movement in catalogue.movements.items()}
    rows = doses.join(
        efforts.with_row_index("effort").select("effort", "athlete_id", "date", "movement", "height_cm"), on="effort"
    )
    drop = height_kinds()["drop"]
    drops = [name for name in efforts["movement"].unique() if catalogue.height_kind(name) is drop]
    dropped = pl.col("movement").is_in(drops) & pl.col("height_cm").is_between(drop.low_cm, drop.high_cm)
    heights = rows.filter(dropped)["height_cm"].unique()
    class_of = {height: landing_class_of_drop(height / 100.0) for height in heights}
    by_drop = pl.col("height_cm").replace_strict(class_of, default=None, return_dtype=pl.String)
    kind = (
        pl.when(pl.col("channel") == "step_downs")
        .then(pl.lit("step down"))
        .when(dropped)
        .then(by_drop)
        .otherwise(pl.col("movement").replace_strict(classes, return_dtype=pl.String))
    )
    forces = (
        {name: pair[0] for name, pair in CLASS_FORCES.items()},
        {name: pair[1] for name, pair in CLASS_FORCES.items()},
    )
    return rows.with_columns(kind=kind).select(
        "effort",
        "athlete_id",
        "date",
        "kind",
        contacts="value",
        low="low",
        high="high",
        force_low=pl.col("kind").replace_strict(forces[0], default=None, return_dtype=pl.Float64),
        force_high=pl.col("kind").replace_strict(forces[1], default=None, return_dtype=pl.Float64),
    )
