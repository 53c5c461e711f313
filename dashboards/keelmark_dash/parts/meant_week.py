"""One week as it was meant beside what the squad did, by kind of work; nothing where nothing was meant."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import html

from keelmark_dash import ids
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.table import Head, table
from keelmark_dash.words import amount, channel_of, count, span

__all__ = ["meant_week"]

_HEADS: list[Head] = [
    ("Kind of work", "text"),
    ("Meant", "figure"),
    ("Done, middle of the squad", "figure"),
    ("Its middle half", "figure"),
    ("Athletes", "figure"),
]
_EACH: list[Head] = [
    ("Athlete", "text"),
    ("Kinds of work about as meant", "text"),
    ("More", "words"),
    ("Less", "words"),
]
_LEVEL = 0.05
"""Up to this share from what was meant it is called about as much."""


def meant_week(weeks: pl.DataFrame, label: str, athletes: pl.DataFrame) -> list[html.Section]:
    """What was meant for a week and what was done, in words and as a table.

    Parameters
    ----------
    weeks : DataFrame
        Columns of `AHEAD`, of one week.
    label : str
        What the calendar calls the week; empty where it has no name.
    athletes : DataFrame
        `meant_by_athlete` of the week.
    """
    if weeks.is_empty():
        return []
    rows = weeks.rows(named=True)
    named = [html.P(f"The calendar calls the week “{label}”.")] if label else []
    return [
        panel(
            ids.named(ids.SQUAD, "meant"),
            "Meant and done",
            *named,
            html.Ul([html.Li(_said(row)) for row in rows]),
            table("The week as it was meant and as it was done", _HEADS, [_cells(row) for row in rows], stack=True),
            *_each(athletes),
            html.P(
                "The middle is the athlete with as many above as below. Only weeks that are known well enough count. "
                "More or less than was meant is neither good nor bad by itself.",
                className="soft",
            ),
        )
    ]


def _each(athletes: pl.DataFrame) -> list[html.Details]:
    """Athlete by athlete: kinds of work about as meant, more and less, and the furthest on either side."""
    if athletes.is_empty():
        return []
    body = [
        [
            row["name"],
            f"{row['about']} of {row['kinds']}",
            f"{row['more']}{_furthest(row['most'], row['most_by']) if row['more'] else ''}",
            f"{row['less']}{_furthest(row['least'], row['least_by']) if row['less'] else ''}",
        ]
        for row in athletes.iter_rows(named=True)
    ]
    caption = "What each athlete did of the week as it was meant for the squad"
    return [
        html.Details([html.Summary("Athlete by athlete"), table(caption, _EACH, body, stack=True, hide_caption=True)])
    ]


def _furthest(channel: str, by: float) -> str:
    return f": most of all {channel_of(channel).label.lower()}, {by:+.0%}".replace("%", " %")


def _said(row: dict[str, Any]) -> str:
    """`Jump contacts: 120 contacts were meant; the middle of the squad did 150 contacts, 25 % more.`"""
    unit = row["unit"]
    head = f"{channel_of(row['channel']).label}: {amount(row['planned'], unit)} meant"
    if row["done"] is None:
        return f"{head}; what was done is not known for anybody."
    return f"{head}; {_done(row)} done in the middle of the squad{_beside(row)}."


def _done(row: dict[str, Any]) -> str:
    """The middle, with no more digits than tell it from the edges of the middle half."""
    return amount(row["done"], row["unit"], row["lower"], row["upper"])


def _beside(row: dict[str, Any]) -> str:
    if not row["planned"]:
        return ""
    share = row["done"] / row["planned"] - 1
    if abs(share) <= _LEVEL:
        return ", about as much"
    return f", {abs(share):.0%} {'more' if share > 0 else 'less'}".replace("%", " %")


def _cells(row: dict[str, Any]) -> list[str]:
    unit, known = row["unit"], row["done"] is not None
    return [
        channel_of(row["channel"]).label,
        amount(row["planned"], unit),
        _done(row) if known else "not known",
        span(row["done"], row["lower"], row["upper"], unit) if known else "",
        count(row["athletes"], "athlete") if known else "",
    ]
