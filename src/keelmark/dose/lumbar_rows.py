"""Efforts that matter to the lower back, with load, heights and cycles to reckon with, and what is missing."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.heights import height_kinds
from keelmark.catalogue.posture import Family
from keelmark.dose.lumbar_amounts import amount_columns, cycle_rates
from keelmark.dose.rep_maxima import maxima_of

__all__ = ["LOAD_LIMIT_KG", "believable_load", "loading_rows", "movement_table", "with_most_load"]

LOAD_LIMIT_KG = 700.0
"""No lift, carry or partial lift of one person is taken to be heavier [kg] (judgement)."""


def movement_table(loading: dict[str, Family], silent: tuple[str, ...], catalogue: Catalogue) -> pl.DataFrame:
    """One row per movement that matters: how its efforts are to be read.

    Parameters
    ----------
    loading : dict of movement to Family
        Movements with a posture.
    silent : tuple of str
        Movements about whose posture nobody has said anything.
    catalogue : Catalogue
        Load rules and rates.

    Returns
    -------
    DataFrame
        `movement`, `needs_load`, `never_load`, `missing_posture`, `uses_height`, `uses_start`, `height_least` and
        `height_most` [cm], and the columns of `cycle_rates`.
    """
    other = height_kinds()["other"]
    kinds = {name: catalogue.height_kind(name) if name in catalogue else other for name in (*loading, *silent)}
    rows = [
        {
            "movement": name,
            "needs_load": name in catalogue and catalogue[name].load == "needs",
            "never_load": name in catalogue and catalogue[name].load == "never",
            "missing_posture": name in silent,
            "uses_height": name in loading and loading[name].height_role != "none",
            "uses_start": name in loading and loading[name].kind == "pull",
            "height_least": float(kinds[name].low_cm),
            "height_most": float(kinds[name].high_cm),
        }
        for name in (*loading, *silent)
    ]
    schema: dict[str, pl.DataType | type[pl.DataType]] = {"movement": pl.String}
    flags = ("needs_load", "never_load", "missing_posture", "uses_height", "uses_start")
    schema |= dict.fromkeys(flags, pl.Boolean) | dict.fromkeys(("height_least", "height_most"), pl.Float64)
    table = pl.DataFrame(rows, schema=schema)
    return table.join(cycle_rates(loading, catalogue), on="movement", how="left", maintain_order="left")


def loading_rows(efforts: pl.LazyFrame, movements: pl.DataFrame) -> pl.LazyFrame:
    """Efforts of the movements that matter, ready for the model.

    Parameters
    ----------
    efforts : LazyFrame
        Columns of `EFFORT`.
    movements : DataFrame
        From `movement_table`.

    Returns
    -------
    LazyFrame
        The efforts with `times`, `cycles` and bounds, `held`, `load_used` [kg], `written_cm`, `bar_from_cm` [cm],
        `missing`.
    """
    times, cycles = amount_columns()
    load = believable_load()
    return (
        efforts.join(movements.lazy(), on="movement", how="inner", maintain_order="left")
        .with_columns(*times, load_known=load)
        .with_columns(
            *cycles,
            load_used=pl.col("load_known").fill_null(0.0),
            written_cm=pl.when(pl.col("uses_height") & _height_holds()).then("height_cm"),
            bar_from_cm=pl.when(pl.col("uses_start") & _within("start_height_cm", _bar_limits())).then(
                "start_height_cm"
            ),
            missing=_missing(),
        )
    )


def with_most_load(
    rows: pl.DataFrame, efforts: pl.DataFrame, rep_maxima: pl.DataFrame | None, catalogue: Catalogue
) -> pl.DataFrame:
    """Add `load_most`, the load for the upper bound [kg]: the load itself, or what a rep maximum allows where unknown.

    Parameters
    ----------
    rows : DataFrame
        From `loading_rows`.
    efforts : DataFrame
        `EFFORT` table, to estimate maxima from.
    rep_maxima : DataFrame or None
        `REP_MAXIMUM` table; None leaves unknown loads without an upper bound.
    catalogue : Catalogue
        Parent lifts of the movements.

    Returns
    -------
    DataFrame
        `rows` with `load_most`, empty where nothing bounds the load, or where something else is missing.
    """
    rows = rows.with_columns(load_most=pl.when(pl.col("missing").is_null()).then("load_known"))
    open_ = pl.col("missing") == "load"
    if rep_maxima is None or rows.filter(open_).is_empty():
        return rows
    unknown = rows.filter(open_).select("effort", "athlete_id", "date", "movement")
    most = maxima_of(unknown, efforts, rep_maxima, catalogue).select("effort", most="maximum_kg_high")
    joined = rows.join(most, on="effort", how="left", maintain_order="left")
    return joined.with_columns(pl.coalesce("load_most", "most").alias("load_most")).drop("most")


def believable_load() -> pl.Expr:
    """External load [kg]; empty where it should be there and is not known, or is not to be believed.

    Reads `load_kg`, `load_basis`, and the flags `needs_load` and `never_load` of the movement.
    """
    none = (pl.col("load_basis") == "none") & ~pl.col("needs_load")
    never = pl.col("never_load") & pl.col("load_kg").is_null()
    believable = (pl.col("load_basis") != "unknown") & _within("load_kg", (0.0, LOAD_LIMIT_KG))
    return pl.when(none | never).then(0.0).when(believable).then("load_kg")


def _within(column: str, limits: tuple[float, float]) -> pl.Expr:
    return pl.col(column).is_between(*limits)


def _height_holds() -> pl.Expr:
    return pl.col("height_cm").is_between("height_least", "height_most")


def _bar_limits() -> tuple[float, float]:
    bar = height_kinds()["bar"]
    return bar.low_cm, bar.high_cm


def _plain(column: str) -> pl.Expr:
    """A figure without a trailing `.0`."""
    return pl.col(column).cast(pl.String).str.strip_suffix(".0")


def _missing() -> pl.Expr:
    """What is not known about the effort, in words; empty when nothing."""
    no_load = pl.col("load_known").is_null()
    beyond = no_load & ~_within("load_kg", (0.0, LOAD_LIMIT_KG)) & (pl.col("load_basis") == "external")
    odd_height = pl.col("uses_height") & ~_height_holds()
    odd_start = pl.col("uses_start") & ~_within("start_height_cm", _bar_limits())
    least, most = _bar_limits()
    beside = [_plain(name) for name in ("height_cm", "height_least", "height_most")]
    return (
        pl.when("missing_posture")
        .then(pl.lit("posture of this movement"))
        .when(pl.col("times").is_null())
        .then(pl.lit("amount"))
        .when(beyond)
        .then(pl.format(f"load: {{}} kg is not between 0 and {LOAD_LIMIT_KG:g}", _plain("load_kg")))
        .when(no_load)
        .then(pl.lit("load"))
        .when(odd_height)
        .then(pl.format("height: {} cm is not between {} and {}", *beside))
        .when(odd_start)
        .then(pl.format(f"start height: {{}} cm is not between {least:g} and {most:g}", _plain("start_height_cm")))
    )
