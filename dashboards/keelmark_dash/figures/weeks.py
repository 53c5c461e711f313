"""One athlete's weeks as bars, in front of the band between the athlete's own two marks."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import plotly.graph_objects as go
import polars as pl

from keelmark.contracts.channels import Channel
from keelmark.contracts.display import shown_unit, shown_value
from keelmark.contracts.words import PLACE_WORDS
from keelmark_dash.theme import PALETTES, Scheme, chart_template
from keelmark_dash.week_words import week_words
from keelmark_dash.words import week_dates, week_title

__all__ = ["weeks_chart"]

_SYMBOLS = {
    "below": "triangle-down-open",
    "within": "circle",
    "above": "triangle-up",
    "well_above": "star-triangle-up",
    "not_known": "circle-open-dot",
}
_COLOURS = {"below": "below", "within": "sea", "above": "above", "well_above": "above", "not_known": "unknown"}


def weeks_chart(weeks: pl.DataFrame, channel: Channel, chosen: str, *, scheme: Scheme, height: int = 300) -> go.Figure:
    """The weeks of one athlete and channel.

    Parameters
    ----------
    weeks : DataFrame
        Columns week, monday, value, on_record, low, high, lower, upper, place; one row per week in order.
    channel : Channel
        Gives name and unit.
    chosen : str
        The week that is marked with a line.
    scheme : str
        light or dark.
    height : int
        In pixels.

    Returns
    -------
    Figure
        Bars in one hue, grey where too few days are known for a figure, a sign above each bar for its place, a band for
        the usual range, rings where no day is known.
    """
    palette = PALETTES[scheme]
    figure = go.Figure()
    figure.add_traces(_band(weeks, palette))
    figure.add_trace(_bars(weeks, channel, chosen, palette))
    figure.add_trace(_signs(weeks, palette))
    figure.add_trace(_unknown(weeks, palette))
    figure.update_layout(template=chart_template(scheme), height=height, bargap=0.25, barmode="overlay", dragmode=False)
    figure.update_xaxes(tickformat="%-d %b", hoverformat="%-d %b %Y")
    figure.update_yaxes(title_text=shown_unit(channel.unit), rangemode="tozero")
    _in_shown_unit(figure, channel.unit)
    return figure


def _in_shown_unit(figure: go.Figure, unit: str) -> None:
    """Heights are drawn in the unit that the squad reads; words beside them are in it already."""
    if shown_unit(unit) == unit:
        return
    for trace in figure.data:
        trace.y = [shown_value(value, unit) for value in trace.y]
        if trace.type == "bar":
            for end in ("array", "arrayminus"):
                trace.error_y[end] = [shown_value(value, unit) for value in trace.error_y[end]]


def _middle(mondays: list[date]) -> list[date]:
    return [monday + timedelta(days=3) for monday in mondays]


def _band(weeks: pl.DataFrame, palette: dict[str, str]) -> list[go.Scatter]:
    known = weeks.filter(pl.col("upper").is_not_null())
    edges: list[tuple[date, float, float]] = []
    for monday, lower, upper in known.select("monday", "lower", "upper").iter_rows():
        edges += [(monday, lower or 0.0, upper), (monday + timedelta(days=7), lower or 0.0, upper)]
    line = {"color": palette["line-strong"], "width": 1}
    when = [edge[0] for edge in edges]
    return [
        go.Scatter(
            x=when,
            y=[edge[1] for edge in edges],
            mode="lines",
            line=line,
            hoverinfo="skip",
            name="lower mark",
            zorder=0,
        ),
        go.Scatter(
            x=when,
            y=[edge[2] for edge in edges],
            mode="lines",
            line=line,
            fill="tonexty",
            fillcolor=palette["sea-pale"],
            hoverinfo="skip",
            name="upper mark",
            zorder=0,
        ),
    ]


def _hover(row: dict[str, Any], channel: Channel) -> str:
    told = week_words(row, channel)
    lines = (
        f"{week_title(row['week'])}, {week_dates(row['week'])}",
        told.amount,
        f"{PLACE_WORDS[row['place']]} ({told.usual})",
        told.interval,
    )
    return "<br>".join(lines)


def _bars(weeks: pl.DataFrame, channel: Channel, chosen: str, palette: dict[str, str]) -> go.Bar:
    told = pl.coalesce("value", "on_record")
    known = weeks.filter(told.is_not_null())
    given, amounts = known["value"].is_not_null().to_list(), known.select(told).to_series().to_list()
    hover = [_hover(row, channel) for row in known.iter_rows(named=True)]
    ends = [known[name].to_list() for name in ("low", "high")]
    upward = [0 if high is None else high - amount for amount, high in zip(amounts, ends[1], strict=True)]
    downward = [0 if low is None else amount - low for amount, low in zip(amounts, ends[0], strict=True)]
    return go.Bar(
        x=_middle(known["monday"].to_list()),
        y=amounts,
        width=0.68 * 7 * 86_400_000,
        marker={
            "color": [palette["sea"] if whole else palette["unknown"] for whole in given],
            "line": {
                "color": palette["ink"],
                "width": [2 if week == chosen else 0 for week in known["week"].to_list()],
            },
        },
        error_y={
            "type": "data",
            "array": upward,
            "arrayminus": downward,
            "color": palette["ink-soft"],
            "thickness": 1,
            "width": 2,
        },
        customdata=known["week"].to_list(),
        hovertext=hover,
        hoverinfo="text",
        name=channel.label,
        zorder=1,
    )


def _signs(weeks: pl.DataFrame, palette: dict[str, str]) -> go.Scatter:
    known = weeks.filter(pl.col("value").is_not_null(), pl.col("place").is_in(["below", "above", "well_above"]))
    top = float(weeks["value"].max() or 0)  # type: ignore[arg-type]
    highs = [row["high"] or row["value"] for row in known.iter_rows(named=True)]
    return go.Scatter(
        x=_middle(known["monday"].to_list()),
        y=[high + 0.05 * top for high in highs],
        mode="markers",
        marker={
            "symbol": [_SYMBOLS[place] for place in known["place"].to_list()],
            "color": [palette[_COLOURS[place]] for place in known["place"].to_list()],
            "size": 10,
        },
        hoverinfo="skip",
        name="place",
        zorder=2,
    )


def _unknown(weeks: pl.DataFrame, palette: dict[str, str]) -> go.Scatter:
    missing = weeks.filter(pl.coalesce("value", "on_record").is_null())
    return go.Scatter(
        x=_middle(missing["monday"].to_list()),
        y=[0] * missing.height,
        mode="markers",
        marker={"symbol": "circle-open", "color": palette["unknown"], "size": 10},
        hovertext=[f"{week_title(week)}<br>not known: no day has a record" for week in missing["week"].to_list()],
        hoverinfo="text",
        name="not known",
        zorder=2,
    )
