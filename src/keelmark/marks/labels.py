"""Weeks that the coach has named beforehand: something else than usual is expected of them."""

from __future__ import annotations

from datetime import timedelta

import polars as pl

from keelmark.contracts.records import CALENDAR_LABEL

__all__ = ["labelled_weeks"]

_SCHEMA = {
    "athlete_id": pl.String, "week": pl.String, "label": pl.String, "after": pl.Boolean, "share": pl.Float64,
}  # fmt: skip


def labelled_weeks(labels: pl.DataFrame | None, athletes: pl.DataFrame, weekly: pl.DataFrame) -> pl.DataFrame:
    """Weeks of each athlete that a calendar label touches, and the week after each of them.

    Parameters
    ----------
    labels : DataFrame, optional
        `CALENDAR_LABEL` table; a label with a group counts for the athletes of that group. Of several that touch a
        week, the one with most of its days counts.
    athletes, weekly : DataFrame
        `ATHLETE` and `WEEKLY_FIGURE` tables.

    Returns
    -------
    DataFrame
        Columns `athlete_id`, `week`, `label`, `after` (the week itself is not labelled but follows one that is),
        `share` (part of the week's days that bear the label; of the week before, where it only follows).
    """
    if labels is None or labels.is_empty():
        return pl.DataFrame(schema=_SCHEMA)
    CALENDAR_LABEL.check(labels, where="labelled weeks")
    weeks = weekly.select("athlete_id", "week", "monday").unique(maintain_order=True)
    grouped = weeks.join(athletes.select("athlete_id", of_group="group"), on="athlete_id", how="left")
    pairs = grouped.join(labels.select("date_from", "date_to", "label", "group"), how="cross").filter(
        pl.col("group").is_null() | (pl.col("group") == pl.col("of_group"))
    )
    inside, before = _days_inside(pl.col("monday")), _days_inside(pl.col("monday") - timedelta(days=7))
    touched = pairs.with_columns(after=inside == 0, share=pl.when(inside > 0).then(inside).otherwise(before) / 7)
    return (
        touched.filter(pl.col("share") > 0)
        .sort("after", -pl.col("share"), maintain_order=True)
        .unique(["athlete_id", "week"], keep="first", maintain_order=True)
        .select(pl.col(name).cast(kind) for name, kind in _SCHEMA.items())
    )


def _days_inside(monday: pl.Expr) -> pl.Expr:
    """Days of the week from a Monday that a label covers."""
    first, last = pl.max_horizontal("date_from", monday), pl.min_horizontal("date_to", monday + timedelta(days=6))
    return ((last - first).dt.total_days() + 1).clip(lower_bound=0)
