"""Squad: coverage first, then a few notices, then the season as a strip of gauges."""

from __future__ import annotations

from datetime import date
from typing import Any

import polars as pl
from dash import MATCH, Dash, Input, Output, State, ctx, html, no_update

from keelmark.contracts.display import shown_unit
from keelmark.contracts.errors import KeelmarkError
from keelmark.service.ahead import meant_by_athlete, meant_weeks
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.figures.grid_picture import GridPicture
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
from keelmark_dash.parts.hull import definitions, gauge
from keelmark_dash.parts.link import link
from keelmark_dash.parts.markup import drawing
from keelmark_dash.parts.meant_week import meant_week
from keelmark_dash.parts.name_week import name_week, register_name_week
from keelmark_dash.parts.notice import notice_card, useful_words
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.place import legend
from keelmark_dash.parts.quiet import quiet_messages, register_quiet
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.row_pages import row_pages
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.still_stands import register_still_stands, still_stands
from keelmark_dash.parts.strip import strip, strip_cells
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.readings import (
    AthleteRow,
    coverage,
    last_decisions,
    people,
    strip_rows,
    week_labels,
    weeks_up_to,
)
from keelmark_dash.sheets import squad_sheet
from keelmark_dash.words import channel_of, day_words, week_dates, week_monday, week_title

__all__ = ["PAGE"]

OWN_DEPTH = "Each hull is as deep as that athlete's own fullest week, so rows are not compared with each other."


def layout(here: Visit) -> list[Any]:
    """Coverage, notices and the season of one week, group and kind of work."""
    address, season = here.address, here.season
    return [
        TITLE.place(here),
        controls(week_control(address, season.weeks), group_control(address, season.groups)),
        WEEK.place(here),
        panel(
            ids.named(ids.SQUAD, "strip"),
            "The season",
            controls(channel_control(address, season.channels), weeks_control(address), show_control(address)),
            SEASON.place(here),
            sheet=False,
        ),
    ]


def _title(here: Visit) -> list[Any]:
    week = f"{week_title(here.address.week)}, {week_dates(here.address.week)}"
    return [html.H1(["The squad ", html.Span(week, className="when")])]


def _week(here: Visit) -> list[Any]:
    address, season = here.address, here.season
    covered = coverage(season, address.week, address.group)
    more = [*quiet_messages(here), take_away(ids.SQUAD, "coverage")]
    return [
        coverage_panel(covered, address, *more),
        *_paper(here),
        _notices(here),
        *still_stands(here),
        *_meant(here),
        *name_week(here),
    ]


def _meant(here: Visit) -> list[html.Section]:
    if not here.may("ahead"):
        return []
    season, address = here.season, here.address
    monday = week_monday(address.week)
    planned = [week for week in here.squad.ahead.meant() if week.monday == monday]
    if not planned:
        return []
    members = people(season, address.group)["athlete_id"].to_list()
    weekly = season.weeks_of([monday]).filter(pl.col("athlete_id").is_in(members))
    each = meant_by_athlete(planned, weekly, season.athletes)
    return meant_week(meant_weeks(planned, weekly), week_labels(season, [address.week], address.group)[0], each)


def _paper(here: Visit) -> list[Any]:
    if not here.may("coach_brief"):
        return []
    paper = link("The week on one page, to print or save", f"/brief?week={here.address.week}&show=squad")
    return [html.P(paper)]


def _notices(here: Visit) -> html.Section:
    season, address = here.season, here.address
    found = season.notices.filter(pl.col("week") == address.week).sort("rank")
    if address.group:
        members = season.athletes.filter(pl.col("group") == address.group)["athlete_id"].to_list()
        found = found.filter(pl.col("athlete_id").is_in(members) | pl.col("athlete_id").is_null())
    first = found.filter(pl.col("within_budget"))
    rest = found.filter(~pl.col("within_budget"))
    decided, may_answer = last_decisions(here.squad), here.may("record_decision")

    def cards(rows: pl.DataFrame) -> html.Div:
        shown = [
            notice_card(row, address, decided.get(row["notice_id"], {}), may_answer=may_answer)
            for row in rows.iter_rows(named=True)
        ]
        return html.Div(shown, className="notices")

    parts: list[Any] = []
    if found.is_empty():
        label = week_labels(season, [address.week], address.group)[0]
        parts.append(html.P(f"No notice this week. {_named(label) if label else _BY_CHANCE} {_NO_ALL_CLEAR}"))
    if not found.is_empty() and not may_answer:
        parts.append(html.P("A coach answers notices and records decisions.", className="soft"))
    parts.append(cards(first))
    if rest.height:
        parts.append(html.Details([html.Summary(f"Show the rest ({rest.height})"), cards(rest)], className="rest"))
    if not found.is_empty():
        parts.append(take_away(ids.SQUAD, "notices"))
    return panel(ids.named(ids.SQUAD, "notices"), "What stands out", *parts, sheet=False)


_BY_CHANCE = "A few weeks of a squad lie above their marks by chance; the strip below shows them."
_NO_ALL_CLEAR = "No notice is not an all-clear: only logged training is looked at."


def _named(label: str) -> str:
    return f"The calendar calls it “{label}”, so other amounts were to be expected; the strip below shows them."


def _season(here: Visit) -> list[Any]:
    address, season = here.address, here.season
    weeks = weeks_up_to(season, address)
    channel = channel_of(address.channel)
    labels = week_labels(season, weeks, address.group)
    shown = ("strip", address.channel, address.group, address.rows, address.show, weeks[0], weeks[-1])
    rows, cells = season.once(shown, lambda: _strip_parts(here, weeks))
    return [
        html.P(
            [
                html.Strong(channel.label),
                f": {channel.meaning}, in {shown_unit(channel.unit)}.",
                "" if address.show == "numbers" else f" {OWN_DEPTH}",
            ],
            className="soft",
        ),
        drawing(strip(rows, weeks, labels, channel, address, cells), className="strip-box"),
        take_away(ids.SQUAD, "season", drawn=True),
        row_pages("/", address, people(season, address.group).height),
        legend(),
    ]


def _strip_parts(here: Visit, weeks: list[str]) -> tuple[list[AthleteRow], list[list[str]]]:
    rows = strip_rows(here.season, here.address, weeks)
    return rows, strip_cells(rows, weeks, channel_of(here.address.channel), here.address)


def _picture(here: Visit, _key: str) -> GridPicture:
    """The season strip as it stands on the page."""
    address = here.address
    channel, weeks = channel_of(address.channel), weeks_up_to(here.season, address)
    rows = strip_rows(here.season, address, weeks)
    return GridPicture(
        f"{channel.label} in {channel.unit}, {week_dates(weeks[0])} and the {len(weeks) - 1} weeks after it",
        OWN_DEPTH,
        [str(int(week.split("-W")[1])) for week in weeks],
        [(row.name, [gauge(shown) if shown else "" for shown in row.gauges]) for row in rows],
        definitions(),
    )


def register(app: Dash, desk: Desk) -> None:
    """Answers to notices, decisions, and names of weeks."""
    register_name_week(app, desk)
    register_quiet(app)
    register_still_stands(app, desk)

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
            desk.squad.record_decision(ctx.triggered_id["key"], useful=useful)
        except KeelmarkError as error:
            return refusal(error)
        return useful_words(useful)

    @app.callback(
        Output(ids.each(ids.SQUAD, "saved", MATCH), "children"),
        Input(ids.each(ids.SQUAD, "save", MATCH), "n_clicks"),
        State(ids.each(ids.SQUAD, "option", MATCH), "value"),
        State(ids.each(ids.SQUAD, "reason", MATCH), "value"),
        State(ids.each(ids.SQUAD, "owner", MATCH), "value"),
        State(ids.each(ids.SQUAD, "view", MATCH), "value"),
        State(ids.each(ids.SQUAD, "review", MATCH), "value"),
        prevent_initial_call=True,
    )
    def _decide(pressed: int | None, option: str | None, reason: str, owner: str, view: str, review: str | None) -> Any:
        if not pressed or not ctx.triggered_id:
            return no_update
        if not option:
            return remark("Choose what is decided first.", tone="refused")
        day = date.fromisoformat(review[:10]) if review else None
        try:
            desk.squad.record_decision(
                ctx.triggered_id["key"],
                option=option,
                reason=reason.strip() or None,
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
PAGE = Page(
    "/", "Squad", layout, (TITLE, WEEK, SEASON), register, needs_records=True, sheets=squad_sheet, pictures=_picture
)
