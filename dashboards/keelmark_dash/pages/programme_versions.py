"""Programme, versions of the sessions that fit on one board, and one session explained."""

from __future__ import annotations

from typing import Any

from dash import Dash, Input, Output, State, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash.desk import Desk
from keelmark_dash.parts.plan_session import plan_session
from keelmark_dash.parts.plan_versions import plan_versions
from keelmark_dash.parts.programme_fields import (
    BOARDS,
    EXPLAINED,
    FOUND,
    HOW_MANY,
    LOOK,
    READER,
    SESSION,
    TEXT,
    VERSION,
)
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark

__all__ = ["register"]

MOST_SECONDS = 30.0


def register(app: Dash, desk: Desk) -> None:
    """Versions are looked for at the press of a button; the session that is chosen is explained."""

    @app.callback(
        Output(FOUND, "children", allow_duplicate=True),
        Output(BOARDS, "data", allow_duplicate=True),
        Input(LOOK, "n_clicks"),
        State(TEXT, "value"),
        State(HOW_MANY, "value"),
        running=[(Output(LOOK, "disabled"), True, False), (Output(LOOK, "children"), "Looking …", "Look for versions")],
        prevent_initial_call=True,
    )
    def _look(pressed: int | None, text: str | None, how_many: str) -> Any:
        if not pressed:
            return no_update, no_update
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return remark("Write a week first.", tone="refused"), {}
        try:
            programme = plan.versions(int(how_many), seconds=MOST_SECONDS)
        except KeelmarkError as error:
            return refusal(error), {}
        boards: dict[str, dict[str, str]] = {}
        for version in programme.versions:
            boards.setdefault(version.letter, {})[version.session] = version.text
        return plan_versions(plan, programme), boards

    @app.callback(Output(VERSION, "data"), Output(VERSION, "value"), Input(BOARDS, "data"))
    def _offer(boards: dict[str, Any]) -> Any:
        letters = [letter for letter in sorted(boards or {}) if letter != "A"]
        others = [{"value": letter, "label": f"version {letter}, where there is one"} for letter in letters]
        return [{"value": "A", "label": "the board"}, *others], "A"

    @app.callback(Output(EXPLAINED, "children"), Input(SESSION, "value"), Input(READER, "value"), Input(TEXT, "value"))
    def _explain(session: str | None, reader: str, text: str | None) -> Any:
        plan = desk.squad.plan(text or "")
        if session not in [one.key for one in plan.week.sessions]:
            return html.P("Choose a session to see what it comes to, part by part.", className="soft")
        return plan_session(plan.explain(session, reader))
