"""What an athlete agrees to, purpose by purpose: since when, who said so, and the button that changes it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import dash_mantine_components as dmc
from dash import ALL, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.access_words import (
    AGREE_NOTE,
    AGREED,
    GUARDIAN_AGREES,
    GUARDIAN_NOTED,
    GUARDIAN_TELLS,
    NOT_ASKED,
    PRESS_WHEN_SAID,
    SAID_NO,
    SAID_YES,
    TAKEN_BACK,
    UNDER_AGE,
)
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.fields import choose_day
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal

__all__ = ["agreed_panel", "register_agreed", "who_agrees"]

_AGREE, _SAY_NO = "agree", "say-no"
WHOSE, SAID = ids.named(ids.ATHLETE, "agreed-whose"), ids.named(ids.ATHLETE, "agreed-said")
GUARDIAN, UNTIL, NOTE = (ids.named(ids.ATHLETE, f"guardian-{part}") for part in ("name", "until", "note"))


def agreed_panel(here: Visit, name: str) -> list[html.Section]:
    """The panel of one athlete, for those who may see it."""
    if not here.may("agreements"):
        return []
    athlete_id = here.address.athlete
    guardian = here.squad.guardian(athlete_id)
    own = here.own
    items = [_purpose(one, may_agree=not (own and guardian)) for one in here.squad.agreements(athlete_id)]
    return [
        panel(
            ids.named(ids.ATHLETE, "agreed"),
            f"What {name} agrees to",
            dcc.Store(id=WHOSE, data={"athlete": athlete_id}),
            *([html.P(_under_age(guardian.name, name, guardian.until))] if guardian else []),
            html.Ul(items, className="consents"),
            html.P(AGREE_NOTE, className="soft"),
            *([] if own else [html.P(PRESS_WHEN_SAID.format(who=guardian.name if guardian else name))]),
            *([html.P(GUARDIAN_TELLS.format(who=guardian.name))] if own and guardian else []),
            *(_guardian_form(guardian, name) if here.may("note_guardian") else []),
            html.Div(id=SAID, role="status"),
        )
    ]


def who_agrees(squad: Any, season: Any, athlete_id: str) -> str:
    """Who says yes or no: the athlete, or the guardian of somebody under age."""
    guardian = squad.guardian(athlete_id)
    names = dict(season.athletes.select("athlete_id", "name").iter_rows())
    return str(guardian.name if guardian else names.get(athlete_id, athlete_id))


def _guardian_form(guardian: Any, name: str) -> list[Any]:
    until = guardian.until if guardian else dt.date.today()
    return [
        html.Details(
            [
                html.Summary("Under age"),
                html.P(UNDER_AGE.format(name=name)),
                html.Div(
                    [
                        dmc.TextInput(id=GUARDIAN, label="Who agrees", value=guardian.name if guardian else ""),
                        choose_day(UNTIL, "Up to, the last day included", until.isoformat()),
                        dmc.Button("Note the guardian", id=NOTE, variant="default"),
                    ],
                    className="label-form",
                ),
            ],
            open=False,
        )
    ]


def _under_age(who: str, name: str, until: dt.date) -> str:
    return GUARDIAN_AGREES.format(who=who, name=name, day=f"{until:%d %b %Y}")


def _purpose(one: Any, *, may_agree: bool) -> html.Li:
    what = one.words
    day = f"{one.on:%d %b %Y}" if one.on else ""
    stands = {
        "given": AGREED.format(day=day, who=one.given_by), "withdrawn": TAKEN_BACK.format(day=day)
    }.get(one.state, NOT_ASKED)  # fmt: skip
    buttons = []
    if one.state != "given" and may_agree:
        buttons.append(_button("Agree", _AGREE, one.purpose, f"Agree: {what}"))
    if one.state != "withdrawn":
        label = "Take it back" if one.state == "given" else "Say no"
        buttons.append(_button(label, _SAY_NO, one.purpose, f"{label}: {what}"))
    said = html.Span([f"{what[0].upper()}{what[1:]}. ", html.Strong(stands)])
    return html.Li([said, *buttons])


def _button(words: str, part: str, purpose: str, label: str) -> dmc.Button:
    return dmc.Button(words, id=ids.each(ids.ATHLETE, part, purpose), variant="default", **aria(label=label))


def register_agreed(app: Dash, desk: Desk) -> None:
    """A yes and a no, in the name of the athlete, or of the guardian of somebody under age."""

    def kept(pressed: list[int | None], whose: dict[str, str], *, yes: bool) -> Any:
        if not any(pressed) or not ctx.triggered_id:
            return no_update, no_update
        squad, athlete_id, purpose = desk.squad, whose["athlete"], str(ctx.triggered_id["key"])
        try:
            who = who_agrees(squad, desk.season(), athlete_id)
            (squad.agree if yes else squad.say_no)(athlete_id, purpose, given_by=who)
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": SAID_YES if yes else SAID_NO, "tone": "done"}, None

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children", allow_duplicate=True),
        Input(ids.each(ids.ATHLETE, _AGREE, ALL), "n_clicks"),
        State(WHOSE, "data"),
        prevent_initial_call=True,
    )
    def _agree(pressed: list[int | None], whose: dict[str, str]) -> Any:
        return kept(pressed, whose, yes=True)

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children", allow_duplicate=True),
        Input(ids.each(ids.ATHLETE, _SAY_NO, ALL), "n_clicks"),
        State(WHOSE, "data"),
        prevent_initial_call=True,
    )
    def _say_no(pressed: list[int | None], whose: dict[str, str]) -> Any:
        return kept(pressed, whose, yes=False)

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children", allow_duplicate=True),
        Input(NOTE, "n_clicks"),
        State(WHOSE, "data"),
        State(GUARDIAN, "value"),
        State(UNTIL, "value"),
        prevent_initial_call=True,
    )
    def _guardian(pressed: int | None, whose: dict[str, str], name: str | None, until: str | None) -> Any:
        if not pressed:
            return no_update, no_update
        try:
            day = dt.date.fromisoformat(until[:10]) if until else dt.date.min
            desk.squad.note_guardian(whose["athlete"], name or "", day)
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": GUARDIAN_NOTED, "tone": "done"}, None
