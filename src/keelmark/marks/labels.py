"""Weeks that the coach has named beforehand: something else than usual is expected of them."""

from __future__ import annotations

from datetime import timedelta

import polars as pl

from keelmark.contracts.records import CALENDAR_LABEL

__all__ = ["labelled_weeks"]


def labelled_weeks(labels: pl.DataFrame | None, athletes: pl.DataFrame, weekly: pl.DataFrame) -> pl.DataFrame:
    """Weeks of each athlete that a calendar label touches, and the week after each of them.

    Parameters
    ----------
    labels : DataFrame, optional
        `CALENDAR_LABEL` table; a label with a group counts for the athletes of that group.
    athletes, weekly : DataFrame
        `ATHLETE` and `WEEKLY_FIGURE` tables.

    Returns
    -------
    DataFrame
        Columns `athlete_id`, `week`, `label`, `after` (the week itself is not labelled but follows one that is).
    """
    schema = {"athlete_id": pl.String, "week": pl.String, "label": pl.String, "after": pl.Boolean}
    if labels is None or labels.is_empty():
        return pl.DataFrame(schema=schema)
    CALENDAR_LABEL.check(labels, where="labelled weeks")
    weeks = weekly.select("athlete_id", "week", "monday").unique(maintain_order=True)
    grouped = weeks.join(athletes.select("athlete_id", of_group="group"), on="athlete_id", how="left")
    pairs = grouped.join(labels.select("date_from", "date_to", "label", "group"), how="cross").filter(
        pl.col("group").is_null() | (pl.col("group") == pl.col("of_group"))
    )
    sunday = pl.col("monday") + timedelta(days=6)
    inside = (pl.col("date_from") <= sunday) & (pl.col("date_to") >= pl.col("monday"))
    following = (pl.col("date_from") <= sunday - timedelta(days=7)) & (
        pl.col("date_to") >= pl.col("monday") - timedelta(days=7)
    )
    touched = pairs.with_columns(after=~inside).filter(inside | following)
    return (
        touched.sort("after", maintain_order=True)
        .unique(["athlete_id", "week"], keep="first", maintain_order=True)
        .select(*schema)
    )
