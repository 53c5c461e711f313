"""The one number of a week: amount with unit and interval, and its place against the athlete's own marks."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import html

from keelmark.contracts.channels import Channel
from keelmark_dash.parts.hull import gauge
from keelmark_dash.parts.markup import drawing
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.place import place
from keelmark_dash.readings import own_gauge
from keelmark_dash.week_words import WeekWords, week_words
from keelmark_dash.words import count

__all__ = ["amount_panel"]


def amount_panel(row: dict[str, Any] | None, weeks: pl.DataFrame, channel: Channel) -> html.Section:
    """Amount, interval, place and usual range of one week; `weeks` gives the gauge its depth."""
    inside: list[Any] = [html.P("Nothing stands in the log for this week. That is not the same as zero.")]
    if row is not None:
        inside = [
            html.Div(
                [drawing(gauge(own_gauge(row, weeks), sign=False), className="large-gauge"), _said(row, channel)],
                className="number-row",
            ),
            html.P(_days(row), className="soft"),
        ]
    meaning = channel.meaning[:1].upper() + channel.meaning[1:]
    return panel("athlete-amount", channel.label, *inside, html.P(f"{meaning}.", className="soft"))


def _said(row: dict[str, Any], channel: Channel) -> html.Div:
    told = week_words(row, channel)
    return html.Div(
        [
            html.P([html.Span(told.figure, className="figure"), f" {told.unit}"], className="one-number"),
            html.P(told.interval[:1].upper() + told.interval[1:], className="soft"),
            html.P(place(row["place"])),
            html.P(_own_range(row, told)),
        ]
    )


def _own_range(row: dict[str, Any], told: WeekWords) -> str:
    if row["upper"] is None:
        return f"No usual range yet: {row['reason'] or 'too few weeks on record'}."
    doubt = f" As to its place, {row['reason']}." if row["reason"] else ""
    return f"Usual range: {told.usual} {told.unit}, from {count(row['weeks'], 'earlier week')}.{doubt}"


def _days(row: dict[str, Any]) -> str:
    assumed = row["assumed_rest_days"]
    rest = f", {assumed} of them taken as rest because nothing was logged" if assumed else ""
    return f"{count(row['known_days'], 'day')} of 7 known{rest}."
