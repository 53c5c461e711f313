"""Check-ins: how the week was, what was told beside what was done, and what the squad's weeks say together."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import Dash, Input, Output, State, ctx, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.health import asked_after, weeks_said
from keelmark.health.words import ORDER_IS_NOT_CAUSE
from keelmark_dash import ids
from keelmark_dash.check_in_words import NO_ANSWERS, SCALE_NOTE, SEVERITY_NOTE, TAKEN_BACK, noted, said_so_far
from keelmark_dash.desk import Desk
from keelmark_dash.figures.grid_picture import GridPicture
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.parts.check_in_form import ANSWERS, AREA, BACK, FOR, SAVE, WELL, check_in_form
from keelmark_dash.parts.complaint_lanes import complaint_lanes, lanes_picture
from keelmark_dash.parts.complaints import complaints, register_complaints
from keelmark_dash.parts.controls import athlete_control, channel_control, controls, week_control
from keelmark_dash.parts.link import link
from keelmark_dash.parts.markup import drawing
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.squad_question import squad_question
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.readings import athlete_weeks, people
from keelmark_dash.sheets import check_ins_sheet
from keelmark_dash.words import channel_of, count, week_dates, week_title

__all__ = ["PAGE"]

WEEKS_SHOWN = 26
QUESTION = ids.named(ids.CHECK_INS, "squad")


def layout(here: Visit) -> list[Any]:
    """One athlete's week, that athlete's weeks so far, who has answered, and the squad's question."""
    address, season = here.address, here.season
    asks = here.may("association")
    return [
        html.H1("Check-ins"),
        controls(
            athlete_control(address, people(season).select("athlete_id", "name").rows()),
            week_control(address, season.weeks),
        ),
        html.Div([FORM.place(here), WEEK.place(here)], className="check-in-columns"),
        html.Section(
            [
                html.H2("What was told, beside what was done", id="check-ins-lanes-title"),
                controls(channel_control(address, season.channels)),
                LANES.place(here),
            ],
            **{"aria-labelledby": "check-ins-lanes-title"},
        ),
        *([html.Div(html.P("Looking at the squad's weeks …", role="status"), id=QUESTION)] if asks else []),
        html.P(SCALE_NOTE, className="soft"),
    ]


def _name(here: Visit) -> str:
    names = dict(people(here.season).select("athlete_id", "name").rows())
    return str(names.get(here.address.athlete, ""))


def _form(here: Visit) -> list[Any]:
    address = here.address
    if not here.may("check_in"):
        return []
    given = here.squad.check_ins(address.athlete).filter(pl.col("week") == address.week)
    told, last = weeks_said(given), given["check_in_id"].last() if given.height else None
    so_far = said_so_far(told["area"].to_list(), told["severity"].to_list()) if told.height else None
    return [
        check_in_form(address.athlete, _name(here), address.week, so_far, last, ids.named(ids.CHECK_INS, "form-title"))
    ]


def _week(here: Visit) -> list[Any]:
    """Who has answered: names by what they said, without what it was about; nothing for one who may see no others."""
    if here.person.athlete_id is not None:
        return []
    address = here.address
    told = weeks_said(here.squad.check_ins().filter(pl.col("week") == address.week))
    complaint = set(told.filter(pl.col("area").is_not_null())["athlete_id"])
    answered = set(told["athlete_id"])
    everybody: list[tuple[str, str]] = people(here.season).select("athlete_id", "name").rows()
    groups = (
        ("No answer yet", [one for one in everybody if one[0] not in answered]),
        ("Told a complaint", [one for one in everybody if one[0] in complaint]),
        ("All is well", [one for one in everybody if one[0] in answered - complaint]),
    )
    title = ids.named(ids.CHECK_INS, "week-title")
    lists = [
        html.Div([html.H3(f"{name} ({len(members)})"), _names(members, here)], className="answer-group")
        for name, members in groups
        if members
    ]
    head = html.H2([f"{week_title(address.week)} ", html.Span(week_dates(address.week), className="when")], id=title)
    counted = html.P(f"{len(answered)} of {count(len(everybody), 'athlete')} have answered.")
    return [html.Section([head, counted, *lists], className="panel", **{"aria-labelledby": title})]


def _names(members: list[tuple[str, str]], here: Visit) -> html.Ul:
    kept = here.address.with_(rows=None, show=None, weeks=None)
    items = [html.Li(link(name, "/check-ins" + kept.with_(athlete=key).search())) for key, name in members]
    return html.Ul(items, className="names")


def _shown(here: Visit) -> list[str]:
    last = here.season.weeks.index(here.address.week) + 1
    return here.season.weeks[max(0, last - WEEKS_SHOWN) : last]


def _picture(here: Visit, _key: str) -> GridPicture:
    """The lanes as they stand on the page."""
    address = here.address
    told = here.squad.timeline(address.athlete, address.week)
    weeks = athlete_weeks(here.season, address.athlete, address.channel)
    return lanes_picture(told.said, weeks, _shown(here), channel_of(address.channel), _name(here))


def _lanes(here: Visit) -> list[Any]:
    address = here.address
    told = here.squad.timeline(address.athlete, address.week)
    name, channel = _name(here), channel_of(address.channel)
    if told.said.is_empty():
        return [html.P(NO_ANSWERS), html.P(ORDER_IS_NOT_CAUSE, className="soft")]
    weeks, shown = athlete_weeks(here.season, address.athlete, address.channel), _shown(here)
    return [
        drawing(complaint_lanes(told.said, weeks, shown, channel, address, name), className="lanes-box"),
        html.P(ORDER_IS_NOT_CAUSE),
        _episodes(told.episodes, here),
        take_away(ids.CHECK_INS, "said", drawn=True),
        html.P(SEVERITY_NOTE, className="soft"),
    ]


def _episodes(episodes: pl.DataFrame, here: Visit) -> Any:
    if episodes.is_empty():
        return html.P("No complaint has been told so far.")
    decided = here.squad.complaint_decisions(here.address.athlete)
    return complaints(episodes, decided, here.address, may_decide=here.may("decide_on_complaint"))


def register(app: Dash, desk: Desk) -> None:
    """The one tap, the form, and the squad's question, which is answered when the rest of the page stands."""

    register_complaints(app, desk)

    @app.callback(Output(QUESTION, "children"), Input(QUESTION, "id"))
    def _ask(_name: str) -> Any:
        return squad_question(desk.squad.association())

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(ids.SAID, "children", allow_duplicate=True),
        Input(WELL, "n_clicks"),
        Input(SAVE, "n_clicks"),
        State(FOR, "data"),
        State(AREA, "value"),
        *(State(key, "value") for key in ANSWERS.values()),
        prevent_initial_call=True,
    )
    def _keep(
        _well: int | None, _save: int | None, whose: dict[str, str], area: str | None, *chosen: str | None
    ) -> Any:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update, no_update
        answers: dict[str, int | None] = {"taking_part": 0}
        if ctx.triggered_id == SAVE:
            answers = _given(dict(zip(ANSWERS, chosen, strict=True)))
        told_area = area if ctx.triggered_id == SAVE else None
        try:
            desk.squad.check_in(whose["athlete"], whose["week"], answers, told_area)
        except KeelmarkError as error:
            return no_update, refusal(error)
        names = dict(people(desk.season()).select("athlete_id", "name").rows())
        words = noted(names[whose["athlete"]], week_title(whose["week"]), told_area)
        return {"said": words, "tone": "done"}, no_update

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(ids.SAID, "children", allow_duplicate=True),
        Input(BACK, "n_clicks"),
        State(FOR, "data"),
        prevent_initial_call=True,
    )
    def _take_back(pressed: int | None, whose: dict[str, str]) -> Any:
        if not pressed or not isinstance(whose, dict):
            return no_update, no_update
        try:
            desk.squad.withdraw_check_in(str(whose.get("athlete")), str(whose.get("last")))
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": TAKEN_BACK, "tone": "done"}, no_update


def _given(chosen: dict[str, str | None]) -> dict[str, int | None]:
    """The chosen options, without those that stand hidden because the first answer makes them needless."""
    options = {key: int(value) if value is not None else None for key, value in chosen.items()}
    first = options["taking_part"]
    wanted = ("taking_part", *asked_after(first)) if first is not None else tuple(options)
    return {key: options[key] for key in wanted}


FORM = Region(ids.named(ids.CHECK_INS, "form"), ("athlete", "week"), _form)
WEEK = Region(ids.named(ids.CHECK_INS, "week"), ("week",), _week)
LANES = Region(ids.named(ids.CHECK_INS, "lanes"), ("athlete", "week", "channel"), _lanes)
PAGE = Page(
    "/check-ins",
    "Check-ins",
    layout,
    (FORM, WEEK, LANES),
    register,
    needs_records=True,
    sheets=check_ins_sheet,
    pictures=_picture,
)
