"""Daily doses as plain arrays, athlete by athlete, ready to be laid out block by block."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.channels import CHANNELS

__all__ = ["DoseRows", "codes", "dose_rows"]


@dataclass(frozen=True, slots=True)
class DoseRows:
    """Rows of `DAILY_DOSE` sorted by athlete; arrays of shape (row,).

    Parameters
    ----------
    channels : tuple of str
        Channels that occur, in the order of the contract.
    day, athlete, channel : int arrays
        Number of the day from the first Monday, of the athlete and of the channel.
    value, low, high : float arrays
        Dose and bounds, NaN where not known; an upper bound may be open although all work is known.
    partly : bool array
        Whether some work of the row lacks a load, a time or an amount.
    """

    channels: tuple[str, ...]
    day: NDArray[np.int64]
    athlete: NDArray[np.int64]
    channel: NDArray[np.int64]
    value: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    partly: NDArray[np.bool_]

    def of_athletes(self, first: int, last: int) -> DoseRows:
        """Rows of athletes from `first` up to but not including `last`, numbered from 0."""
        some = slice(*np.searchsorted(self.athlete, [first, last]))
        return DoseRows(
            self.channels,
            self.day[some],
            self.athlete[some] - first,
            self.channel[some],
            self.value[some],
            self.low[some],
            self.high[some],
            self.partly[some],
        )


def dose_rows(daily: pl.DataFrame, athletes: tuple[str, ...], first: date) -> DoseRows:
    """Number the rows of a `DAILY_DOSE` table.

    Parameters
    ----------
    daily : DataFrame
        `DAILY_DOSE` table.
    athletes : tuple of str
        Athletes in the order of their numbers.
    first : date
        The Monday that is day 0.
    """
    present = set(daily["channel"].unique())
    channels = tuple(channel.key for channel in CHANNELS if channel.key in present)
    numbered = daily.select(
        athlete=codes(daily["athlete_id"], athletes),
        channel=codes(daily["channel"], channels),
        day=(pl.col("date") - pl.lit(first)).dt.total_days(),
        value="value",
        low="low",
        high="high",
        partly=pl.col("unknown") > 0,
    )
    if not numbered["athlete"].is_sorted():
        short = numbered["athlete"].to_numpy().astype(np.uint16 if len(athletes) < 2**16 else np.int64)
        numbered = numbered[np.argsort(short, kind="stable")]
    return DoseRows(
        channels,
        *(numbered[name].to_numpy() for name in ("day", "athlete", "channel", "value", "low", "high", "partly")),
    )


def codes(names: pl.Series, order: tuple[str, ...]) -> pl.Series:
    """Place of each name in an order."""
    return names.cast(pl.Enum(order)).to_physical().cast(pl.Int64)
