"""A planned week to take away: what it comes to for one reader, and everybody's week against their marks."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import MATCH, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.schema import Column, FrameSchema
from keelmark.report import Sheet
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.parts.programme_fields import READER, TEXT
from keelmark_dash.parts.scope import remark

__all__ = ["plan_take", "register_plan_take"]

_AMOUNT = (
    Column("channel", pl.String, "", "key of the kind of work"),
    Column("label", pl.String, "", "kind of work"),
    Column("unit", pl.String, "", "unit of the amounts"),
    Column("value", pl.Float64, "of the kind of work", "what the text comes to", optional=True),
    Column("low", pl.Float64, "of the kind of work", "lower bound", optional=True),
    Column("high", pl.Float64, "of the kind of work", "upper bound; empty when there is none", optional=True),
)
_MATRIX = FrameSchema(
    "Planned sessions",
    "what each session of the typed week comes to for one reader, by kind of work",
    (
        Column("session", pl.String, "", "session"),
        Column("day", pl.Int64, "0 to 6", "day of the week, 0 for Monday"),
        *_AMOUNT,
        Column("unknown", pl.Int64, "effort", "efforts whose amount is not known"),
    ),
)
_EVERYBODY = FrameSchema(
    "Planned week against marks",
    "everybody's week with the typed week in it, beside their own marks",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("name", pl.String, "", "first name"),
        *_AMOUNT,
        Column("lower", pl.Float64, "of the kind of work", "lower mark", optional=True),
        Column("expected", pl.Float64, "of the kind of work", "what past weeks lead one to expect", optional=True),
        Column("upper", pl.Float64, "of the kind of work", "upper mark", optional=True),
        Column("place", pl.String, "", "where the week would lie", optional=True),
        Column("words", pl.String, "", "the same in words", optional=True),
    ),
)


def plan_take(key: str) -> html.Details:
    """The buttons under the matrix (`matrix`) or under everybody's week (`everybody`)."""
    buttons = [
        dmc.Button("Table (CSV)", id=ids.each(ids.PROGRAMME, "plan-csv", key), variant="default"),
        dmc.Button("What its columns mean (JSON)", id=ids.each(ids.PROGRAMME, "plan-schema", key), variant="default"),
    ]
    parts = [
        html.Div(buttons, className="take-away-buttons"),
        dcc.Download(id=ids.each(ids.PROGRAMME, "plan-file", key)),
        html.Div(id=ids.each(ids.PROGRAMME, "plan-said", key), role="status"),
    ]
    return html.Details([html.Summary("Take it away"), *parts], className="take-away")


def register_plan_take(app: Dash, desk: Desk) -> None:
    """What is taken is worked out from the text as it stands."""

    @app.callback(
        Output(ids.each(ids.PROGRAMME, "plan-file", MATCH), "data"),
        Output(ids.each(ids.PROGRAMME, "plan-said", MATCH), "children"),
        Input(ids.each(ids.PROGRAMME, "plan-csv", MATCH), "n_clicks"),
        Input(ids.each(ids.PROGRAMME, "plan-schema", MATCH), "n_clicks"),
        State(TEXT, "value"),
        State(READER, "value"),
        prevent_initial_call=True,
    )
    def _take_plan(_csv: int | None, _schema: int | None, text: str | None, reader: str) -> Any:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update, no_update
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return no_update, remark("Write a week first.", tone="refused")
        sheet = _sheet(plan, str(ctx.triggered_id["key"]), reader)
        if ctx.triggered_id["part"] == "plan-csv":
            return dcc.send_bytes(sheet.csv, f"{sheet.name}.csv"), None
        return dcc.send_bytes(sheet.schema_json, f"{sheet.name}.schema.json"), None


def _sheet(plan: Any, key: str, reader: str) -> Sheet:
    monday = plan.monday.isoformat() if plan.monday else "undated"
    if key == "everybody":
        return Sheet(f"planned-{monday}-everybody", _EVERYBODY, plan.projection().select(_EVERYBODY.names))
    return Sheet(f"planned-{monday}", _MATRIX, plan.matrix(reader).select(_MATRIX.names), ("session", "channel"))
