"""The papers of a week: the coach's, or one athlete's, to be read here, printed or saved."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.report import Paper, file_name, html_of, pdf_of
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.desk import Desk
from keelmark_dash.jobs import Tell
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.papers_words import BRIEF_NOTE, EVERYBODY_WORDS, SAVED
from keelmark_dash.parts.controls import athlete_control, controls, week_control
from keelmark_dash.parts.link import link
from keelmark_dash.parts.paper import paper_view
from keelmark_dash.parts.progress import LongWork, Shown, begin, begun, progress
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.readings import people
from keelmark_dash.shown_as import told_otherwise

__all__ = ["LONG_WORK", "PAGE"]

_SQUAD = "squad"
SHOWN, PDF, HTML, FILE, SAID, EVERYBODY = (
    ids.named(ids.BRIEF, part) for part in ("shown", "pdf", "html", "file", "said", "everybody")
)


def layout(here: Visit) -> list[Any]:
    """The choice of week and person, and the paper."""
    address, season = here.address, here.season
    return [
        html.H1("The week on paper"),
        controls(
            week_control(address, season.weeks),
            athlete_control(address, people(season).select("athlete_id", "name").rows()),
        ),
        WHO.place(here),
        html.Div(
            [dmc.Button("Save as PDF", id=PDF), dmc.Button("Save as HTML", id=HTML, variant="default")],
            className="buttons",
        ),
        dcc.Download(id=FILE),
        html.Div(id=SAID, role="status"),
        *_everybody(here),
        PAPER.place(here),
    ]


def _who(here: Visit) -> list[Any]:
    """For whom the paper is, and the way to the other one."""
    address = here.address
    names = dict(people(here.season).select("athlete_id", "name").rows())
    own = link(f"The paper for {names.get(address.athlete, '')}", _here(address, ""))
    if not here.may("coach_brief"):
        return [html.P(BRIEF_NOTE)]
    other = own if _for_squad(here) else link("The paper for the coach", _here(address, _SQUAD))
    return [html.P([BRIEF_NOTE, " ", other, "."])]


def _here(address: Address, show: str) -> str:
    return "/brief" + address.with_(show=show).search("week", "athlete", "show")


def _everybody(here: Visit) -> list[Any]:
    if not here.may("coach_brief"):
        return []
    button = dmc.Button(EVERYBODY_WORDS, id=EVERYBODY, variant="default")
    bar = progress(ids.BRIEF, "papers", "How many papers are written", here.running("papers", here.address.week))
    return [html.Div(button, className="buttons"), bar]


def _for_squad(here: Visit) -> bool:
    return here.address.show == _SQUAD and here.may("coach_brief")


def _paper(here: Visit) -> list[Any]:
    shown = {"week": here.address.week, "athlete": here.address.athlete, "squad": _for_squad(here)}
    paper = _made(here.squad, shown)
    otherwise = told_otherwise()
    note = [html.P(otherwise, className="soft")] if otherwise else []
    return [dcc.Store(id=SHOWN, data=shown), *note, paper_view(paper, ids.named(ids.BRIEF, "paper"))]


def _made(squad: Any, shown: dict[str, Any]) -> Paper:
    paper: Paper = (
        squad.coach_brief(shown["week"]) if shown["squad"] else squad.athlete_brief(shown["athlete"], shown["week"])
    )
    return paper


def register(app: Dash, desk: Desk) -> None:
    """The paper as a file."""

    @app.callback(
        Output(FILE, "data"),
        Output(SAID, "children"),
        Input(PDF, "n_clicks"),
        Input(HTML, "n_clicks"),
        State(SHOWN, "data"),
        prevent_initial_call=True,
    )
    def _save(_pdf: int | None, _html: int | None, shown: dict[str, Any] | None) -> Any:
        if not ctx.triggered_id or not ctx.triggered[0]["value"] or not shown:
            return no_update, no_update
        try:
            paper = _made(desk.squad, shown)
        except KeelmarkError as error:
            return no_update, refusal(error)
        name = f"{shown['week']}-{_SQUAD if shown['squad'] else shown['athlete']}"
        if ctx.triggered_id == PDF:
            return dcc.send_bytes(pdf_of(paper, made_at=dt.datetime.now(dt.UTC)), f"{name}.pdf"), None
        return dcc.send_string(html_of(paper), f"{name}.html"), None

    @app.callback(
        *begun(ids.BRIEF, "papers"), Input(EVERYBODY, "n_clicks"), State(SHOWN, "data"), prevent_initial_call=True
    )
    def _everybody_saved(pressed: int | None, shown: dict[str, Any] | None) -> Any:
        if not pressed or not shown:
            return [no_update] * 4
        squad, week = desk.squad, str(shown["week"])
        people_ = squad.season().athletes.sort("name").select("athlete_id", "name").rows()
        return begin(desk, "papers", lambda tell: (week, _zipped(squad, week, people_, tell)), week)


def _zipped(squad: Any, week: str, people_: list[tuple[str, str]], tell: Tell) -> bytes:
    """The coach's paper and everybody's, as PDF, in one archive."""
    made_at, packed = dt.datetime.now(dt.UTC), io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(f"{week}-{_SQUAD}.pdf", pdf_of(squad.coach_brief(week), made_at=made_at))
        for number, (athlete_id, name) in enumerate(people_):
            tell(f"Writing the paper for {name}, {number + 1} of {len(people_)}", number / len(people_))
            paper = squad.athlete_brief(athlete_id, week)
            archive.writestr(f"{week}-{file_name(athlete_id)}.pdf", pdf_of(paper, made_at=made_at))
    return packed.getvalue()


def _saved(_desk: Desk, answer: tuple[str, bytes]) -> Shown:
    week, content = answer
    return Shown(remark(SAVED, tone="done"), dcc.send_bytes(content, f"{week}-papers.zip"))


LONG_WORK = LongWork(ids.BRIEF, "papers", _saved)
WHO = Region(ids.named(ids.BRIEF, "who"), ("week", "athlete", "show"), _who)
PAPER = Region(ids.named(ids.BRIEF, "sheet"), ("week", "athlete", "show"), _paper)
PAGE = Page("/brief", "The week on paper", layout, (WHO, PAPER), register, in_menu=False, needs_records=True)
