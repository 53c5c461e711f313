"""Programme, the text: matrix, clashes and balance as it is typed, rounds to expect, the calendar file."""

from __future__ import annotations

import datetime as dt
from typing import Any

from dash import ALL, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.plan import PATTERNS
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.parts.plan_assumed import plan_assumed
from keelmark_dash.parts.plan_balance import plan_balance
from keelmark_dash.parts.plan_clashes import plan_clashes
from keelmark_dash.parts.plan_matrix import plan_matrix
from keelmark_dash.parts.programme_fields import (
    AFTER,
    BALANCE,
    BOARDS,
    CALENDAR,
    CLASHES,
    COMES,
    EXAMPLE_BUTTON,
    FILE,
    FOUND,
    PATTERN,
    READER,
    SENSITIVE,
    SESSION,
    SPAN,
    TEXT,
    intent_of,
)
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.programme_words import EMPTY, EXAMPLE

__all__ = ["register"]


def register(app: Dash, desk: Desk) -> None:
    """What follows from the text at once."""
    _register_text(app, desk)
    _register_rounds(app, desk)
    _register_balance(app, desk)

    @app.callback(
        Output(FILE, "data"),
        Output(AFTER, "children"),
        Input(CALENDAR, "n_clicks"),
        State(TEXT, "value"),
        prevent_initial_call=True,
    )
    def _calendar(pressed: int | None, text: str | None) -> Any:
        if not pressed:
            return no_update, no_update
        try:
            data = desk.squad.plan(text or "").calendar(stamp=dt.datetime.now(dt.UTC))
        except KeelmarkError as error:
            return no_update, refusal(error)
        return dcc.send_bytes(data, "week.ics"), None


def _register_text(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(TEXT, "value", allow_duplicate=True), Input(EXAMPLE_BUTTON, "n_clicks"), prevent_initial_call=True
    )
    def _example(pressed: int | None) -> Any:
        return EXAMPLE if pressed else no_update

    @app.callback(
        Output(COMES, "children"),
        Output(CLASHES, "children"),
        Output(SESSION, "data"),
        Output(FOUND, "children", allow_duplicate=True),
        Output(BOARDS, "data", allow_duplicate=True),
        Input(TEXT, "value"),
        Input(READER, "value"),
        Input(SENSITIVE, "value"),
        prevent_initial_call="initial_duplicate",
    )
    def _follow(text: str | None, reader: str, sensitivity: str) -> Any:
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return html.P(EMPTY), html.P("Nothing is written yet."), [], None, {}
        person = plan.person(reader)
        sessions = [{"value": one.key, "label": one.name} for one in plan.week.sessions]
        comes = [
            *(remark(words) for words in plan.remarks),
            *_doubts(plan, person),
            *plan_assumed(plan.assumed(reader)),
            plan_matrix(plan, reader),
        ]
        changed = ctx.triggered_id == TEXT
        return (
            comes,
            plan_clashes(plan.clashes(sensitivity, reader)),
            sessions,
            None if changed else no_update,
            {} if changed else no_update,
        )


def _register_rounds(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(TEXT, "value", allow_duplicate=True),
        Input(ids.each(ids.PROGRAMME, "rounds", ALL), "value"),
        State(TEXT, "value"),
        prevent_initial_call=True,
    )
    def _rounds(_typed: list[Any], text: str) -> Any:
        if not ctx.triggered_id:
            return no_update
        session, _, part = str(ctx.triggered_id["key"]).partition("/")
        value = ctx.triggered[0]["value"]
        plan = desk.squad.plan(text or "")
        held = {one.key for one in plan.week.sessions}
        if session not in held or (value not in (None, "") and not float(value) > 0):
            return no_update
        changed = plan.with_rounds(session, int(part), None if value in (None, "") else float(value))
        return no_update if changed == text or _same(plan, session, int(part), value) else changed


def _same(plan: Any, session: str, part: int, value: Any) -> bool:
    """Whether the field only shows what the text says already."""
    told = next((one for one in plan.assumed() if (one.session, one.part, one.what) == (session, part, "rounds")), None)
    if told is None:
        return True
    return not told.typed if value in (None, "") else told.typed and told.amount.value == float(value)


def _register_balance(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(BALANCE, "children"),
        Input(TEXT, "value"),
        Input(READER, "value"),
        Input(SPAN, "value"),
        Input(PATTERN, "value"),
        Input(ids.each(ids.PROGRAMME, "meant", ALL), "value"),
    )
    def _balance(text: str | None, reader: str, span: str, pattern: str, meant: list[str]) -> Any:
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return None
        intent, days = intent_of(meant), PATTERNS.get(pattern)
        pairs = plan.balances(intent, span=span, days=days)[plan.person(reader).athlete_id]
        several = len(plan.persons) > 2
        worst = [name for name, _ in plan.worst_served(intent, span=span, days=days)] if several else []
        return plan_balance(pairs, worst, meant=bool(intent))


def _doubts(plan: Any, person: Any) -> list[Any]:
    """What is not clear in the text, in its place, and what is not counted."""
    found = []
    for session in plan.week.sessions:
        work = plan.planned.dose(session, person).work
        found += [
            remark(html.Strong(f"{session.name}: "), issue.message) for issue in work.issues if issue.level != "note"
        ]
        found += [
            remark(html.Strong(f"{session.name}: "), f"only a score tells how much: {work.text[start:end]}")
            for start, end in work.open_places
        ]
    return found
