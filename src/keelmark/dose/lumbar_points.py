"""Daily lumbar figures without bounds for logs of many millions of efforts: the same model, a straight line per row."""

from __future__ import annotations

from typing import Literal

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import Family, PostureTable
from keelmark.dose.lumbar import LUMBAR_CHANNELS, described_pairs, dose_of_reps
from keelmark.dose.lumbar_amounts import RATES, amount_columns, families_of
from keelmark.dose.lumbar_rows import believable_load, loading_rows, movement_table

__all__ = ["lumbar_points"]

Engine = Literal["auto", "streaming"]

_LINE = ("moment", "moment_per_kg", "compression", "compression_per_kg", "seconds", "mean_share", "measured")
_BY_HEIGHT = ("athlete_id", "movement", "written_cm", "bar_from_cm")
_FLAGS = ("needs_load", "never_load", "held_by_time")


def lumbar_points(
    efforts: pl.LazyFrame,
    athletes: pl.DataFrame,
    catalogue: Catalogue,
    *,
    postures: PostureTable | None = None,
    engine: Engine = "streaming",
) -> pl.DataFrame:
    """Central lumbar figures of every athlete and day, for logs too long for bounds.

    Scope: the values of `lumbar_daily`, without bounds. An effort whose load, amount or posture is not known is counted
    in `unknown` and adds nothing.

    Parameters
    ----------
    efforts : LazyFrame
        `EFFORT` table, for example a scan of Parquet files.
    athletes : DataFrame
        `ATHLETE` table; efforts of others are of people of whom nothing is known.
    catalogue : Catalogue
        Paces and rates of the movements.
    postures : PostureTable, optional
        The catalogue's unless given.
    engine : "auto" or "streaming"
        As in polars; streaming serves files larger than memory.

    Returns
    -------
    DataFrame
        `athlete_id`, `date`, one column per lumbar channel (empty where no effort fed it), `efforts`, `unknown`.
    """
    table = postures or catalogue.postures
    people, names = athletes["athlete_id"].unique().sort(), pl.Series(sorted(catalogue.movements))
    try:
        return _points(efforts, people, names, athletes, catalogue, table, engine)
    except pl.exceptions.InvalidOperationError:  # somebody or something that neither roster nor catalogue lists
        people = efforts.select("athlete_id").unique().collect(engine=engine)["athlete_id"].sort()
        names = efforts.select("movement").unique().collect(engine=engine)["movement"].sort()
        return _points(efforts, people, names, athletes, catalogue, table, engine)


def _points(
    efforts: pl.LazyFrame,
    people: pl.Series,
    names: pl.Series,
    athletes: pl.DataFrame,
    catalogue: Catalogue,
    postures: PostureTable,
    engine: Engine,
) -> pl.DataFrame:
    """Figures of a log of exactly these people and movements; as numbers they join and group faster than as text."""
    loading, silent = families_of(names, catalogue, postures)
    movements = movement_table(loading, silent, catalogue)
    coded = efforts.with_columns(pl.col("athlete_id").cast(pl.Enum(people)), pl.col("movement").cast(pl.Enum(names)))
    written = pl.col("height_cm").is_not_null() | pl.col("start_height_cm").is_not_null()
    with_heights = loading_rows(efforts.filter(written), movements)
    special = with_heights.select(_BY_HEIGHT).unique().collect(engine=engine)
    without = coded.filter(~written) if special.height else coded
    plain = _sums(_plain(without, people, names, athletes, loading, movements)).collect(engine=engine)
    plain = plain.cast({"athlete_id": pl.String})
    if special.is_empty():
        return plain
    lines = _lines(special, athletes, loading)
    known = pl.when(pl.col("missing").is_null()).then("load_used")
    rows = with_heights.with_columns(load_used=known).join(lines.lazy(), on=_BY_HEIGHT, how="left", nulls_equal=True)
    both = pl.concat([plain, _sums(rows).collect(engine=engine)])
    return both.group_by("athlete_id", "date").agg(*_gathered(), pl.col("efforts", "unknown").sum())


def _plain(
    efforts: pl.LazyFrame,
    people: pl.Series,
    names: pl.Series,
    athletes: pl.DataFrame,
    loading: dict[str, Family],
    movements: pl.DataFrame,
) -> pl.LazyFrame:
    """Efforts without written heights: one join on one number brings everything the model needs."""
    nothing = pl.lit(None, pl.Float64)
    everybody = pl.DataFrame({"athlete_id": people})
    pairs = everybody.join(movements.select("movement", "missing_posture", *_FLAGS, *RATES), how="cross")
    stated = pairs.filter(~pl.col("missing_posture")).select("athlete_id", "movement")
    lines = _lines(stated.with_columns(written_cm=nothing, bar_from_cm=nothing), athletes, loading)
    table = (
        pairs.join(lines.drop("written_cm", "bar_from_cm"), on=["athlete_id", "movement"], how="left")
        .with_columns(pl.col("athlete_id").cast(pl.Enum(people)), pl.col("movement").cast(pl.Enum(names)))
        .with_columns(_pair_number(len(names)))
        .drop("athlete_id", "movement")
    )
    times, cycles = amount_columns(ends=("",))
    joined = efforts.with_columns(_pair_number(len(names))).join(table.lazy(), on="pair_number", how="inner")
    return joined.with_columns(*times, load_used=believable_load()).with_columns(*cycles)


def _pair_number(movements: int) -> pl.Expr:
    athlete, movement = (pl.col(name).to_physical().cast(pl.UInt32) for name in ("athlete_id", "movement"))
    return (athlete * movements + movement).alias("pair_number")


def _lines(pairs: pl.DataFrame, athletes: pl.DataFrame, loading: dict[str, Family]) -> pl.DataFrame:
    """The straight lines of the model for bodies in postures."""
    described = described_pairs(pairs.with_columns(held=pl.lit(False)), athletes, loading)
    return described.select(*_BY_HEIGHT, *_LINE)


def _sums(rows: pl.LazyFrame) -> pl.LazyFrame:
    """Daily sums; an empty load, amount or line makes the dose of its row empty, and sums pass over it."""
    load, seconds = pl.col("load_used"), pl.when("held").then(1.0).otherwise("seconds")
    rows = rows.with_columns(
        moment=pl.col("moment") + pl.col("moment_per_kg") * load,
        compression=pl.col("compression") + pl.col("compression_per_kg") * load,
    ).with_columns(impulse=pl.col("moment") * pl.col("mean_share") * seconds)
    doses = rows.select("athlete_id", "date", *(dose_of_reps(name).alias(name) for name in LUMBAR_CHANNELS))
    known = pl.col("lumbar_compression").count()
    return doses.group_by("athlete_id", "date").agg(*_gathered(), efforts=known, unknown=pl.len() - known)


def _gathered() -> list[pl.Expr]:
    return [pl.col(name).max() if name == "lumbar_peak" else pl.col(name).sum() for name in LUMBAR_CHANNELS]
