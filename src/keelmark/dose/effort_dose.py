"""What each single effort adds to each channel, with bounds."""

from __future__ import annotations

import numpy as np
import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.dose.gather import gather

__all__ = ["effort_doses"]


def effort_doses(efforts: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """What each effort adds to the channels that follow from the catalogue's exposures and the load.

    Lumbar moments and compressions, high-rep lifting and the grip index need a body, a maximum or a history and are
    computed elsewhere.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table, N rows.
    catalogue : Catalogue
        Holds every movement of the efforts.

    Returns
    -------
    DataFrame
        Columns `effort` (row number in `efforts`, from 0), `channel`, `value`, `low`, `high` in the unit of the
        channel. An effort that feeds a channel by an amount that is not known has an empty value, low 0 and an empty
        high bound.

    Raises
    ------
    CatalogueError
        When an effort names a movement that the catalogue does not hold.
    """
    found = gather(efforts, np.arange(efforts.height, dtype=np.int64), catalogue)
    return pl.DataFrame(
        {
            "effort": pl.Series(found.cell, dtype=pl.UInt32),
            "channel": pl.Series(found.channels, dtype=pl.String).gather(found.channel),
            "value": pl.Series(found.value, nan_to_null=True),
            "low": found.low,
            "high": pl.Series(found.high, nan_to_null=True),
        }
    )
