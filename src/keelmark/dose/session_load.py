"""Session load: how hard the whole session felt, times how long it took."""

from __future__ import annotations

from typing import TypeVar

import polars as pl

__all__ = ["session_doses", "session_load"]

Amount = TypeVar("Amount", float, pl.Expr)


def session_load(rating: Amount, minutes: Amount) -> Amount:
    """Load of one session from its rating and its length.

    Internal load as the athlete felt it; it cannot tell one kind of work from another.

    Parameters
    ----------
    rating : float or polars expression
        Rating of the whole session on the modified category-ratio scale, 0 to 10.
    minutes : float or polars expression
        Length of the session, min.

    Returns
    -------
    float or polars expression
        Session load, arbitrary units (AU).

    Notes
    -----
    Foster C et al. (2001). A new approach to monitoring exercise training. J Strength Cond Res 15(1):109-115.
    """
    return rating * minutes


def session_doses(efforts: pl.DataFrame, sessions: pl.DataFrame) -> pl.DataFrame:
    """Session load of every session that is on record, by a session row or by efforts alone.

    Parameters
    ----------
    efforts, sessions : DataFrame
        `EFFORT` and `SESSION` tables.

    Returns
    -------
    DataFrame
        One row per athlete, day and session: `athlete_id`, `date`, `session_id`, `session_rpe`, `duration_min`,
        `value`, `low`, `high` (AU). A session without rating or without length has an empty value, low 0 and an
        empty high bound.
    """
    known = sessions.select("athlete_id", "date", "session_id", "session_rpe", "duration_min")
    only_efforts = (
        efforts.select("athlete_id", "date", "session_id")
        .unique(maintain_order=True)
        .join(known, on=["athlete_id", "session_id"], how="anti")
    )
    value = session_load(pl.col("session_rpe"), pl.col("duration_min"))
    return pl.concat([known, only_efforts], how="diagonal").with_columns(
        value=value, low=value.fill_null(0.0), high=value
    )
