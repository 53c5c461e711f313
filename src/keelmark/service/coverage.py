"""How much of a week is on record, for each of those who are asked for it."""

from __future__ import annotations

from datetime import timedelta

import polars as pl

from keelmark.load.calendar import monday_of_week

__all__ = ["days_on_record", "week_coverage"]


def days_on_record(weekly: pl.DataFrame) -> pl.DataFrame:
    """Days of each week that are known of an athlete: columns athlete_id, week, known_days.

    Parameters
    ----------
    weekly : DataFrame
        WEEKLY_FIGURE table.
    """
    return weekly.group_by("athlete_id", "week").agg(pl.col("known_days").max())


def week_coverage(athletes: pl.DataFrame, known: pl.DataFrame, week: str) -> pl.DataFrame:
    """How many days of a week are known, per athlete: columns athlete_id, name, known_days; fewest first.

    Who joined after the week or left before it is not asked after. Where no day of joining is kept, the first week
    with figures stands for it; somebody without any figure at all is always asked after.

    Parameters
    ----------
    athletes : DataFrame
        ATHLETE table of those looked at.
    known : DataFrame
        As `days_on_record` gives it.
    week : str
        ISO week.
    """
    of_week = known.filter(pl.col("week") == week).select("athlete_id", "known_days")
    first = known.group_by("athlete_id").agg(first=pl.col("week").min())
    monday = monday_of_week(week)
    joined = pl.col("joined") <= monday + timedelta(days=6)
    there = pl.coalesce(joined, pl.col("first") <= week, pl.lit(True)) & (pl.col("left") >= monday).fill_null(True)
    return (
        athletes.join(first, on="athlete_id", how="left")
        .filter(there)
        .select("athlete_id", "name")
        .join(of_week, on="athlete_id", how="left")
        .with_columns(pl.col("known_days").fill_null(0))
        .sort("known_days", "name")
    )
