"""All comparisons of a week: every athlete and channel, and the squad as a whole in every channel."""

from __future__ import annotations

import numpy as np
import polars as pl

from keelmark.marks.alone import departures
from keelmark.marks.discoveries import adjusted_shares

__all__ = ["alone_and_squad", "family"]

_ABOVE = pl.col("place").is_in(["above", "well_above"])
MOST = 0.5
"""A squad's week is told only where more than this share of those who did the work lay above their own marks."""


def alone_and_squad(rows: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Split tails into what is left to each athlete and the squad's week.

    Parameters
    ----------
    rows : DataFrame
        Columns athlete_id, channel, week, monday and tail, one row per judged week.

    Returns
    -------
    tuple of DataFrames
        The rows with their tails after the squad's week is taken off; and week, monday, channel, tail of the squad.
    """
    if rows.is_empty():
        return rows, rows.select("week", "monday", "channel", "tail")
    first = rows["monday"].min()
    place = rows.select(
        week=(pl.col("monday") - pl.lit(first)).dt.total_days() // 7,
        channel=pl.col("channel").rank("dense") - 1,
        pair=pl.struct("athlete_id", "channel").rank("dense") - 1,
    )
    week, pair, channel = (place[name].to_numpy().astype(np.int64) for name in ("week", "pair", "channel"))
    tails = np.full((1, week.max() + 1, pair.max() + 1), np.nan)
    tails[0, week, pair] = rows["tail"].to_numpy()
    of_pair = np.zeros(tails.shape[2], dtype=np.int64)
    of_pair[pair] = channel
    found = departures(tails, of_pair, int(channel.max()) + 1)
    squad = rows.select("week", "monday", "channel").with_columns(tail=pl.Series(found.squad[week, channel]))
    alone = rows.with_columns(tail=pl.Series(found.alone[0, week, pair], nan_to_null=True))
    return alone, squad.unique(["week", "channel"], maintain_order=True).filter(pl.col("tail").is_not_nan())


def family(rows: pl.DataFrame, squad: pl.DataFrame) -> pl.DataFrame:
    """The rows of athletes and those of the squad, with `q_value` over all comparisons of each week.

    Parameters
    ----------
    rows : DataFrame
        Columns athlete_id, week, monday, channel, tail, place, value, expected, lower, upper, in the order of the
        channels.
    squad : DataFrame
        Columns week, monday, channel, tail.

    Returns
    -------
    DataFrame
        Rows of the squad have no athlete; their amounts are medians over those who did the work, `people` counts these
        and `above` those of them who lay above their own marks.
    """
    done = rows.filter(pl.col("value") > 0)
    together = done.group_by("week", "channel", maintain_order=True).agg(
        pl.col("value", "expected", "lower", "upper").median(),
        people=pl.len().cast(pl.Int64),
        above=_ABOVE.sum().cast(pl.Int64),
    )
    most = pl.col("above") > MOST * pl.col("people")
    of_squad = squad.join(together, on=["week", "channel"], how="inner", maintain_order="left").with_columns(
        athlete_id=pl.lit(None, pl.String),
        place=pl.when(most).then(pl.lit("above")).otherwise(pl.lit("within")).cast(rows.schema["place"]),
    )
    return adjusted_shares(pl.concat([rows, of_squad], how="diagonal"))
