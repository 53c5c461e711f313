"""Lists of the Settings page: names in the calendar, files of movements, and what was changed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import html

from keelmark_dash import ids
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.fields import choose_day
from keelmark_dash.parts.table import table
from keelmark_dash.settings_words import WORDS

__all__ = ["changes_table", "label_form", "label_list", "movement_files"]

_LATEST = 50


def label_list(labels: pl.DataFrame, imports: pl.DataFrame) -> Any:
    """Stretches of days with their names; those that were named by hand can be taken away again."""
    if labels.is_empty():
        return html.P("No stretch of days has a name yet.")
    by_hand = imports.filter((pl.col("kind") == "hand") & pl.col("undone_at").is_null())
    keys = dict(by_hand.select("file", "import_id").iter_rows())
    heads = [("Name", "text"), ("From", "text"), ("To", "text"), ("For", "text"), ("Taking away", "text")]
    body = [
        [row["label"], f"{row['date_from']:%d %b %Y}", f"{row['date_to']:%d %b %Y}", row["group"] or "everybody",
         _taking_away(row["label"], keys.get(f"label {row['label']}"))]
        for row in labels.sort("date_from", descending=True).iter_rows(named=True)
    ]  # fmt: skip
    return table("Names of days, newest first", heads, body, stack=True)


def _taking_away(label: str, import_id: str | None) -> Any:
    if import_id is None:
        return "came with a file"
    return dmc.Button(
        "Take away",
        id=ids.each(ids.SETTINGS, "unname", import_id),
        variant="default",
        **aria(label=f"Take away {label}"),
    )


def label_form(names: Mapping[str, str]) -> html.Div:
    """A name, a first and a last day."""
    return html.Div(
        [
            dmc.TextInput(id=names["name"], label="Name", value=""),
            choose_day(names["from"], "First day", None),
            choose_day(names["to"], "Last day", None),
            dmc.Button("Give this name", id=names["save"]),
        ],
        className="label-form",
    )


def movement_files(files: Mapping[str, str]) -> list[Any]:
    """Each file with its text, and the button that leaves it out."""
    if not files:
        return [html.P("There are none yet. All movements are those that keelmark brings.")]
    return [
        html.Details(
            [
                html.Summary(name),
                html.Pre(text, tabIndex=0, className="own-file"),
                dmc.Button("Leave it out", id=ids.each(ids.SETTINGS, "drop", name), variant="default",
                           **aria(label=f"Leave out {name}")),
            ]
        )
        for name, text in sorted(files.items())
    ]  # fmt: skip


def changes_table(changes: Sequence[Any]) -> Any:
    """When, who, what, before and after."""
    if not changes:
        return html.P("Nothing was changed so far.")
    heads = [("When (UTC)", "text"), ("Who", "text"), ("What", "words"), ("Before", "text"), ("After", "text")]
    body = [
        [f"{one.created_at:%d %b %Y %H:%M}", one.who or "somebody at this machine", WORDS.get(one.key, (one.key,))[0],
         _said(one.old), _said(one.new)]
        for one in changes[:_LATEST]
    ]  # fmt: skip
    return table("Changes of settings", heads, body, stack=True)


def _said(value: Any) -> str:
    if value is None:
        return "as it came"
    if isinstance(value, dict):
        return ", ".join(sorted(value)) or "none"
    if isinstance(value, list):
        return f"{len(value)} chosen" if value else "all"
    return value or "none" if isinstance(value, str) else json.dumps(value)
