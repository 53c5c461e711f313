"""Weekly figures laid out as arrays (week, pair); a pair is one athlete and one channel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.cube import peak_channels
from keelmark.load.windows import ENOUGH_KNOWN
from keelmark.marks.named_weeks import WeekNames, no_names, week_names

__all__ = ["WeekGrid", "week_grid", "whole_grid"]

_PAIR = ["athlete_id", "channel"]


@dataclass(frozen=True, slots=True)
class WeekGrid:
    """Weeks of all pairs, time-major; NaN where an athlete has no row or nothing is known.

    Parameters
    ----------
    value, sure, most, low : float arrays, shape (week, pair)
        Amount; the part of it that is on record; the amount with much done on missing days (infinite where that is
        open); lower bound of what is on record.
    usable : bool array, shape (week, pair)
        Weeks of which enough days are known to learn from.
    labelled : bool array, shape (week, pair)
        Weeks that bear a name of the calendar themselves; they teach no usual amount.
    names : WeekNames
        What the calendar calls the weeks, those after a named one included.
    channel : int array, shape (pair,)
        Number of the pair's channel, from 0.
    week_of_row, pair_of_row : int arrays, shape (row,)
        Where each row of the weekly figures lies in the grid.
    """

    value: NDArray[np.float64]
    sure: NDArray[np.float64]
    most: NDArray[np.float64]
    low: NDArray[np.float64]
    usable: NDArray[np.bool_]
    labelled: NDArray[np.bool_]
    names: WeekNames
    channel: NDArray[np.int64]
    week_of_row: NDArray[np.int64]
    pair_of_row: NDArray[np.int64]

    @property
    def channels(self) -> int:
        """How many channels occur."""
        return int(self.channel.max(initial=-1)) + 1

    def rows(self, grid: NDArray[np.generic]) -> NDArray[np.generic]:
        """Values of the grid in the order of the weekly rows."""
        return np.asarray(grid[self.week_of_row, self.pair_of_row])


def week_grid(weekly: pl.DataFrame, labels: pl.DataFrame | None = None) -> WeekGrid:
    """Lay out weekly figures.

    Parameters
    ----------
    weekly : DataFrame
        `WEEKLY_FIGURE` table.
    labels : DataFrame, optional
        `labelled_weeks` of these figures.
    """
    pairs = weekly.select(_PAIR).unique(maintain_order=True).with_row_index("pair")
    channel = pairs["channel"].rank("dense").cast(pl.Int64).to_numpy() - 1
    first = weekly["monday"].min()
    place = weekly.select(
        pair=weekly.select(_PAIR).join(pairs, on=_PAIR, how="left", maintain_order="left")["pair"].cast(pl.Int64),
        week=(pl.col("monday") - pl.lit(first)).dt.total_days() // 7,
    )
    week_of_row, pair_of_row = place["week"].to_numpy(), place["pair"].to_numpy()
    shape = (int(week_of_row.max(initial=-1)) + 1, pairs.height)

    def lay(column: pl.Series, empty: float) -> NDArray[np.float64]:
        grid = np.full(shape, empty)
        grid[week_of_row, pair_of_row] = column.cast(pl.Float64).to_numpy()
        return grid

    value = lay(weekly["value"], np.nan)
    known = lay(weekly["known_days"], 0.0)
    sure = np.minimum(lay(weekly["on_record"].fill_null(weekly["value"]), np.nan), value)
    whole = np.where(known >= 7, value, np.inf)
    named = _named(weekly, labels)
    kind, start, spread, follows = week_names(named)
    peaks = peak_channels(tuple(pairs["channel"]))
    names = WeekNames(
        lay(kind, 0.0).astype(np.int64), lay(named["share"].fill_null(0.0), 0.0), start, spread, follows, peaks
    )
    return WeekGrid(
        value=value,
        sure=sure,
        most=np.fmax(lay(weekly["at_most"].fill_null(pl.Series(whole[week_of_row, pair_of_row])), np.nan), value),
        low=lay(weekly["low"], np.nan),
        usable=(known >= ENOUGH_KNOWN * 7) & ~np.isnan(value),
        labelled=(names.kind > 0) & ~follows[names.kind],
        names=names,
        channel=channel,
        week_of_row=week_of_row,
        pair_of_row=pair_of_row,
    )


def whole_grid(value: NDArray[np.float64], channel: NDArray[np.int64], names: WeekNames | None = None) -> WeekGrid:
    """Weeks that are all known: amounts, shape (week, pair), each pair's channel number, names of the calendar."""
    week, pair = (places.ravel() for places in np.indices(value.shape))
    everywhere, names = np.ones(value.shape, dtype=bool), names or no_names(value.shape)
    labelled = (names.kind > 0) & ~names.follows[names.kind]
    return WeekGrid(value, value, value, value, everywhere, labelled, names, channel, week, pair)


def _named(weekly: pl.DataFrame, labels: pl.DataFrame | None) -> pl.DataFrame:
    """`label`, `after` and `share` of each row's week, null where it has no name."""
    if labels is None or labels.is_empty():
        return pl.DataFrame(
            {"label": [None] * weekly.height, "after": [None] * weekly.height, "share": [None] * weekly.height},
            schema={"label": pl.String, "after": pl.Boolean, "share": pl.Float64},
        )
    key = ["athlete_id", "week"]
    joined = weekly.select(key).join(labels, on=key, how="left", maintain_order="left")
    return joined.select("label", "after", "share")
