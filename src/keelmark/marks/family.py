"""All comparisons of a week: every athlete with all kinds of work, and the squad as a whole."""

from __future__ import annotations

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.cube import peak_channels
from keelmark.marks.allowance import allowance_weights
from keelmark.marks.alone import departures
from keelmark.marks.athlete_weeks import athlete_shares
from keelmark.marks.discoveries import adjusted_by_athlete, adjusted_shares

__all__ = ["alone_and_squad", "family", "squad_shares"]

_ABOVE = pl.col("place").is_in(["above", "well_above"])
MOST = 0.5
"""A squad's week is told only where more than this share of those who did the work lay above their own marks."""


def alone_and_squad(rows: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Split tails into what is left to each athlete and the squad's week.

    Parameters
    ----------
    rows : DataFrame
        Columns athlete_id, channel, week, monday, tail, expected and upper, one row per judged week.

    Returns
    -------
    tuple of DataFrames
        The rows with their tails after the squad's week is taken off, and `share`, that of usual athlete-weeks which
        hold anything at least as unusual; and week, monday, channel, tail, share of the squad.
    """
    if rows.is_empty():
        empty = rows.with_columns(share=pl.col("tail"))
        return empty, empty.select("week", "monday", "channel", "tail", "share")
    first = rows["monday"].min()
    place = rows.select(
        week=(pl.col("monday") - pl.lit(first)).dt.total_days() // 7,
        channel=pl.col("channel").rank("dense") - 1,
        pair=pl.struct("athlete_id", "channel").rank("dense") - 1,
        athlete=pl.col("athlete_id").rank("dense") - 1,
    )
    week, pair, channel, athlete = (
        place[name].to_numpy().astype(np.int64) for name in ("week", "pair", "channel", "athlete")
    )
    shape = (week.max() + 1, pair.max() + 1)
    tails, expected, upper = (np.full(shape, np.nan) for _ in range(3))
    for grid, name in ((tails, "tail"), (expected, "expected"), (upper, "upper")):
        grid[week, pair] = rows[name].to_numpy()
    of_pair, who = np.zeros(shape[1], dtype=np.int64), np.zeros(shape[1], dtype=np.int64)
    of_pair[pair], who[pair] = channel, athlete
    peaks = peak_channels(tuple(rows["channel"].unique().sort()))[of_pair]
    found = departures(tails[None], of_pair, int(channel.max()) + 1)
    shares = athlete_shares(found.alone, allowance_weights(expected, upper, peaks), who)
    squad = rows.select("week", "monday", "channel").with_columns(
        tail=pl.Series(found.squad[week, channel]), share=pl.Series(squad_shares(found.squad)[week, channel])
    )
    alone = rows.with_columns(
        tail=pl.Series(found.alone[0, week, pair], nan_to_null=True),
        share=pl.Series(shares[0, week, pair], nan_to_null=True),
    )
    return alone, squad.unique(["week", "channel"], maintain_order=True).filter(pl.col("tail").is_not_nan())


def squad_shares(tails: NDArray[np.float64]) -> NDArray[np.float64]:
    """The squad's tails, shape (week, channel), each times the number of kinds of work looked at that week."""
    kinds = (~np.isnan(tails)).sum(axis=1, keepdims=True)
    return np.asarray(np.minimum(tails * np.maximum(kinds, 1), 1.0))


def family(rows: pl.DataFrame, squad: pl.DataFrame) -> pl.DataFrame:
    """The rows of athletes and those of the squad, with `q_value` over all comparisons of each week.

    Parameters
    ----------
    rows : DataFrame
        Columns athlete_id, week, monday, channel, tail, place, value, expected, lower, upper, in the order of the
        channels; with a `share`, an athlete with all kinds of work is one comparison, without it each row is one.
    squad : DataFrame
        Columns week, monday, channel, tail, and `share` where the rows have it.

    Returns
    -------
    DataFrame
        Rows of the squad have no athlete; their amounts are medians over those who did the work, `people` counts these
        and `above` those of them who lay above their own marks.
    """
    done = rows.filter(pl.col("value") > 0)
    middle = done.group_by("week", "channel", maintain_order=True).agg(
        pl.col("value", "expected", "lower", "upper").median(),
        people=pl.len().cast(pl.Int64),
        above=_ABOVE.sum().cast(pl.Int64),
    )
    most = pl.col("above") > MOST * pl.col("people")
    of_squad = squad.join(middle, on=["week", "channel"], how="inner", maintain_order="left").with_columns(
        athlete_id=pl.lit(None, pl.String),
        place=pl.when(most).then(pl.lit("above")).otherwise(pl.lit("within")).cast(rows.schema["place"]),
    )
    together = pl.concat([rows, of_squad], how="diagonal")
    return adjusted_by_athlete(together) if "share" in rows.columns else adjusted_shares(together)
