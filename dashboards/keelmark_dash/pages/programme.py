"""Programme: a week typed as it stands on the whiteboard, and what it comes to, as it is typed."""

from __future__ import annotations

import datetime as dt
from typing import Any

from dash import ALL, MATCH, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.channels import CHANNEL_BY_KEY, OPPOSING_CHANNELS
from keelmark.contracts.errors import KeelmarkError
from keelmark.plan import PATTERNS, ramp
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page, Visit
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.plan_balance import plan_balance
from keelmark_dash.parts.plan_clashes import plan_clashes, plan_repairs
from keelmark_dash.parts.plan_matrix import plan_matrix
from keelmark_dash.parts.plan_season import plan_season
from keelmark_dash.parts.plan_session import plan_session
from keelmark_dash.parts.plan_versions import plan_versions
from keelmark_dash.parts.plan_week import plan_squad, plan_what_if
from keelmark_dash.parts.programme_fields import (
    AFTER,
    AHEAD,
    BALANCE,
    BOARDS,
    CALENDAR,
    CHANGE,
    CLASHES,
    COMES,
    DAYS,
    EXAMPLE_BUTTON,
    EXPLAINED,
    FILE,
    FOUND,
    FROM,
    HOW_MANY,
    KIND,
    LIGHTER,
    LONG,
    LOOK,
    PATTERN,
    PLANNED,
    READER,
    SENSITIVE,
    SESSION,
    SPAN,
    SQUAD,
    START,
    TEXT,
    VERSION,
    WHAT_IF,
    balance_fields,
    readers,
    season_fields,
    sensitivity_field,
    session_field,
    version_fields,
    what_if_fields,
    writing,
)
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark, scope_line
from keelmark_dash.programme_words import (
    EMPTY,
    EXAMPLE,
    SEASON_NOTE,
    VERSIONS_NOTE,
)
from keelmark_dash.words import week_monday

__all__ = ["PAGE"]

MOST_SECONDS = 30.0


def layout(here: Visit) -> list[Any]:
    """The text on one side, the matrix on the other; below them what follows from it."""
    return [
        html.H1("Programme"),
        html.Div(
            [
                panel(ids.named(ids.PROGRAMME, "write"), "The week", *writing(readers(here.squad))),
                panel(
                    ids.named(ids.PROGRAMME, "matrix"),
                    "What it comes to",
                    html.Div(html.P(EMPTY), id=COMES, role="status"),
                ),
            ],
            className="programme-desk",
        ),
        html.Div(
            [
                panel(ids.named(ids.PROGRAMME, "clash"), "Clashes", sensitivity_field(), html.Div(id=CLASHES)),
                panel(ids.named(ids.PROGRAMME, "pairs"), "Balance", *balance_fields(), html.Div(id=BALANCE)),
            ],
            className="programme-columns",
        ),
        panel(ids.named(ids.PROGRAMME, "marks"), "Everybody's week", html.Div(id=SQUAD), *what_if_fields()),
        panel(ids.named(ids.PROGRAMME, "versions"), "Versions", html.P(VERSIONS_NOTE), *version_fields()),
        panel(
            ids.named(ids.PROGRAMME, "explain"),
            "One session explained",
            session_field(),
            html.Div(id=EXPLAINED, role="status"),
        ),
        panel(
            ids.named(ids.PROGRAMME, "season"), "Weeks ahead", html.P(SEASON_NOTE), *season_fields(here.season.weeks)
        ),
        scope_line(),
    ]


def register(app: Dash, desk: Desk) -> None:
    """The page follows its text; versions, repairs and the calendar file are asked for by a button."""
    _register_text(app, desk)
    _register_week(app, desk)
    _register_repairs(app, desk)
    _register_versions(app, desk)
    _register_session(app, desk)
    _register_season(app, desk)


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
        comes = [*(remark(words) for words in plan.remarks), *_doubts(plan, person), plan_matrix(plan, reader)]
        changed = ctx.triggered_id == TEXT
        return (
            comes,
            plan_clashes(plan.clashes(sensitivity, reader)),
            sessions,
            None if changed else no_update,
            {} if changed else no_update,
        )

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
        intent = {(one, other): float(ratio) for (one, other, _), ratio in zip(OPPOSING_CHANNELS, meant, strict=True)}
        days = PATTERNS.get(pattern)
        pairs = plan.balances(intent, span=span, days=days)[plan.person(reader).athlete_id]
        several = len(plan.persons) > 2
        worst = [name for name, _ in plan.worst_served(intent, span=span, days=days)] if several else []
        return plan_balance(pairs, worst)

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


def _register_week(app: Dash, desk: Desk) -> None:
    @app.callback(Output(SQUAD, "children"), Input(TEXT, "value"))
    def _squad(text: str | None) -> Any:
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return html.P("Nothing is written yet.")
        agreed = [
            f"{plan.person(one.athlete_id).name}: {CHANNEL_BY_KEY[one.channel].label.lower()} at most {one.most:g}"
            for one in plan.limits
        ]
        told = [html.P(f"Agreed for this week: {'; '.join(agreed)}.")] if agreed else []
        return [*plan_squad(plan, plan.projection()), *told]

    @app.callback(Output(DAYS, "value"), Input(READER, "value"), State(TEXT, "value"))
    def _own_days(reader: str, text: str | None) -> Any:
        return [str(day) for day in sorted(desk.squad.plan(text or "").person(reader).days)]

    @app.callback(
        Output(WHAT_IF, "children"),
        Input(TEXT, "value"),
        Input(READER, "value"),
        Input(DAYS, "value"),
        Input(VERSION, "value"),
        State(BOARDS, "data"),
    )
    def _what_if(text: str | None, reader: str, days: list[str], version: str, boards: dict[str, Any]) -> Any:
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return None
        own = (boards or {}).get(version, {})
        usual = plan.projection()
        changed = plan.projection(days={reader: [int(day) for day in days]}, texts={reader: own})
        mine = [frame.filter(frame["athlete_id"] == reader) for frame in (usual, changed)]
        return plan_what_if(plan.person(reader).name, *mine)


def _register_repairs(app: Dash, desk: Desk) -> None:
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
        return plan_repairs(_repairs(desk, text, reader, sensitivity, at), at)

    @app.callback(
        Output(TEXT, "value", allow_duplicate=True),
        Input(ids.each(ids.PROGRAMME, "apply", ALL), "n_clicks"),
        State(TEXT, "value"),
        State(READER, "value"),
        State(SENSITIVE, "value"),
        prevent_initial_call=True,
    )
    def _apply(pressed: list[int | None], text: str, reader: str, sensitivity: str) -> Any:
        if not any(pressed) or not ctx.triggered_id:
            return no_update
        clash, at = map(int, ctx.triggered_id["key"].split("-"))
        found = _repairs(desk, text, reader, sensitivity, clash)
        return found[at].week_text if at < len(found) else no_update


def _repairs(desk: Desk, text: str, reader: str, sensitivity: str, at: int) -> list[Any]:
    plan = desk.squad.plan(text)
    found = plan.clashes(sensitivity, reader)
    return plan.repairs(found[at], sensitivity, reader) if at < len(found) else []


def _register_versions(app: Dash, desk: Desk) -> None:
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


def _register_session(app: Dash, desk: Desk) -> None:
    @app.callback(Output(EXPLAINED, "children"), Input(SESSION, "value"), Input(READER, "value"), Input(TEXT, "value"))
    def _explain(session: str | None, reader: str, text: str | None) -> Any:
        plan = desk.squad.plan(text or "")
        if session not in [one.key for one in plan.week.sessions]:
            return html.P("Choose a session to see what it comes to, part by part.", className="soft")
        return plan_session(plan.explain(session, reader))


def _register_season(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(AHEAD, "children"),
        Input(KIND, "value"),
        Input(FROM, "value"),
        Input(START, "value"),
        Input(CHANGE, "value"),
        Input(LONG, "value"),
        Input(LIGHTER, "value"),
        Input(READER, "value"),
        Input(TEXT, "value"),
    )
    def _ahead(
        kind: str, first: str, start: Any, change: Any, weeks: Any, lighter: Any, reader: str, text: str | None
    ) -> Any:
        plan = desk.squad.plan(text or "")
        monday = plan.monday if first == PLANNED else week_monday(first)
        if monday is None:
            return html.P("Write a date beside one of the days, so that the weeks have dates.", className="soft")
        if any(value in (None, "") for value in (start, change, weeks, lighter)):
            return html.P("Every field wants a number.", className="soft")
        try:
            meant = ramp(
                monday, int(weeks), kind, float(start), float(change) / 100, lighter_every=int(lighter) or None
            )
        except KeelmarkError as error:
            return refusal(error)
        known = plan.season is not None
        done = plan.against_done(meant, reader) if known else None
        labels = desk.season().labels if known else None
        return plan_season(meant, done, labels, plan.person(reader).name)


PAGE = Page("/programme", "Programme", layout, register=register)
