"""Weeks ahead as they are meant: an amount for each, beside what was done where a week is past, with the calendar."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl
from dash import html

from keelmark.plan import TAPER_CONTEXT
from keelmark_dash.parts.table import Head, table
from keelmark_dash.words import channel_of, number

__all__ = ["plan_season"]


def plan_season(weeks: Any, done: pl.DataFrame | None, labels: pl.DataFrame | None, name: str) -> list[Any]:
    """A row for each week of a ramp; `done` is the table of planned against done, where anything is on record."""
    unit = channel_of(weeks[0].channel).unit
    figures = {} if done is None else {row["monday"]: row["done"] for row in done.iter_rows(named=True)}
    heads: list[Head] = [
        ("Week of", "text"), (f"Meant ({unit})", "figure"), (f"Done by {name}", "figure"), ("Calendar", "words"),
    ]  # fmt: skip
    rows = [
        [
            f"{week.monday:%d %B %Y}".lstrip("0"),
            number(week.amount, unit),
            _done(figures.get(week.monday), unit),
            _named(labels, week.monday),
        ]
        for week in weeks
    ]
    return [table("Weeks as they are meant", heads, rows, hide_caption=True), html.P(TAPER_CONTEXT, className="soft")]


def _done(value: float | None, unit: str) -> str:
    return "" if value is None else number(value, unit)


def _named(labels: pl.DataFrame | None, monday: dt.date) -> str:
    """Names of the days that fall into a week."""
    if labels is None:
        return ""
    inside = labels.filter((pl.col("date_from") <= monday + dt.timedelta(days=6)) & (pl.col("date_to") >= monday))
    return ", ".join(inside["label"].unique(maintain_order=True).to_list())
