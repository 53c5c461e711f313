"""Which one-repetition maximum goes with an effort: tested, stated, estimated from recent sets, or stale."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.mechanics.rep_maximum import RETEST_CV

__all__ = ["RECENT_DAYS", "STALE_DAYS", "maxima_of"]

RECENT_DAYS = 84
"""Sets of this many days before an effort may stand in for a test [day] (judgement)."""
STALE_DAYS = 182
"""A maximum older than this is called stale [day] (judgement)."""

_TWO_SIDED_95 = 1.96
_SPREAD = {"tested": RETEST_CV, "stated": 2 * RETEST_CV, "stale": 3 * RETEST_CV}
"""Spread by state as a share of the maximum: tested from published retests, the others by judgement."""
_ESTIMATE_LOW, _ESTIMATE_HIGH = 1 - _TWO_SIDED_95 * RETEST_CV, 1.25
"""A recent set was seldom the last possible one, so an estimate reaches further up than down (judgement)."""
_MOST_REPS_FOR_ESTIMATE = 12


def maxima_of(
    lifted: pl.DataFrame, efforts: pl.DataFrame, rep_maxima: pl.DataFrame, catalogue: Catalogue
) -> pl.DataFrame:
    """Add the maximum that goes with each effort.

    The newest test or statement on or before the day counts; where there is none, the athlete's best set of up to 12
    reps in the 84 days before; where there is none either, the first maximum recorded later, as stale. A movement
    without a maximum of its own takes its parent lift's times the catalogue's share.

    Parameters
    ----------
    lifted : DataFrame
        Efforts to serve, with `athlete_id`, `date`, `movement`.
    efforts, rep_maxima : DataFrame
        `EFFORT` table to estimate from, `REP_MAXIMUM` table.
    catalogue : Catalogue
        Parent lifts and shares.

    Returns
    -------
    DataFrame
        `lifted` with `maximum_kg`, `maximum_kg_low`, `maximum_kg_high` [kg] and `state`; empty where nothing is known.
    """
    shares = _shares(catalogue)
    wanted = lifted.select("athlete_id", "date", "movement").unique()
    recorded = _by_movement(
        rep_maxima.select("athlete_id", "date", "load_kg", "state", lift="movement").cast({"state": pl.String}), shares
    )
    estimated = _by_movement(_best_sets(efforts), shares)
    found = wanted.sort("date")
    found = _nearest(found, recorded, "before", "backward")
    found = _nearest(found, estimated, "recent", "backward", strict_days=RECENT_DAYS)
    found = _nearest(found, recorded, "later", "forward")
    chosen = found.select("athlete_id", "date", "movement", *_chosen())
    return lifted.join(chosen, on=["athlete_id", "date", "movement"], how="left", maintain_order="left")


def _shares(catalogue: Catalogue) -> pl.DataFrame:
    """For each movement: the lifts whose maximum serves it, own first, with the share and its range."""
    rows: list[tuple[str, str, int, float, float, float]] = []
    for name, movement in catalogue.movements.items():
        parent = movement.rep_maximum
        rows.append((name, name, 0, 1.0, 1.0, 1.0))
        if parent is not None and parent.of != name:
            rows.append((name, parent.of, 1, parent.share.value, parent.share.low, parent.share.high))
    schema = ["movement", "lift", "distance", "share", "share_of_low", "share_of_high"]
    return pl.DataFrame(rows, schema=schema, orient="row")


def _by_movement(maxima: pl.DataFrame, shares: pl.DataFrame) -> pl.DataFrame:
    """Maxima by the movement they serve; of one day the movement's own goes before its parent's."""
    return (
        maxima.join(shares, on="lift")
        .with_columns(
            kg=pl.col("load_kg") * pl.col("share"),
            kg_low=pl.col("load_kg") * pl.col("share_of_low"),
            kg_high=pl.col("load_kg") * pl.col("share_of_high"),
        )
        .sort("date", "distance", pl.col("kg") * -1)
        .unique(["athlete_id", "movement", "date"], keep="first", maintain_order=True)
        .select("athlete_id", "movement", "date", "kg", "kg_low", "kg_high", "state")
    )


def _best_sets(efforts: pl.DataFrame) -> pl.DataFrame:
    """Best estimate of each day from sets of at most 12 reps, by Epley's line."""
    reps, load = pl.col("reps"), pl.col("load_kg")
    usable = (pl.col("load_basis") == "external") & (load > 0) & reps.is_between(1, _MOST_REPS_FOR_ESTIMATE)
    estimate = pl.when(reps == 1).then(load).otherwise(load * (1 + reps / 30))
    best = (
        efforts.filter(usable & (pl.col("share_low") == 1))
        .group_by("athlete_id", "movement", "date")
        .agg(load_kg=estimate.max())
        .sort("date")
    )
    window = pl.col("load_kg").rolling_max_by("date", f"{RECENT_DAYS}d", closed="right")
    return best.select(
        "athlete_id",
        "date",
        window.over("athlete_id", "movement").alias("load_kg"),
        state=pl.lit("estimated"),
        lift="movement",
    )


def _nearest(
    wanted: pl.DataFrame, known: pl.DataFrame, name: str, strategy: str, strict_days: int | None = None
) -> pl.DataFrame:
    columns = {"kg": f"{name}_kg", "kg_low": f"{name}_low", "kg_high": f"{name}_high", "state": f"{name}_state"}
    table = known.rename(columns).with_columns(pl.col("date").alias(f"{name}_date")).sort("date")
    return wanted.sort("date").join_asof(
        table,
        on="date",
        by=["athlete_id", "movement"],
        strategy=strategy,  # type: ignore[arg-type]
        tolerance=None if strict_days is None else f"{strict_days}d",
        allow_exact_matches=strict_days is None,
        check_sortedness=False,
    )


def _chosen() -> list[pl.Expr]:
    fresh = (pl.col("date") - pl.col("before_date")).dt.total_days() <= STALE_DAYS
    source = (
        pl.when(pl.col("before_kg").is_not_null() & fresh)
        .then(pl.lit("before"))
        .when(pl.col("recent_kg").is_not_null())
        .then(pl.lit("recent"))
        .when(pl.col("before_kg").is_not_null())
        .then(pl.lit("stale"))
        .when(pl.col("later_kg").is_not_null())
        .then(pl.lit("later"))
    )
    state = (
        pl.when((source == "before") & (pl.col("before_state") == "tested"))
        .then(pl.lit("tested"))
        .when((source == "before") & (pl.col("before_state") == "stated"))
        .then(pl.lit("stated"))
        .when(source.is_in(["before", "recent"]))
        .then(pl.lit("estimated"))
        .when(source.is_not_null())
        .then(pl.lit("stale"))
    )

    def pick(part: str) -> pl.Expr:
        before = source.is_in(["before", "stale"])
        return (
            pl.when(before)
            .then(f"before_{part}")
            .when(source == "recent")
            .then(f"recent_{part}")
            .when(source == "later")
            .then(f"later_{part}")
        )

    spread = state.replace_strict(_SPREAD, default=None, return_dtype=pl.Float64) * _TWO_SIDED_95
    low = pl.when(state == "estimated").then(_ESTIMATE_LOW).otherwise(1 - spread)
    high = pl.when(state == "estimated").then(_ESTIMATE_HIGH).otherwise(1 + spread)
    return [
        pick("kg").alias("maximum_kg"),
        (pick("low") * low).alias("maximum_kg_low"),
        (pick("high") * high).alias("maximum_kg_high"),
        state.alias("state"),
    ]
