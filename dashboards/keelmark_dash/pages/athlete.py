"""Athlete: one number with its unit and interval, the athlete's own marks, what made it, and the rows behind it."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import Dash, Input, Output, dcc, html, no_update

from keelmark.contracts.channels import Channel
from keelmark.contracts.display import shown_unit
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.desk import Desk
from keelmark_dash.effort_words import as_written, done, movement
from keelmark_dash.figures.weeks import weeks_chart
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.parts.agreed import agreed_panel, register_agreed
from keelmark_dash.parts.amount_panel import amount_panel
from keelmark_dash.parts.beside_mark import beside_mark, register_beside_mark
from keelmark_dash.parts.controls import athlete_control, channel_control, controls, week_control
from keelmark_dash.parts.drill import drill
from keelmark_dash.parts.link import link
from keelmark_dash.parts.mechanics_week import mechanics_panels, register_mechanics
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.place import place
from keelmark_dash.parts.ratios import ratio_table
from keelmark_dash.parts.return_plan import register_return_plan, return_panel
from keelmark_dash.parts.rights import register_rights, rights_panel
from keelmark_dash.parts.scope import scope_line
from keelmark_dash.parts.table import table
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.parts.who_sees import who_sees
from keelmark_dash.readings import athlete_weeks, people, week_row, weeks_around
from keelmark_dash.sheets import athlete_sheet
from keelmark_dash.week_words import week_words
from keelmark_dash.words import amount, channel_of, count, day_words, week_dates, week_title

__all__ = ["PAGE"]

CHART = ids.named(ids.ATHLETE, "chart")
_NO_WEEKS = "No week of this work is on record yet. Once there are some, each stands here beside the usual range."
_CHART_WORDS = (
    "Bars are weeks, grey where too few days are known for a figure; the band is the athlete's own usual range, thin "
    "lines are what is not certain."
)


def layout(here: Visit) -> list[Any]:
    """One athlete's week of one kind of work, and the way back to the rows."""
    address, season = here.address, here.season
    return [
        TITLE.place(here),
        controls(
            athlete_control(address, people(season).select("athlete_id", "name").rows()),
            week_control(address, season.weeks),
            channel_control(address, season.channels),
        ),
        BODY.place(here),
    ]


def _name(here: Visit) -> str:
    names = dict(people(here.season).select("athlete_id", "name").rows())
    return str(names.get(here.address.athlete, ""))


def _papers(here: Visit) -> list[Any]:
    if not here.may("athlete_brief"):
        return []
    search = here.address.search("week", "athlete")
    links: list[Any] = [link("The week on one page", f"/brief{search}")]
    if here.may("hand_over"):
        links += [", or ", link("a page for a physiotherapist or doctor", f"/hand-over{search}")]
    return [html.P([*links, "."])]


def _title(here: Visit) -> list[Any]:
    week = f"{week_title(here.address.week)}, {week_dates(here.address.week)}"
    return [html.H1([f"{_name(here)} ", html.Span(week, className="when")])]


def _body(here: Visit) -> list[Any]:
    address, season = here.address, here.season
    channel = channel_of(address.channel)
    weeks = athlete_weeks(season, address.athlete, address.channel)
    row = week_row(weeks, address.week)
    rows = season.rows_behind(address.athlete, address.week, address.channel)
    return [
        html.Div(
            [
                html.Div(
                    [
                        amount_panel(row, weeks, channel),
                        _contributors(rows, channel),
                        *beside_mark(here),
                    ],
                    className="athlete-first",
                ),
                _weeks(weeks, channel, address),
            ],
            className="athlete-columns",
        ),
        *return_panel(here),
        *mechanics_panels(here),
        drill(rows, channel, address, row),
        html.Div([_ratios(row), _not_said()], className="two-columns"),
        *who_sees(here),
        *agreed_panel(here, _name(here)),
        *_papers(here),
        *rights_panel(here, _name(here)),
    ]


def register(app: Dash, desk: Desk) -> None:
    """The chart follows the day and night colours; a plan after a gap can be settled."""
    register_beside_mark(app, desk)
    register_return_plan(app, desk)
    register_mechanics(app, desk)
    register_rights(app, desk)
    register_agreed(app, desk)

    @app.callback(
        Output(CHART, "figure"),
        Input(ids.SHADE, "data"),
        Input(ids.named(ids.ATHLETE, "shown"), "data"),
    )
    def _draw(shade: str | None, shown: dict[str, str]) -> Any:
        if shade is None:
            return no_update
        weeks = athlete_weeks(desk.season(), shown["athlete"], shown["channel"])
        window = weeks_around(weeks, shown["week"])
        return weeks_chart(
            window, channel_of(shown["channel"]), shown["week"], scheme="dark" if shade == "dark" else "light"
        )


def _contributors(rows: pl.DataFrame, channel: Channel) -> html.Section:
    """The largest parts by day and movement, as in a notice."""
    known = rows.filter(pl.col("contribution").is_not_null())
    parts = known.partition_by("date", "movement", maintain_order=True)
    largest = sorted(parts, key=lambda part: float(part["contribution"].sum()), reverse=True)[:3]
    items = [_part(part, channel) for part in largest]
    inside = html.Ol(items) if items else html.P("No row of this week adds to this figure.")
    return panel(ids.named(ids.ATHLETE, "made"), "What made it", inside)


def _part(rows: pl.DataFrame, channel: Channel) -> html.Li:
    first = rows.row(0, named=True)
    quoted = first["source"] == "score"
    told = dict.fromkeys(as_written(row) if quoted else done(row) for row in rows.iter_rows(named=True))
    what = [html.Q(text) for text in told] if quoted else [f"{movement(first)}, {' and '.join(told)}"]
    value, low, high = (_sum(rows[f"contribution{end}"]) for end in ("", "_low", "_high"))
    added = amount(value, channel.unit, low, high)
    return html.Li([html.Strong(what), html.Span(f" {day_words(first['date'])}: {added}", className="soft")])


def _sum(amounts: pl.Series) -> float | None:
    """The sum; None where one of them is open."""
    return None if amounts.null_count() else float(amounts.sum())


def _weeks(weeks: pl.DataFrame, channel: Channel, address: Address) -> html.Section:
    if weeks.is_empty():
        return panel(ids.named(ids.ATHLETE, "weeks"), "Week by week", html.P(_NO_WEEKS))
    window = weeks_around(weeks, address.week)
    shown = {"athlete": address.athlete, "channel": address.channel, "week": address.week}
    heads = [
        ("Week", "text"),
        (shown_unit(channel.unit), "figure"),
        ("Usual range", "figure"),
        ("Place", "text"),
        ("Days known", "figure"),
    ]
    body = [
        [
            week_title(row["week"]),
            (told := week_words(row, channel)).figure,
            told.usual,
            place(row["place"]),
            str(row["known_days"]),
        ]
        for row in reversed(window.rows(named=True))
    ]
    chart: dict[str, Any] = {"role": "img", "aria-label": f"{channel.label}, {count(window.height, 'week')}, as bars"}
    return panel(
        ids.named(ids.ATHLETE, "weeks"),
        "Week by week",
        dcc.Store(id=ids.named(ids.ATHLETE, "shown"), data=shown),
        html.Div(
            dcc.Graph(id=CHART, config={"displayModeBar": False, "responsive": True}, className="chart"),
            className="chart",
            **chart,
        ),
        html.P(_CHART_WORDS, className="soft"),
        html.Details([html.Summary("The same as a table"), table(f"{channel.label} by week", heads, body)]),
        take_away(ids.ATHLETE, "weeks", chart=CHART),
    )


def _ratios(row: dict[str, Any] | None) -> html.Section:
    inside = [ratio_table(row), take_away(ids.ATHLETE, "ratios")] if row else [html.P("Nothing to compare.")]
    return panel(ids.named(ids.ATHLETE, "change"), "How it changed", *inside)


def _not_said() -> html.Section:
    lines = (
        "Work outside the log is not in it: a shift, a move of house, a long day on your feet.",
        "It does not know how you slept, how you felt, or how well you moved.",
        "Above the usual range means more than you mostly do. It does not mean too much.",
        "Within the usual range does not mean that all is well.",
    )
    items = html.Ul([html.Li(line) for line in lines])
    return panel(ids.named(ids.ATHLETE, "not-said"), "What this does not say", items, scope_line())


TITLE = Region(ids.named(ids.ATHLETE, "title"), ("athlete", "week"), _title)
BODY = Region(ids.named(ids.ATHLETE, "body"), ("athlete", "week", "channel"), _body)
PAGE = Page("/athlete", "Athlete", layout, (TITLE, BODY), register, needs_records=True, sheets=athlete_sheet)
