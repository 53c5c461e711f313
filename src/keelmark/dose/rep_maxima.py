"""Which one-repetition maximum goes with an effort: tested, stated, estimated from recent sets, or stale."""

from __future__ import annotations

from typing import Literal

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
_WHOSE = {"own": 0, "parent": 1}


def maxima_of(
    lifted: pl.DataFrame, efforts: pl.DataFrame, rep_maxima: pl.DataFrame, catalogue: Catalogue
) -> pl.DataFrame:
    """Add the maximum that goes with each effort.

    The newest test or statement of the last half year counts; where there is none, the athlete's best set of up to 12
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
    found = lifted.select("athlete_id", "date", "movement").unique().sort("date")
    recorded = _by_movement(
        rep_maxima.select("athlete_id", "date", "load_kg", "state", lift="movement").cast({"state": pl.String}), shares
    )
    estimated = _by_movement(_best_sets(efforts, found.join(shares, on="movement")), shares)
    for whose, distance in _WHOSE.items():
        of_tests, of_sets = (known.filter(pl.col("distance") == distance) for known in (recorded, estimated))
        found = _nearest(found, of_tests, f"before_{whose}", "backward")
        found = _same_day(found, of_sets, f"recent_{whose}")
        found = _nearest(found, of_tests, f"later_{whose}", "forward")
    chosen = found.select("athlete_id", "date", "movement", _chosen().alias("chosen")).unnest("chosen")
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
    """Maxima by the movement they serve, own (distance 0) and parent's (distance 1) apart; of one day the largest."""
    return (
        maxima.join(shares, on="lift")
        .with_columns(
            kg=pl.col("load_kg") * pl.col("share"),
            kg_low=pl.col("load_kg") * pl.col("share_of_low"),
            kg_high=pl.col("load_kg") * pl.col("share_of_high"),
        )
        .sort("date", pl.col("kg") * -1)
        .unique(["athlete_id", "movement", "date", "distance"], keep="first", maintain_order=True)
        .select("athlete_id", "movement", "date", "distance", "kg", "kg_low", "kg_high", "state")
    )


def _best_sets(efforts: pl.DataFrame, wanted: pl.DataFrame) -> pl.DataFrame:
    """Best estimate from sets of at most 12 reps in the 84 days before each day wanted, by Epley's line."""
    reps, load = pl.col("reps"), pl.col("load_kg")
    usable = (pl.col("load_basis") == "external") & (load > 0) & reps.is_between(1, _MOST_REPS_FOR_ESTIMATE)
    estimate = pl.when(reps == 1).then(load).otherwise(load * (1 + reps / 30))
    sets = efforts.filter(usable & (pl.col("share_low") == 1)).select(
        "athlete_id", "date", lift="movement", load_kg=estimate, asked=False
    )
    days = wanted.select("athlete_id", "date", "lift", load_kg=pl.lit(None, pl.Float64), asked=True).unique()
    window = pl.col("load_kg").rolling_max_by("date", f"{RECENT_DAYS}d", closed="left")
    return (
        pl.concat([sets, days])
        .sort("date")
        .with_columns(window.over("athlete_id", "lift").alias("load_kg"))
        .filter("asked", pl.col("load_kg").is_not_null())
        .select("athlete_id", "date", "load_kg", "lift", state=pl.lit("estimated"))
    )


def _same_day(wanted: pl.DataFrame, known: pl.DataFrame, name: str) -> pl.DataFrame:
    """Add what is known for the very day as `<name>_kg` and so on."""
    table = known.drop("distance").rename(_parts(name))
    return wanted.join(table, on=["athlete_id", "movement", "date"], how="left", maintain_order="left")


def _parts(name: str) -> dict[str, str]:
    return {part: f"{name}_{part}" for part in ("kg", "kg_low", "kg_high", "state")}


def _nearest(
    wanted: pl.DataFrame, known: pl.DataFrame, name: str, strategy: Literal["backward", "forward"]
) -> pl.DataFrame:
    """Add the nearest known maximum as `<name>_kg` and so on, and its day."""
    table = known.drop("distance").rename(_parts(name)).with_columns(pl.col("date").alias(f"{name}_date"))
    by = ["athlete_id", "movement"]
    return wanted.join_asof(table.sort("date"), on="date", by=by, strategy=strategy, check_sortedness=False)


def _chosen() -> pl.Expr:
    """The first that exists: fresh tests, recent sets, old tests, later tests; each time the own lift first."""
    candidates = []
    for kind, state in (("before", None), ("recent", "estimated"), ("before", "stale"), ("later", "stale")):
        for whose in _WHOSE:
            name = f"{kind}_{whose}"
            usable = pl.col(f"{name}_kg").is_not_null()
            if kind == "before" and state is None:
                usable &= (pl.col("date") - pl.col(f"{name}_date")).dt.total_days() <= STALE_DAYS
            candidates.append(pl.when(usable).then(_candidate(name, state)))
    return pl.coalesce(candidates)


def _candidate(name: str, state: str | None) -> pl.Expr:
    said = pl.col(f"{name}_state") if state is None else pl.lit(state)
    spread = said.replace_strict(_SPREAD, default=None, return_dtype=pl.Float64) * _TWO_SIDED_95
    estimated = said == "estimated"
    low = pl.when(estimated).then(_ESTIMATE_LOW).otherwise(1 - spread)
    high = pl.when(estimated).then(_ESTIMATE_HIGH).otherwise(1 + spread)
    return pl.struct(
        maximum_kg=f"{name}_kg",
        maximum_kg_low=pl.col(f"{name}_kg_low") * low,
        maximum_kg_high=pl.col(f"{name}_kg_high") * high,
        state=said,
    )
