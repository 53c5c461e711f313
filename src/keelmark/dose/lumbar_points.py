"""Daily lumbar figures without bounds for logs of many millions of efforts: the same model, a straight line per row."""

from __future__ import annotations

from typing import Literal

import polars as pl
import polars.selectors as cs

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import Family, PostureTable, shipped_postures
from keelmark.dose.lumbar import LUMBAR_CHANNELS, described_pairs, dose_of_reps
from keelmark.dose.lumbar_amounts import RATES, amount_columns, families_of
from keelmark.dose.lumbar_rows import believable_load, loading_rows, movement_table

__all__ = ["lumbar_points"]

Engine = Literal["auto", "streaming"]

_LINE = ("moment", "moment_per_kg", "compression", "compression_per_kg", "seconds", "mean_share", "measured")
_BY_HEIGHT = ("athlete_id", "movement", "written_cm", "bar_from_cm")


def lumbar_points(
    efforts: pl.LazyFrame,
    athletes: pl.DataFrame,
    catalogue: Catalogue,
    *,
    postures: PostureTable | None = None,
    engine: Engine = "streaming",
) -> pl.DataFrame:
    """Central lumbar figures of every athlete and day, for logs too long for bounds.

    Scope: the values of `lumbar_daily`, without bounds. An effort whose load, amount or posture is not known is
    counted in `unknown` and adds nothing.

    Parameters
    ----------
    efforts : LazyFrame
        `EFFORT` table, for example a scan of Parquet files.
    athletes : DataFrame
        `ATHLETE` table; efforts of others are of people of whom nothing is known.
    catalogue : Catalogue
        Paces and rates of the movements.
    postures : PostureTable, optional
        The shipped one unless given.
    engine : "auto" or "streaming"
        As in polars; streaming serves files larger than memory.

    Returns
    -------
    DataFrame
        `athlete_id`, `date`, one column per lumbar channel (empty where no effort fed it), `efforts`, `unknown`.
    """
    present = efforts.select("athlete_id", "movement").unique().collect(engine=engine)
    loading, silent = families_of(present["movement"], catalogue, postures or shipped_postures())
    movements = movement_table(loading, silent, catalogue)
    written = pl.col("height_cm").is_not_null() | pl.col("start_height_cm").is_not_null()
    parts = [_sums(_plain(efforts.filter(~written), present, athletes, loading, movements))]
    with_heights = loading_rows(efforts.filter(written), movements)
    special = with_heights.select(_BY_HEIGHT).unique().collect(engine=engine)
    if special.height:
        lines = _lines(special, athletes, loading)
        joined = with_heights.join(lines.lazy(), on=_BY_HEIGHT, how="left", nulls_equal=True)
        parts.append(_sums(joined.with_columns(known=pl.col("missing").is_null())))
    daily = [part.collect(engine=engine) for part in parts]
    return daily[0] if len(daily) == 1 else _added(pl.concat(daily))


def _plain(
    efforts: pl.LazyFrame,
    present: pl.DataFrame,
    athletes: pl.DataFrame,
    loading: dict[str, Family],
    movements: pl.DataFrame,
) -> pl.LazyFrame:
    """Efforts without written heights: one join brings everything the model needs."""
    nothing = pl.lit(None, pl.Float64)
    pairs = present.join(movements, on="movement").with_columns(written_cm=nothing, bar_from_cm=nothing)
    lines = _lines(pairs.filter(~pl.col("missing_posture")).select(_BY_HEIGHT), athletes, loading)
    table = pairs.join(
        lines.select("athlete_id", "movement", *_LINE), on=["athlete_id", "movement"], how="left"
    ).select("athlete_id", "movement", "needs_load", "never_load", "held_by_time", cs.by_name(RATES), *_LINE)
    times, cycles = amount_columns(ends=("",))
    return (
        efforts.join(table.lazy(), on=["athlete_id", "movement"], how="inner")
        .with_columns(*times, load_used=believable_load())
        .with_columns(*cycles, known=pl.col("times").is_not_null() & pl.col("load_used").is_not_null())
    )


def _lines(pairs: pl.DataFrame, athletes: pl.DataFrame, loading: dict[str, Family]) -> pl.DataFrame:
    """The straight lines of the model for bodies in postures."""
    described = described_pairs(pairs.with_columns(held=pl.lit(False)), athletes, loading)
    return described.select(*_BY_HEIGHT, *_LINE)


def _sums(rows: pl.LazyFrame) -> pl.LazyFrame:
    load = pl.col("load_used")
    seconds = pl.when("held").then(1.0).otherwise("seconds")
    known = rows.with_columns(
        moment=pl.when("known").then(pl.col("moment") + pl.col("moment_per_kg") * load),
        compression=pl.when("known").then(pl.col("compression") + pl.col("compression_per_kg") * load),
    ).with_columns(impulse=pl.col("moment") * pl.col("mean_share") * seconds)
    doses = [(name, dose_of_reps(name)) for name in LUMBAR_CHANNELS]
    sums = [(dose.max() if name == "lumbar_peak" else dose.sum()).alias(name) for name, dose in doses]
    return known.group_by("athlete_id", "date").agg(
        *sums, efforts=pl.col("known").sum(), unknown=(~pl.col("known")).sum()
    )


def _added(parts: pl.DataFrame) -> pl.DataFrame:
    columns = [pl.col(name).max() if name == "lumbar_peak" else pl.col(name).sum() for name in LUMBAR_CHANNELS]
    return parts.group_by("athlete_id", "date").agg(*columns, pl.col("efforts", "unknown").sum())
