"""Squad: coverage first, then a few notices, then the season as a strip of gauges."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import html

from keelmark_dash.address import ROWS_PER_PAGE, Address
from keelmark_dash.parts.controls import (
    channel_control,
    controls,
    group_control,
    show_control,
    week_control,
    weeks_control,
)
from keelmark_dash.parts.coverage import coverage_panel
from keelmark_dash.parts.link import link
from keelmark_dash.parts.markup import drawing
from keelmark_dash.parts.notice import notice_card
from keelmark_dash.parts.place import legend
from keelmark_dash.parts.scope import scope_line
from keelmark_dash.parts.strip import strip
from keelmark_dash.readings import channels, coverage, groups, strip_rows, weeks_up_to
from keelmark_dash.words import channel_of, count, week_dates, week_title

__all__ = ["layout"]


def layout(season: Any, address: Address) -> list[Any]:
    """The page of one week, kind of work and group."""
    week = f"{week_title(address.week)}, {week_dates(address.week)}"
    return [
        html.H1(["The squad ", html.Span(week, className="when")]),
        controls(week_control(address, season.weeks), group_control(address, groups(season))),
        coverage_panel(coverage(season, address.week, address.group), address),
        _notices(season, address),
        _strip(season, address),
    ]


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


def _strip(season: Any, address: Address) -> html.Section:
    weeks = weeks_up_to(season, address)
    rows, everybody = strip_rows(season, address, weeks)
    channel = channel_of(address.channel)
    return html.Section(
        [
            html.H2("The season", id="squad-season-title"),
            controls(channel_control(address, channels(season)), weeks_control(address), show_control(address)),
            html.P([html.Strong(channel.label), f": {channel.meaning}, in {channel.unit}. Each hull is as deep as that "
                    "athlete's own fullest week, so rows are not compared with each other."], className="soft"),
            drawing(strip(rows, weeks, channel, address), className="strip-box"),
            _more(address, everybody),
            legend(),
            scope_line(),
        ],
        **{"aria-labelledby": "squad-season-title"},
    )  # fmt: skip


def _more(address: Address, everybody: int) -> html.Nav | None:
    pages = -(-everybody // ROWS_PER_PAGE)
    if pages < 2:
        return None
    links = []
    for page in range(1, pages + 1):
        first, last = (page - 1) * ROWS_PER_PAGE + 1, min(page * ROWS_PER_PAGE, everybody)
        said = {"aria-current": "true"} if str(page) == address.rows else {}
        links.append(link(f"{first} to {last}", "/" + address.with_(rows=page).search(), **said))
    return html.Nav([html.Span(count(everybody, "athlete")), *links], className="row-pages",
                    **{"aria-label": "Rows of the strip"})  # fmt: skip


def register(app, service):
    pass
