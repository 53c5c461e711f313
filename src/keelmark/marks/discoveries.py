"""Which weeks stand out when the whole squad is looked at together."""

from __future__ import annotations

from datetime import date

import numpy as np
import polars as pl
from numpy.typing import NDArray
from statsmodels.stats.multitest import multipletests

from keelmark.contracts.channels import CHANNEL_BY_KEY

__all__ = ["adjusted_by_athlete", "adjusted_shares", "said_lately", "standing_out"]

LEAST_CHANGE = 1.25
"""A week less than a quarter above what was expected gives no notice, however steady the athlete (judgement)."""


def adjusted_shares(tails: pl.DataFrame) -> pl.DataFrame:
    """Adjust tail shares for the number of comparisons made in each week.

    Parameters
    ----------
    tails : DataFrame
        Columns `week` and `tail`, one row per athlete and channel; rows without a tail are left out.

    Returns
    -------
    DataFrame
        The same with `q_value`: the smallest false discovery rate at which the row would stand out.

    Notes
    -----
    Benjamini Y, Hochberg Y (1995). Controlling the false discovery rate. J R Stat Soc B 57(1):289-300. The amounts of
    different channels rise and fall together, which leaves the procedure valid (Benjamini & Yekutieli 2001).
    """
    ordered = tails.filter(pl.col("tail").is_not_null()).sort("week", maintain_order=True)
    parts = [
        multipletests(tail.to_numpy(), method="fdr_bh")[1]
        for _, tail in ((week, part["tail"]) for week, part in ordered.group_by("week", maintain_order=True))
    ]
    q_value = np.concatenate(parts) if parts else np.empty(0)
    return ordered.with_columns(q_value=pl.Series(q_value, dtype=pl.Float64))


def adjusted_by_athlete(shares: pl.DataFrame) -> pl.DataFrame:
    """Adjust shares of athlete-weeks for the number of athletes looked at in each week.

    Parameters
    ----------
    shares : DataFrame
        Columns `week`, `athlete_id` (empty for the squad as a whole), `share`; an athlete's smallest share is that
        athlete's comparison. Rows without a share are left out.

    Returns
    -------
    DataFrame
        The same with `q_value`: the smallest false discovery rate at which the row stands out, for an athlete's first
        row that of the athlete in `adjusted_shares`.

    Notes
    -----
    Benjamini Y, Hochberg Y (1995). J R Stat Soc B 57(1):289-300, over the smallest share of each athlete; a further row
    of the same athlete is held against the line that the athletes' shares draw. The shares are weighted before:
    Roeder K, Wasserman L (2009). Statist Sci 24(4):398-413; see `allowance_weights`.
    """
    known = shares.filter(pl.col("share").is_not_null()).sort("week", maintain_order=True)
    parts = [_within_week(part) for _, part in known.group_by("week", maintain_order=True)]
    q_value = np.concatenate(parts) if parts else np.empty(0)
    return known.with_columns(q_value=pl.Series(q_value, dtype=pl.Float64))


def _within_week(rows: pl.DataFrame) -> NDArray[np.float64]:
    """Adjusted share of each row: its athlete's if it is the smallest, else where it would stand among the athletes."""
    least = rows.group_by("athlete_id").agg(pl.col("share").min())["share"].sort().to_numpy()
    adjusted = np.append(multipletests(least, method="fdr_bh", is_sorted=True)[1], np.inf)
    share = rows["share"].to_numpy()
    behind = np.searchsorted(least, share, side="right")
    return np.asarray(np.minimum(np.minimum(share * len(least) / behind, adjusted[behind]), 1.0), dtype=np.float64)


def standing_out(judged: pl.DataFrame, false_discovery: float) -> pl.DataFrame:
    """Athlete-weeks that stand out, each led by its most unusual channel.

    Parameters
    ----------
    judged : DataFrame
        `MARK` rows that may give a notice, from `adjusted_shares`, with the `value` of each, in the order of the
        channels.
    false_discovery : float
        Rate of false notices among all notices of a week.

    Returns
    -------
    DataFrame
        The leading row of each athlete-week with `with_it`: the other channels that stand out in the
        same week. One stretch of work usually raises several channels; they are one notice. An index, which has no unit
        to think in, leads only where nothing else stands out.
    """
    out = judged.filter(
        (pl.col("q_value") <= false_discovery)
        & pl.col("place").is_in(["above", "well_above"])
        & (pl.col("value") >= LEAST_CHANGE * pl.col("expected"))
    )
    index = pl.col("channel").is_in([key for key, channel in CHANNEL_BY_KEY.items() if channel.unit == "index"])
    led = out.sort(index, "tail", maintain_order=True).group_by("athlete_id", "week", maintain_order=True)
    return led.agg(
        pl.all().exclude("athlete_id", "week", "channel").first(),
        pl.col("channel").first(),
        with_it=pl.col("channel").slice(1),
    )


def said_lately(found: pl.DataFrame, weeks: int) -> pl.Series:
    """Which athlete-weeks only repeat what was said of one of their channels in the weeks before.

    Parameters
    ----------
    found : DataFrame
        Rows of `standing_out`, with `monday`.
    weeks : int
        How long something once said need not be said again.
    """
    last: dict[tuple[str, str], date] = {}
    repeated: dict[tuple[str, date], bool] = {}
    for row in found.sort("monday").iter_rows(named=True):
        channels = [row["channel"], *row["with_it"]]
        said = [last[key] for key in ((row["athlete_id"], name) for name in channels) if key in last]
        silent = any((row["monday"] - day).days < 7 * weeks for day in said)
        repeated[row["athlete_id"], row["monday"]] = silent
        if not silent:
            last.update({(row["athlete_id"], name): row["monday"] for name in channels})
    return pl.Series([repeated[pair] for pair in found.select("athlete_id", "monday").iter_rows()], dtype=pl.Boolean)
