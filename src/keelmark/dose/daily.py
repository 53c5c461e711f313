"""The work of each kind that one athlete did on one day, with bounds."""

from __future__ import annotations

from datetime import date

import numpy as np
import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.dose.adding import added_up
from keelmark.dose.energy import energy_efforts
from keelmark.dose.gather import gather
from keelmark.dose.grip import grip_fatigue_daily
from keelmark.dose.high_rep import high_rep_daily
from keelmark.dose.lumbar import lumbar_daily
from keelmark.dose.session_load import session_doses

__all__ = ["daily_dose", "exposure_daily"]


def daily_dose(
    efforts: pl.DataFrame,
    sessions: pl.DataFrame,
    athletes: pl.DataFrame,
    rep_maxima: pl.DataFrame,
    catalogue: Catalogue,
    *,
    since: date | None = None,
) -> pl.DataFrame:
    """Dose of every athlete, day and channel on record.

    Describes logged work only. Work whose load, time or amount is not known is counted in `unknown`, adds nothing to
    `low` and leaves `high` empty; it never becomes zero.

    Parameters
    ----------
    efforts, sessions, athletes, rep_maxima : DataFrame
        `EFFORT`, `SESSION`, `ATHLETE` and `REP_MAXIMUM` tables.
    catalogue : Catalogue
        Holds every movement of the efforts.
    since : date, optional
        Only days from this one on; efforts of the `RECENT_DAYS` before it are still needed, to estimate maxima from.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` table, sorted by athlete, day and channel in the order of the contract. A day with efforts always
        has a row for tonnage and one for session load; a day with a session but no efforts has only the row for
        session load.

    Raises
    ------
    FrameError
        When a table does not fit its schema.
    CatalogueError
        When an effort names a movement that the catalogue does not hold.
    """
    where = "daily dose"
    efforts = EFFORT.check(efforts, where=where)
    sessions = SESSION.check(sessions, where=where)
    ATHLETE.check(athletes, where=where)
    REP_MAXIMUM.check(rep_maxima, where=where)
    record, efforts = efforts, efforts if since is None else efforts.filter(pl.col("date") >= since)
    loads = session_doses(record, sessions)
    parts = [
        exposure_daily(efforts, catalogue),
        added_up(
            (loads if since is None else loads.filter(pl.col("date") >= since)).with_columns(
                channel=pl.lit("session_load")
            )
        ),
        added_up(_dated(energy_efforts(efforts, athletes, catalogue), efforts)),
        lumbar_daily(efforts, athletes, catalogue),
        grip_fatigue_daily(efforts, athletes, catalogue),
        high_rep_daily(record, rep_maxima, catalogue, since=since),
    ]
    return DAILY_DOSE.check(_sorted(pl.concat(parts)), where=where)


def _dated(doses: pl.DataFrame, efforts: pl.DataFrame) -> pl.DataFrame:
    """Doses of single efforts with the athlete and day of each."""
    keys = efforts.select("athlete_id", "date")
    return pl.concat([keys[doses["effort"]], doses.drop("effort")], how="horizontal")


def exposure_daily(efforts: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """Days of the channels that follow from the catalogue's exposures and the load.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table.
    catalogue : Catalogue
        Holds every movement of the efforts.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` rows by athlete, day and channel.
    """
    if efforts.is_empty():
        return DAILY_DOSE.empty()
    names = efforts["athlete_id"].unique().sort()
    athlete = efforts["athlete_id"].cast(pl.Enum(names)).to_physical().to_numpy().astype(np.int64)
    day = efforts["date"].to_physical().to_numpy().astype(np.int64)
    first, span = day.min(), int(day.max() - day.min()) + 1
    calendar = athlete * span + (day - first)
    present = np.flatnonzero(np.bincount(calendar))
    number = np.zeros(present[-1] + 1, dtype=np.int64)
    number[present] = np.arange(len(present))
    found = gather(efforts, number[calendar], catalogue)
    on = present[found.cell]
    frame = pl.DataFrame(
        {
            "athlete_id": names.gather(on // span),
            "date": pl.Series(on % span + first, dtype=pl.Int32).cast(pl.Date),
            "channel": pl.Series(found.channels, dtype=pl.String).gather(found.channel),
            "value": pl.Series(found.value, nan_to_null=True),
            "low": found.low,
            "high": pl.Series(found.high, nan_to_null=True),
            "efforts": found.efforts,
            "unknown": found.unknown,
        }
    )
    return frame.select(DAILY_DOSE.names)


def _sorted(daily: pl.DataFrame) -> pl.DataFrame:
    """By athlete, day and channel in the order of the contract."""
    names = daily["athlete_id"].unique().sort()
    order = [channel.key for channel in CHANNELS]
    return daily.sort(pl.col("athlete_id").cast(pl.Enum(names)), "date", pl.col("channel").cast(pl.Enum(order)))
