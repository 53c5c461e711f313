"""Squad: coverage first, then a few notices, then the season as a strip of gauges."""

from __future__ import annotations

from datetime import date
from typing import Any

import polars as pl
from dash import MATCH, Dash, Input, Output, State, ctx, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.parts.controls import (
    channel_control,
    controls,
    group_control,
    show_control,
    week_control,
    weeks_control,
)
from keelmark_dash.parts.coverage import coverage_panel
from keelmark_dash.parts.markup import drawing
from keelmark_dash.parts.notice import notice_card
from keelmark_dash.parts.place import legend
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.row_pages import row_pages
from keelmark_dash.parts.scope import remark, scope_line
from keelmark_dash.parts.strip import strip
from keelmark_dash.readings import channels, coverage, groups, people, strip_rows, weeks_up_to
from keelmark_dash.words import channel_of, day_words, week_dates, week_title

__all__ = ["PAGE"]


def layout(here: Visit) -> list[Any]:
    """Coverage, notices and the season of one week, group and kind of work."""
    address, season = here.address, here.season
    return [
        TITLE.place(here),
        controls(week_control(address, season.weeks), group_control(address, groups(season))),
        WEEK.place(here),
        html.Section(
            [
                html.H2("The season", id="squad-season-title"),
                controls(channel_control(address, channels(season)), weeks_control(address), show_control(address)),
                SEASON.place(here),
            ],
            **{"aria-labelledby": "squad-season-title"},
        ),
    ]


def _title(here: Visit) -> list[Any]:
    week = f"{week_title(here.address.week)}, {week_dates(here.address.week)}"
    return [html.H1(["The squad ", html.Span(week, className="when")])]


def _week(here: Visit) -> list[Any]:
    address, season = here.address, here.season
    return [coverage_panel(coverage(season, address.week, address.group), address), _notices(season, address)]


def _notices(season: Any, address: Address) -> html.Section:
    found = season.notices.filter(pl.col("week") == address.week).sort("rank")
    if address.group:
        members = season.athletes.filter(pl.col("group") == address.group)["athlete_id"].to_list()
        found = found.filter(pl.col("athlete_id").is_in(members))
    first = found.filter(pl.col("within_budget"))
    rest = found.filter(~pl.col("within_budget"))
    parts: list[Any] = [html.H2("What stands out", id="squad-notices-title")]
    if found.is_empty():
        parts.append(html.P("No week stands out against its own usual range. That is not an all-clear: only logged "
                            "training is looked at."))  # fmt: skip
    parts.append(html.Div([notice_card(row, address) for row in first.iter_rows(named=True)], className="notices"))
    if rest.height:
        cards = html.Div([notice_card(row, address) for row in rest.iter_rows(named=True)], className="notices")
        parts.append(html.Details([html.Summary(f"Show the rest ({rest.height})"), cards], className="rest"))
    return html.Section(parts, **{"aria-labelledby": "squad-notices-title"})


def _season(here: Visit) -> list[Any]:
    address, season = here.address, here.season
    weeks = weeks_up_to(season, address)
    channel = channel_of(address.channel)
    return [
        html.P(
            [
                html.Strong(channel.label),
                f": {channel.meaning}, in {channel.unit}. Each hull is as deep as that athlete's own fullest week, so "
                "rows are not compared with each other.",
            ],
            className="soft",
        ),
        drawing(strip(strip_rows(season, address, weeks), weeks, channel, address), className="strip-box"),
        row_pages("/", address, people(season, address.group).height),
        legend(),
        scope_line(),
    ]


def register(app: Dash, squad: Any) -> None:
    """Answers to notices, and decisions."""

    @app.callback(
        Output(ids.each(ids.SQUAD, "answered", MATCH), "children"),
        Input(ids.each(ids.SQUAD, "useful", MATCH), "n_clicks"),
        Input(ids.each(ids.SQUAD, "not-useful", MATCH), "n_clicks"),
        prevent_initial_call=True,
    )
    def _answer(_useful: int | None, _not_useful: int | None) -> Any:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update
        useful = ctx.triggered_id["part"] == "useful"
        try:
            squad.record_decision(ctx.triggered_id["key"], useful=useful)
        except KeelmarkError as error:
            return refusal(error)
        return "Noted as useful." if useful else "Noted as not useful."

    @app.callback(
        Output(ids.each(ids.SQUAD, "saved", MATCH), "children"),
        Input(ids.each(ids.SQUAD, "save", MATCH), "n_clicks"),
        State(ids.each(ids.SQUAD, "option", MATCH), "value"),
        State(ids.each(ids.SQUAD, "owner", MATCH), "value"),
        State(ids.each(ids.SQUAD, "view", MATCH), "value"),
        State(ids.each(ids.SQUAD, "review", MATCH), "value"),
        prevent_initial_call=True,
    )
    def _decide(pressed: int | None, option: str | None, owner: str, view: str, review: str | None) -> Any:
        if not pressed or not ctx.triggered_id:
            return no_update
        if not option:
            return remark("Choose what is decided first.", tone="refused")
        day = date.fromisoformat(review[:10]) if review else None
        try:
            squad.record_decision(
                ctx.triggered_id["key"],
                option=option,
                owner=owner.strip() or None,
                athlete_view=view.strip() or None,
                review_date=day,
            )
        except KeelmarkError as error:
            return refusal(error)
        looked_at = f" It is looked at again on {day_words(day)}." if day else ""
        return remark(f"Recorded: {option}.{looked_at}", tone="done")


TITLE = Region(ids.named(ids.SQUAD, "title"), ("week",), _title)
WEEK = Region(ids.named(ids.SQUAD, "week"), ("week", "group"), _week)
SEASON = Region(ids.named(ids.SQUAD, "season"), ("week", "group", "channel", "weeks", "show", "rows"), _season)
PAGE = Page("/", "Squad", layout, (TITLE, WEEK, SEASON), register, needs_records=True)
