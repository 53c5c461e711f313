"""Doses of single efforts or sessions added up to days, in the order of their rows.

The order is part of the figure: a sum of floats depends on it in its last bits. Each day is added up from its own rows,
one after another, so that its figures are the same whoever else is in the table and however many run at once.
"""

from __future__ import annotations

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import DAILY_DOSE

__all__ = ["added_up"]

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]

_KEYS = [channel.key for channel in CHANNELS]
_PEAKS = np.array([channel.gather == "max" for channel in CHANNELS], dtype=bool)


def added_up(doses: pl.DataFrame) -> pl.DataFrame:
    """Days of doses: amounts are added up, of peaks the largest counts.

    Parameters
    ----------
    doses : DataFrame
        Columns `athlete_id`, `date`, `channel`, `value`, `low`, `high` in the unit of the channel; an empty value
        marks a dose that is not known, whose `low` is what it was at least.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` table, sorted by athlete, day and channel in the order of the contract. `value` and `low` hold the
        known part; `high` is empty as soon as one part has none.
    """
    if doses.is_empty():
        return DAILY_DOSE.empty()
    names = doses["athlete_id"].unique().sort()
    athlete = doses["athlete_id"].cast(pl.Enum(names)).to_physical().to_numpy().astype(np.int64)
    channel = doses["channel"].cast(pl.Enum(_KEYS)).to_physical().to_numpy().astype(np.int64)
    day = doses["date"].to_physical().to_numpy().astype(np.int64)
    first, span = day.min(), int(day.max() - day.min()) + 1
    cells, cell = np.unique((athlete * span + day - first) * len(_KEYS) + channel, return_inverse=True)
    on, of = np.divmod(cells, len(_KEYS))
    value, low, high = (doses[name].to_numpy() for name in ("value", "low", "high"))
    unknown = np.isnan(value)
    known = _counted(cell, ~unknown, len(cells))
    columns = {
        "athlete_id": names.gather(on // span),
        "date": pl.Series(on % span + first, dtype=pl.Int32).cast(pl.Date),
        "channel": pl.Series(_KEYS, dtype=pl.String).gather(of),
        "value": pl.Series(np.where(known > 0, _day(cell, np.where(unknown, low, value), of), np.nan)).fill_nan(None),
        "low": _day(cell, low, of),
        "high": pl.Series(_day(cell, high, of)).fill_nan(None),
        "efforts": known,
        "unknown": _counted(cell, unknown, len(cells)),
    }
    return pl.DataFrame(columns).select(DAILY_DOSE.names)


def _day(cell: Numbers, amounts: Array, of: Numbers) -> Array:
    """Sum, or largest, of the amounts of each cell; NaN where one of them is."""
    gathered = np.bincount(cell, weights=amounts, minlength=len(of)).astype(np.float64)
    peaks = _PEAKS[of]
    if peaks.any():
        largest, rows = np.full(len(of), -np.inf), peaks[cell]
        with np.errstate(invalid="ignore"):
            np.maximum.at(largest, cell[rows], amounts[rows])
        gathered[peaks] = largest[peaks]
    return gathered


def _counted(cell: Numbers, which: NDArray[np.bool_], cells: int) -> Numbers:
    return np.bincount(cell[which], minlength=cells).astype(np.int64)
