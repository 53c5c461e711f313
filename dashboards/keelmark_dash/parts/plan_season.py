"""Weeks ahead as they are meant: an amount for each, beside what was done where a week is past, with the calendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import html

from keelmark.contracts.display import shown_unit
from keelmark.plan import TAPER_CONTEXT
from keelmark_dash import ids
from keelmark_dash.parts.table import Head, table
from keelmark_dash.words import amount, channel_of, day_words, number

__all__ = ["plan_ramps", "plan_season"]


def plan_season(
    weeks: pl.DataFrame, own: Mapping[tuple[dt.date, str], float], labels: pl.DataFrame | None, name: str | None
) -> Any:
    """A row for each meant week and kind of work.

    Parameters
    ----------
    weeks : DataFrame
        Columns of `AHEAD`.
    own : mapping of (monday, channel) to float
        What one athlete did.
    labels : DataFrame, optional
        Named days.
    name : str, optional
        The athlete; no column of theirs where nobody is chosen.
    """
    heads: list[Head] = [
        ("Week of", "text"), ("Kind of work", "text"), ("Meant", "figure"), ("Done, middle of the squad", "figure"),
        ("Its middle half", "text"), *([(f"Done by {name}", "figure")] if name else []), ("Calendar", "words"),
    ]  # fmt: skip
    rows = []
    for row in weeks.iter_rows(named=True):
        unit, mine = row["unit"], own.get((row["monday"], row["channel"]))
        half = "" if row["done"] is None else f"{number(row['lower'], unit)} to {number(row['upper'], unit)}"
        rows.append(
            [
                f"{row['monday']:%d %B %Y}".lstrip("0"),
                f"{channel_of(row['channel']).label} ({shown_unit(unit)})",
                number(row["planned"], unit),
                "" if row["done"] is None else number(row["done"], unit),
                half,
                *(["" if mine is None else number(mine, unit)] if name else []),
                _named(labels, row["monday"]),
            ]
        )
    return table("Weeks as they are meant", heads, rows, hide_caption=True)


def plan_ramps(ramps: pl.DataFrame) -> list[Any]:
    """Ramps that are kept, each with a button that takes it back, and the context of a taper."""
    context = html.P(TAPER_CONTEXT, className="soft")
    if ramps.is_empty():
        return [context]
    items = []
    for row in ramps.iter_rows(named=True):
        channel = channel_of(row["channel"])
        lighter = f", every {row['lighter_every']}. week lighter" if row["lighter_every"] else ""
        words = (
            f"{channel.label}: {row['weeks']} weeks from {day_words(row['monday'])}, "
            f"{amount(row['start'], channel.unit)} in the first, "
            f"{100 * row['change']:+.3g} % a week{lighter}"
        )
        button = dmc.Button(
            ["Take back", html.Span(f" {words}", className="hidden")],
            id=ids.each(ids.PROGRAMME, "drop-ramp", row["ramp_id"]),
            variant="subtle",
        )
        items.append(html.Li([html.Div(html.Strong(words)), button]))
    return [html.H3("Kept for the squad"), html.Ul(items, className="repairs"), context]


def _named(labels: pl.DataFrame | None, monday: dt.date) -> str:
    """Names of the days that fall into a week."""
    if labels is None:
        return ""
    inside = labels.filter((pl.col("date_from") <= monday + dt.timedelta(days=6)) & (pl.col("date_to") >= monday))
    return ", ".join(inside["label"].unique(maintain_order=True).to_list())
