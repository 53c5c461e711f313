"""Programme, single changes of the text: those that take a clash away, and those that mend a balance."""

from __future__ import annotations

from typing import Any

from dash import ALL, MATCH, Dash, Input, Output, State, ctx, no_update

from keelmark.plan import PATTERNS
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.parts.plan_clashes import plan_repairs
from keelmark_dash.parts.programme_fields import PATTERN, READER, SENSITIVE, SPAN, TEXT, intent_of

__all__ = ["register"]


def register(app: Dash, desk: Desk) -> None:
    """Look for changes, and make the one that is chosen."""

    @app.callback(
        Output(ids.each(ids.PROGRAMME, "repairs", MATCH), "children"),
        Input(ids.each(ids.PROGRAMME, "mend", MATCH), "n_clicks"),
        State(TEXT, "value"),
        State(READER, "value"),
        State(SENSITIVE, "value"),
        prevent_initial_call=True,
    )
    def _mend(pressed: int | None, text: str, reader: str, sensitivity: str) -> Any:
        if not pressed or not ctx.triggered_id:
            return no_update
        at = int(ctx.triggered_id["key"])
        found = _of_clash(desk, text, reader, sensitivity, at)
        return plan_repairs(found, f"clash-{at}", "No single change takes it away without bringing another clash.")

    @app.callback(
        Output(ids.each(ids.PROGRAMME, "evened", MATCH), "children"),
        Input(ids.each(ids.PROGRAMME, "even", MATCH), "n_clicks"),
        State(TEXT, "value"),
        State(READER, "value"),
        State(SPAN, "value"),
        State(PATTERN, "value"),
        State(ids.each(ids.PROGRAMME, "meant", ALL), "value"),
        prevent_initial_call=True,
    )
    def _even(pressed: int | None, text: str, reader: str, span: str, pattern: str, meant: list[str]) -> Any:
        if not pressed or not ctx.triggered_id:
            return no_update
        at = int(ctx.triggered_id["key"])
        found = _of_pair(desk, text, reader, span, pattern, meant, at)
        return plan_repairs(found, f"pair-{at}", "No single change brings it nearer to what you mean.")

    @app.callback(
        Output(TEXT, "value", allow_duplicate=True),
        Input(ids.each(ids.PROGRAMME, "apply", ALL), "n_clicks"),
        State(TEXT, "value"),
        State(READER, "value"),
        State(SENSITIVE, "value"),
        State(SPAN, "value"),
        State(PATTERN, "value"),
        State(ids.each(ids.PROGRAMME, "meant", ALL), "value"),
        prevent_initial_call=True,
    )
    def _apply(
        pressed: list[int | None], text: str, reader: str, sensitivity: str, span: str, pattern: str, meant: list[str]
    ) -> Any:
        if not any(pressed) or not ctx.triggered_id:
            return no_update
        kind, thing, at = str(ctx.triggered_id["key"]).split("-")
        if kind == "clash":
            found = _of_clash(desk, text, reader, sensitivity, int(thing))
        else:
            found = _of_pair(desk, text, reader, span, pattern, meant, int(thing))
        return found[int(at)].week_text if int(at) < len(found) else no_update


def _of_clash(desk: Desk, text: str, reader: str, sensitivity: str, at: int) -> list[Any]:
    plan = desk.squad.plan(text)
    found = plan.clashes(sensitivity, reader)
    return plan.repairs(found[at], sensitivity, reader) if at < len(found) else []


def _of_pair(desk: Desk, text: str, reader: str, span: str, pattern: str, meant: list[str], at: int) -> list[Any]:
    plan = desk.squad.plan(text)
    days = PATTERNS.get(pattern)
    pairs = plan.balances(intent_of(meant), span=span, days=days)[plan.person(reader).athlete_id]
    return plan.balance_repairs(pairs[at], reader, span=span, days=days) if at < len(pairs) else []
