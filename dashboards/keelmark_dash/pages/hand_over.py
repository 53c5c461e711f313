"""Hand-over: consent first, then one page for a physiotherapist or doctor, and the slip that comes back."""

from __future__ import annotations

import datetime as dt
from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.report import html_of, pdf_of
from keelmark.report.hand_over_words import FIELDS
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.pages.hand_over_slip import SLIP, STANDING, WHOSE, day_of, register_slip
from keelmark_dash.papers_words import ANOTHER_AGREES, HAND_OVER_NOTE, MINORS
from keelmark_dash.parts.agreed import who_agrees
from keelmark_dash.parts.controls import athlete_control, controls, week_control
from keelmark_dash.parts.fields import choose_day, choose_one
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.paper import paper_view
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark, scope_line
from keelmark_dash.readings import people
from keelmark_dash.shown_as import told_otherwise

__all__ = ["PAGE"]

_NAME = ids.HAND_OVER


def _id(part: str) -> str:
    return ids.named(_NAME, part)


BY, TO, ON, WHAT, ASK = (_id(part) for part in ("by", "to", "on", "what", "ask"))
LOOK, PDF, HTML, FILE, SEEN = (_id(part) for part in ("look", "pdf", "html", "file", "seen"))


def layout(here: Visit) -> list[Any]:
    """The athlete, the consent, the page as it will be printed, the slip, and what stands."""
    address, season = here.address, here.season
    return [
        html.H1("Hand-over"),
        controls(
            athlete_control(address, people(season).select("athlete_id", "name").rows()),
            week_control(address, season.weeks),
        ),
        FORM.place(here),
        html.Div(id=SEEN, role="status"),
        SLIP.place(here),
        STANDING.place(here),
        scope_line(),
    ]


def _form(here: Visit) -> list[Any]:
    name, who = _first_name(here), who_agrees(here.squad, here.season, here.address.athlete)
    boxes = [dmc.Checkbox(label=words[:1].upper() + words[1:], value=key) for key, words in FIELDS.items()]
    return [
        panel(
            _id("consent"),
            "What may be shown",
            dcc.Store(id=WHOSE, data={"athlete": here.address.athlete, "week": here.address.week}),
            html.P(HAND_OVER_NOTE),
            html.P(MINORS),
            *([html.P(told_otherwise(), className="soft")] if told_otherwise() else []),
            html.Div(
                [
                    choose_one(BY, "Who agreed", [who], who, allowDeselect=False),
                    dmc.TextInput(id=TO, label="Who may see it", placeholder="Maren, physiotherapist"),
                    choose_day(ON, "Agreed on", dt.date.today().isoformat()),
                    html.Div(
                        dmc.CheckboxGroup(
                            id=WHAT, label=f"What {name} agreed to show", value=[], children=dmc.Stack(boxes, gap=0)
                        ),
                        className="wide",
                    ),
                    dmc.Textarea(
                        id=ASK, label="What you ask, one question a line", autosize=True, minRows=2, className="wide",
                        value="",
                    ),
                ],
                className="paper-form",
            ),
            html.Div(
                [
                    dmc.Button("Look at the page", id=LOOK, variant="default"),
                    dmc.Button("Keep the consent, save as PDF", id=PDF),
                    dmc.Button("Keep the consent, save as HTML", id=HTML, variant="default"),
                ],
                className="buttons",
            ),
            dcc.Download(id=FILE),
        )
    ]  # fmt: skip


def _first_name(here: Visit) -> str:
    names = dict(people(here.season).select("athlete_id", "name").rows())
    return str(names.get(here.address.athlete, ""))


def register(app: Dash, desk: Desk) -> None:
    """The page to look at and to save, and what comes back."""

    @app.callback(
        Output(SEEN, "children"),
        Output(FILE, "data"),
        Input(LOOK, "n_clicks"),
        Input(PDF, "n_clicks"),
        Input(HTML, "n_clicks"),
        State(WHOSE, "data"),
        State(BY, "value"),
        State(TO, "value"),
        State(ON, "value"),
        State(WHAT, "value"),
        State(ASK, "value"),
        prevent_initial_call=True,
    )
    def _paper(
        _look: int | None,
        _pdf: int | None,
        _html: int | None,
        whose: dict[str, str],
        by: str | None,
        to: str | None,
        on: str | None,
        what: list[str] | None,
        ask: str | None,
    ) -> Any:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update, no_update
        try:
            if by != who_agrees(desk.squad, desk.season(), whose["athlete"]):
                return remark(ANOTHER_AGREES, tone="refused"), no_update
            paper = desk.squad.hand_over(
                whose["athlete"],
                whose["week"],
                fields=what or [],
                given_by=by or "",
                given_to=to or "",
                given_on=day_of(on) or dt.date.today(),
                questions=ask or "",
                keep=ctx.triggered_id != LOOK,
            )
        except KeelmarkError as error:
            return refusal(error), no_update
        seen, name = paper_view(paper, _id("paper")), f"hand-over-{whose['athlete']}-{whose['week']}"
        if ctx.triggered_id == PDF:
            return seen, dcc.send_bytes(pdf_of(paper, made_at=dt.datetime.now(dt.UTC)), f"{name}.pdf")
        if ctx.triggered_id == HTML:
            return seen, dcc.send_string(html_of(paper), f"{name}.html")
        return seen, no_update

    register_slip(app, desk)


FORM = Region(_id("form"), ("athlete", "week"), _form)
PAGE = Page("/hand-over", "Hand-over", layout, (FORM, SLIP, STANDING), register, needs_records=True)
