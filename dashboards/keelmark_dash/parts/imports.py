"""The list of everything that came in, each entry with its way back."""

from __future__ import annotations

import json
from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import html

from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.parts.link import link
from keelmark_dash.parts.table import table
from keelmark_dash.words import number

__all__ = ["imports_table"]

_KINDS = {
    "log": "training log",
    "roster": "list of people",
    "days": "days without training",
    "labels": "named stretches of days",
    "whiteboard": "whiteboard",
    "hand": "entered by hand",
}
_SHOWN = 30


def imports_table(imports: pl.DataFrame, address: Address) -> list[Any]:
    """Imports, the latest first; the undone ones stay in the list and say so."""
    if imports.is_empty():
        return [html.P("Nothing has come in yet.")]
    latest = imports.reverse().head(_SHOWN)
    heads = [("What came in", "words"), ("When", "text"), ("Accepted", "figure"), ("Set aside", "figure"),
             ("Rows", "text"), ("Way back", "text")]  # fmt: skip
    body = [_line(row, address) for row in latest.iter_rows(named=True)]
    parts: list[Any] = [table("Imports, the latest first", heads, body, hide_caption=True, stack=True)]
    if imports.height > _SHOWN:
        parts.append(html.P(f"The latest {_SHOWN} of {number(imports.height)} are shown.", className="soft"))
    return parts


def _line(row: dict[str, Any], address: Address) -> list[Any]:
    counts = json.loads(row["counts"])
    rows = (
        link("each row", "/log" + address.with_(show=row["import_id"]).search(), className="tall")
        if row["kind"] in ("log", "roster", "days", "whiteboard")
        else ""
    )
    name = [html.Strong(row["file"]), html.Span(f" {_KINDS.get(row['kind'], row['kind'])}", className="soft")]
    when = f"{row['created_at']:%Y-%m-%d %H:%M} UTC"
    return [name, when, _figure(counts, "accepted"), _figure(counts, "quarantined"), rows, _way_back(row)]  # fmt: skip


def _figure(counts: dict[str, Any], key: str) -> str:
    value = counts.get(key)
    return number(value) if isinstance(value, int) else ""


def _way_back(row: dict[str, Any]) -> Any:
    if row["undone_at"] is not None:
        return f"taken back {row['undone_at']:%Y-%m-%d}"
    button = dmc.Button("Yes, take these rows out", id=ids.each(ids.LOG, "undo", row["import_id"]), variant="default")
    said = html.P("Figures are worked out anew. The file itself is kept.", className="soft")
    return html.Details([html.Summary(["Take back", html.Span(f" {row['file']}", className="hidden")]), button, said])
