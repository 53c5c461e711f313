"""Programme, versions of the sessions that fit on one board, and one session explained."""

from __future__ import annotations

from typing import Any

from dash import Dash, Input, Output, State, html, no_update, set_props

from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.jobs import Tell
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
from keelmark_dash.parts.progress import LongWork, Shown, begin, begun
from keelmark_dash.parts.scope import remark

__all__ = ["LONG_WORK", "register"]

MOST_SECONDS = 30.0


def _versions(squad: Any, text: str, how_many: int, tell: Tell) -> tuple[Any, Any]:
    """The week's plan and versions of its sessions; no versions where nothing is written."""
    tell("Reading the week …", None)
    plan = squad.plan(text)
    if not plan.week.sessions:
        return plan, None
    tell(f"Looking for versions, {MOST_SECONDS:.0f} seconds at most …", None)
    return plan, plan.versions(how_many, seconds=MOST_SECONDS)


def _shown(_desk: Desk, answer: tuple[Any, Any]) -> Shown:
    plan, programme = answer
    if programme is None:
        return Shown(remark("Write a week first.", tone="refused"))
    boards: dict[str, dict[str, str]] = {}
    for version in programme.versions:
        boards.setdefault(version.letter, {})[version.session] = version.text
    set_props(FOUND, {"children": plan_versions(plan, programme)})
    set_props(BOARDS, {"data": boards})
    return Shown()


LONG_WORK = LongWork(ids.PROGRAMME, "versions", _shown)


def register(app: Dash, desk: Desk) -> None:
    """Versions are looked for at the press of a button; the session that is chosen is explained."""

    @app.callback(
        *begun(ids.PROGRAMME, "versions"),
        Output(FOUND, "children", allow_duplicate=True),
        Output(BOARDS, "data", allow_duplicate=True),
        Input(LOOK, "n_clicks"),
        State(TEXT, "value"),
        State(HOW_MANY, "value"),
        prevent_initial_call=True,
    )
    def _look(pressed: int | None, text: str | None, how_many: str) -> Any:
        if not pressed:
            return [no_update] * 6
        squad = desk.squad
        about = f"{how_many} {text}"
        work = begin(desk, "versions", lambda tell: _versions(squad, text or "", int(how_many), tell), about)
        return [*work, None, {}]

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
