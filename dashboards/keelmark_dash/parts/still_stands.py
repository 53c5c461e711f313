"""What still stands in a squad's week: complaints by how they stand, and decisions that want another look."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import MATCH, Dash, Input, Output, State, ctx, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.health import area_label, complaint_episodes, weeks_said
from keelmark.health.words import STATE_WORDS
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.link import link
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.readings import last_decisions, people
from keelmark_dash.routing import visit
from keelmark_dash.words import day_words, week_monday

__all__ = ["register_still_stands", "still_stands"]

PLACE = ids.named(ids.SQUAD, "still-stands")
_REPLAY, _REPLAYED = "replay", "replayed"
_SOON = timedelta(days=13)
"""Decisions to be looked at by the Sunday after the chosen week are shown."""


def still_stands(here: Visit) -> list[html.Section]:
    """The place of the panel, filled when the rest of the page stands; for those who may decide."""
    if not here.may("record_decision"):
        return []
    waiting = html.Div(html.P("Looking at what still stands …", role="status"), id=PLACE)
    return [panel(ids.named(ids.SQUAD, "stands"), "What still stands", waiting)]


def register_still_stands(app: Dash, desk: Desk) -> None:
    """The panel is filled, and a decision worked out again, when asked for."""

    @app.callback(Output(PLACE, "children"), Input(PLACE, "id"), State(ids.ADDRESS, "search"))
    def _fill(_name: str, search: str | None) -> Any:
        here = visit(desk, search or "")[0]
        if not here.season.weeks:
            return no_update
        return [html.Div([_complaints(here), _decisions(here)], className="two-columns")]

    @app.callback(
        Output(ids.each(ids.SQUAD, _REPLAYED, MATCH), "children"),
        Input(ids.each(ids.SQUAD, _REPLAY, MATCH), "n_clicks"),
        prevent_initial_call=True,
        running=[(Output(ids.each(ids.SQUAD, _REPLAY, MATCH), "disabled"), True, False)],
    )
    def _again(pressed: int | None) -> Any:
        if not pressed or not ctx.triggered_id:
            return no_update
        try:
            return remark(desk.squad.replay(str(ctx.triggered_id["key"])).words, tone="done")
        except KeelmarkError as error:
            return refusal(error)


def _complaints(here: Visit) -> html.Div:
    monday = week_monday(here.address.week)
    shown = dict(people(here.season, here.address.group).select("athlete_id", "name").rows())
    told = here.squad.check_ins().filter(pl.col("athlete_id").is_in(list(shown)))
    episodes = complaint_episodes(weeks_said(told), monday) if told.height else None
    items: list[Any] = []
    for state in ("new", "persisting", "resolved"):
        found = [] if episodes is None else episodes.filter(pl.col("state") == state).to_dicts()
        if state == "resolved":
            found = [row for row in found if row["over"] == monday]
        if found:
            names = [_complaint(row, shown[row["athlete_id"]], here) for row in found]
            between = [part for name in names for part in (", ", name)][1:]
            items.append(html.Li([html.Strong(f"{STATE_WORDS[state].capitalize()} ({len(found)}): "), *between]))
    body = html.Ul(items) if items else html.P("No complaint is new, still there or just over in this week.")
    return html.Div([html.H3("Complaints"), body])


def _complaint(row: dict[str, Any], name: str, here: Visit) -> html.Span:
    where = here.address.link("/check-ins", athlete=row["athlete_id"], week=here.address.week)
    return html.Span([link(name, where), f" {area_label(row['area']).lower()}"])


def _decisions(here: Visit) -> html.Div:
    until = week_monday(here.address.week) + _SOON
    told = [one for one in last_decisions(here.squad).values() if one.get("option") and one.get("review_date")]
    due = sorted((one for one in told if one["review_date"] <= until), key=lambda one: one["review_date"])
    about = dict(here.season.notices.select("notice_id", "headline").iter_rows())
    items = [_decision(one, about.get(one["notice_id"], "A notice that is no longer made"), until) for one in due]
    body = html.Ul(items, className="repairs") if items else html.P("No decision wants another look by next Sunday.")
    return html.Div([html.H3("Decisions to look at again"), body])


def _decision(one: dict[str, Any], about: str, until: date) -> html.Li:
    who = f" {one['owner']} sees to it." if one.get("owner") else ""
    late = " The day is over." if one["review_date"] < until - _SOON else ""
    key = str(one["decision_id"])
    return html.Li(
        [
            html.P([html.Strong(day_words(one["review_date"])), f": {one['option']}.{who}{late} ", html.Em(about)]),
            dmc.Button(
                "Work it out again",
                id=ids.each(ids.SQUAD, _REPLAY, key),
                variant="default",
                **aria(label=f"Work out again: {about}"),
            ),
            html.Div(id=ids.each(ids.SQUAD, _REPLAYED, key), role="status"),
        ]
    )
