"""Who came and what they scored: one line per athlete, everybody ticked, only exceptions to be typed."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import dcc, html

from keelmark_dash import ids
from keelmark_dash.words import count, number

__all__ = ["CAME", "FIELDS", "MOST_ROWS", "score_grid"]

CAME = "wb-came"
FIELDS = ("wb-result", "wb-standard", "wb-version", "wb-rpe")
_HEADS = ("Came", "Result", "Loads", "Version", "RPE")
MOST_ROWS = 60


def score_grid(athletes: pl.DataFrame) -> list[Any]:
    """A line for each athlete with name and usual loads; more than sixty are narrowed down by their group first.

    A field left empty means: loads as usual, as written, the result for all, no rating.
    """
    if athletes.height > MOST_ROWS:
        words = f"{count(athletes.height, 'athlete')} are too many for one session. Choose a group above."
        return [html.P(words, className="remark plain")]
    head = html.Tr([html.Th(text, scope="col") for text in _HEADS])
    body = [_row(row) for row in athletes.select("athlete_id", "name", "standard").iter_rows(named=True)]
    shown = html.Table(
        [html.Caption(f"Who came: {number(athletes.height)} ticked", className="hidden"), html.Thead(head),
         html.Tbody(body)],
        className="wb-grid",
    )  # fmt: skip
    return [shown]


def _row(row: dict[str, Any]) -> html.Tr:
    key, name = row["athlete_id"], row["name"]
    tick = dmc.Checkbox(label=name, checked=True, id=ids.each(ids.LOG, CAME, key), className="wb-tick")
    usual = row["standard"] or "not known"
    placeholders = ("for all", usual, "as written", "")
    cells = [
        html.Td(_field(field, key, name, _HEADS[place + 1], placeholders[place]), className=field)
        for place, field in enumerate(FIELDS)
    ]
    return html.Tr([html.Th(tick, scope="row"), *cells])


def _field(field: str, key: str, name: str, label: str, placeholder: str) -> html.Label:
    entry = dcc.Input(
        id=ids.each(ids.LOG, field, key), type="text", value="", placeholder=placeholder, autoComplete="off",
        className="wb-cell",
    )  # fmt: skip
    return html.Label([html.Span(label, className="wb-label"), html.Span(f" of {name}", className="hidden"), entry])
