"""How many full sets an effort of a hinge lift was worth, given the athlete's one-repetition maximum."""

from __future__ import annotations

from datetime import date

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import DAILY_DOSE, EFFORT, REP_MAXIMUM
from keelmark.dose.adding import added_up
from keelmark.dose.rep_maxima import maxima_of
from keelmark.mechanics.rep_maximum import reps_possible

__all__ = ["EXTRAPOLATED_FROM", "high_rep_daily", "high_rep_details", "high_rep_efforts"]

EXTRAPOLATED_FROM = 12.0
"""Reps in one set above which the formula is extrapolated [rep]."""

_CLOCK = pl.coalesce("effort_s", pl.col("duration_s") * pl.col("sets"))
_PIECE = ("athlete_id", "date", "session_id", "block", "movement", "effort_s", "duration_s")


def high_rep_daily(
    efforts: pl.DataFrame, rep_maxima: pl.DataFrame, catalogue: Catalogue, *, since: date | None = None
) -> pl.DataFrame:
    """High-rep lifting of every athlete and day: the sum of `high_rep_efforts`.

    Parameters
    ----------
    efforts, rep_maxima : DataFrame
        `EFFORT` and `REP_MAXIMUM` tables.
    catalogue : Catalogue
        Says which movements count (`high_rep`) and which maximum they go by.
    since : date, optional
        Only days from this one on.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` rows of channel `high_rep` [capacity].
    """
    rows = high_rep_efforts(efforts, rep_maxima, catalogue, since=since)
    return DAILY_DOSE.check(added_up(rows), where="high-rep daily dose")


def high_rep_efforts(
    efforts: pl.DataFrame, rep_maxima: pl.DataFrame, catalogue: Catalogue, *, since: date | None = None
) -> pl.DataFrame:
    """What each effort adds to high-rep lifting.

    Parameters
    ----------
    efforts, rep_maxima, catalogue, since
        As for `high_rep_daily`.

    Returns
    -------
    DataFrame
        `effort` (row number in `efforts`, from 0), `athlete_id`, `date`, `channel`, `value`, `low`, `high` [capacity].
        Where load, reps or maximum are not known, `value` and `high` are empty and `low` is 0.
    """
    details = high_rep_details(efforts, rep_maxima, catalogue, since=since)
    return details.select(
        "effort",
        "athlete_id",
        "date",
        channel=pl.lit("high_rep"),
        value="capacities",
        low=pl.col("capacities_low").fill_null(0.0),
        high="capacities_high",
    )


def high_rep_details(
    efforts: pl.DataFrame, rep_maxima: pl.DataFrame, catalogue: Catalogue, *, since: date | None = None
) -> pl.DataFrame:
    """The same, with what it rests on.

    Parameters
    ----------
    efforts, rep_maxima, catalogue, since
        As for `high_rep_daily`.

    Returns
    -------
    DataFrame
        One row per effort of a movement that counts: `effort`, `athlete_id`, `date`, `movement`, `sets`, `reps`,
        `load_kg`, `maximum_kg` with `_low` and `_high`, `state` (tested, stated, estimated, stale; empty when there is
        no maximum), `reps_possible` with bounds, `extrapolated` (the formula is used above 12 reps), `above_maximum`
        (more was lifted than the maximum on record, so each rep counts as one full set, or each set as one, which is
        the lower bound), `capacities` with bounds,
        `reps_per_minute` where the time is known: reps of that movement in one part of the session over the time on
        its clock, pauses and other work included.

    Notes
    -----
    capacities = sets * reps / n, n = 30 (M / L - 1), at least 1: whoever lifts a load once can hold one rep of it.
    """
    efforts = EFFORT.check(efforts, where="high-rep lifting")
    rep_maxima = REP_MAXIMUM.check(rep_maxima, where="high-rep lifting")
    counted = [name for name, movement in catalogue.movements.items() if movement.high_rep]
    lifted = efforts.with_row_index("effort").filter(pl.col("movement").is_in(counted))
    lifted = lifted if since is None else lifted.filter(pl.col("date") >= since)
    load = pl.when((pl.col("load_basis") == "external") & (pl.col("load_kg") > 0)).then("load_kg")
    rows = maxima_of(lifted.with_columns(load_kg=load), efforts, rep_maxima, catalogue)
    possible = {end: _possible(f"maximum_kg{end}") for end in ("", "_low", "_high")}
    above = pl.col("load_kg") > pl.col("maximum_kg")
    possible["_high"] = pl.when(above).then(pl.max_horizontal(possible["_high"], "reps")).otherwise(possible["_high"])
    done = pl.col("sets") * pl.col("reps")
    return rows.with_columns(
        reps_possible=possible[""],
        reps_possible_low=possible["_low"],
        reps_possible_high=possible["_high"],
        extrapolated=possible[""] > EXTRAPOLATED_FROM,
        above_maximum=above,
        capacities=done / possible[""],
        capacities_low=done * pl.col("share_low") / possible["_high"],
        capacities_high=done * pl.col("share_high") / possible["_low"],
        reps_per_minute=pl.when(_CLOCK > 0).then(60.0 * done.sum().over(_PIECE) / _CLOCK),
    ).select(
        "effort", "athlete_id", "date", "movement", "sets", "reps", "load_kg", "maximum_kg", "maximum_kg_low",
        "maximum_kg_high", "state", "reps_possible", "reps_possible_low", "reps_possible_high", "extrapolated",
        "above_maximum", "capacities", "capacities_low", "capacities_high", "reps_per_minute",
    )  # fmt: skip


def _possible(maximum: str) -> pl.Expr:
    return reps_possible(pl.col("load_kg"), pl.col(maximum)).clip(lower_bound=1.0)
