"""Amounts agreed with athletes: those that stand, each with a button that takes it back, and a form for another."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import html

from keelmark_dash import ids
from keelmark_dash.words import amount, channel_of, day_words

__all__ = ["plan_limits"]


def plan_limits(standing: pl.DataFrame, names: Mapping[str, str]) -> Any:
    """A list of what is agreed; a sentence where nothing is."""
    if standing.is_empty():
        return html.P("Nothing is agreed with anybody.", className="soft")
    return html.Ul([html.Li(_one(row, names)) for row in standing.iter_rows(named=True)], className="repairs")


def _one(row: Mapping[str, Any], names: Mapping[str, str]) -> list[Any]:
    channel = channel_of(row["channel"])
    until = f"until {day_words(row['date_to'])}" if row["date_to"] else "until it is taken back"
    name = names.get(row["athlete_id"], row["athlete_id"])
    return [
        html.Div(
            [
                html.Strong(f"{name}: {channel.label.lower()} at most {amount(row['most'], channel.unit)} a week"),
                f", from {day_words(row['date_from'])} {until}, agreed with {row['agreed_with']}",
            ]
        ),
        dmc.Button(
            ["Take back", html.Span(f" what is agreed with {name} on {channel.label.lower()}", className="hidden")],
            id=ids.each(ids.PROGRAMME, "drop-limit", row["limit_id"]),
            variant="subtle",
        ),
    ]
