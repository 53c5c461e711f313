"""The walk from a week to its sessions and to the rows and words they came from."""

from __future__ import annotations

from math import isclose
from typing import Any

import polars as pl
from dash import html

from keelmark.contracts.channels import Channel
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.effort_words import as_written, done, movement
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.table import table
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.week_words import week_words
from keelmark_dash.words import amount, count, day_words, number, number_within, unit_beside, week_title

__all__ = ["drill"]


def drill(rows: pl.DataFrame, channel: Channel, address: Address, week: dict[str, Any] | None) -> html.Section:
    """All rows behind one week's figure, session by session, and their sum; where there are many, the largest is open.

    `week` is the row of weekly figures that the rows made.
    """
    if rows.is_empty():
        body: list[Any] = [html.P("No row of the log feeds this figure.")]
    else:
        sessions = rows.sort("date", "session_id", "order").partition_by("session_id", maintain_order=True)
        largest = max(sessions, key=_known)
        body = [_session(session, channel, open_=len(sessions) <= 3 or session is largest) for session in sessions]
        body += [*_together(rows, channel, week), take_away(ids.ATHLETE, "rows")]
    return panel("athlete-rows", f"The rows behind {week_title(address.week).lower()}", *body)


def _together(rows: pl.DataFrame, channel: Channel, week: dict[str, Any] | None) -> list[html.P]:
    """What the rows add up to, and why the figure of the week may be told otherwise."""
    if week is None or channel.gather != "sum" or rows["contribution"].null_count() == rows.height:
        return []
    total, told = _known(rows), week_words(week, channel)
    said = f"Together the rows add up to {amount(total, channel.unit)}."
    if week["value"] is not None and number(total, channel.unit) != told.figure:
        why = (
            "which has no more digits than its interval leaves"
            if isclose(total, week["value"], rel_tol=1e-6)
            else "which also holds what is likely on days that are not fully known"
        )
        said += f" The week is told as {told.amount}, {why}."
    return [html.P(said, className="together")]


def _known(rows: pl.DataFrame) -> float:
    return float(rows["contribution"].drop_nulls().sum())


def _largest(rows: pl.DataFrame) -> float:
    return max(rows["contribution"].drop_nulls().to_list(), default=0.0)


def _session(rows: pl.DataFrame, channel: Channel, *, open_: bool) -> html.Details:
    first = rows.row(0, named=True)
    total = _known(rows) if channel.gather == "sum" else _largest(rows)
    unknown = rows["contribution"].null_count()
    said = amount(total, channel.unit) if unknown < rows.height else "not known"
    if unknown and unknown < rows.height:
        said = f"at least {said}, {count(unknown, 'row')} without a load, time or amount"
    label = f", {first['label']}" if first["label"] else ""
    heads = [
        ("Movement", "text"),
        ("Done", "text"),
        (f"Adds ({unit_beside('', channel.unit)})", "figure"),
        ("File", "text"),
        ("Row", "figure"),
        ("Line", "figure"),
        ("As it stands there", "words"),
    ]
    caption = f"{day_words(first['date'])}{label}"
    body = [_cells(row, channel.unit) for row in rows.iter_rows(named=True)]
    summary = html.Summary([html.Strong(caption), html.Span(f" {said}", className="soft")])
    return html.Details(
        [summary, table(caption, heads, body, hide_caption=True, stack=True)], open=open_, className="session"
    )


def _cells(row: dict[str, Any], unit: str) -> list[Any]:
    ends = row["contribution_low"], row["contribution_high"]
    added = "not known" if row["contribution"] is None else number_within(row["contribution"], *ends, unit)
    return [
        movement(row),
        done(row),
        added,
        row["file"] or "",
        _place(row["source_row"]),
        _place(row["source_line"]),
        html.Q(as_written(row)),
    ]


def _place(value: int | None) -> str:
    return "" if value is None else str(value)
