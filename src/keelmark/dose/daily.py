"""The work of each kind that one athlete did on one day, with bounds."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.dose.effort_dose import effort_doses
from keelmark.dose.grip import grip_fatigue_daily
from keelmark.dose.high_rep import high_rep_daily
from keelmark.dose.lumbar import lumbar_daily
from keelmark.dose.session_load import session_doses

__all__ = ["add_up", "daily_dose"]

_KEY = ("athlete_id", "date", "channel")


def daily_dose(
    efforts: pl.DataFrame,
    sessions: pl.DataFrame,
    athletes: pl.DataFrame,
    rep_maxima: pl.DataFrame,
    catalogue: Catalogue,
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

    Returns
    -------
    DataFrame
        `DAILY_DOSE` table, sorted by athlete, day and channel. A day with efforts always has a row for tonnage and
        one for session load; a day with a session but no efforts has only the row for session load.

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
    keys = efforts.select(pl.int_range(pl.len(), dtype=pl.UInt32).alias("effort"), "athlete_id", "date")
    by_effort = effort_doses(efforts, catalogue).join(keys, on="effort", how="left", maintain_order="left")
    by_session = session_doses(efforts, sessions).with_columns(channel=pl.lit("session_load"))
    parts = [
        add_up(by_effort),
        add_up(by_session),
        lumbar_daily(efforts, athletes, catalogue, rep_maxima=rep_maxima),
        grip_fatigue_daily(efforts, athletes, catalogue),
        high_rep_daily(efforts, rep_maxima, catalogue),
    ]
    return DAILY_DOSE.check(pl.concat(parts).sort(_KEY), where=where)


def add_up(doses: pl.DataFrame) -> pl.DataFrame:
    """Add single doses up to days.

    Parameters
    ----------
    doses : DataFrame
        Columns `athlete_id`, `date`, `channel`, `value`, `low`, `high`; an empty value marks a dose that is not known.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` table. `value` and `low` hold the known part; `high` is empty as soon as one part is not known.
    """
    known, unknown = pl.col("value").count(), pl.col("value").null_count()
    return (
        doses.group_by(_KEY)
        .agg(
            value=pl.when(known > 0).then(pl.col("value").sum()),
            low=pl.col("low").sum(),
            high=pl.when(pl.col("high").null_count() == 0).then(pl.col("high").sum()),
            efforts=known.cast(pl.Int64),
            unknown=unknown.cast(pl.Int64),
        )
        .select(DAILY_DOSE.names)
    )
