"""The week as a table: kinds of work down, sessions across, shaded by each row's largest session."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.parts.table import Head, table
from keelmark_dash.words import number_within, span, unit_beside

__all__ = ["plan_matrix"]


def plan_matrix(plan: Any, athlete_id: str) -> html.Div:
    """Matrix of one reader's week; the last columns are the whole week on the reader's own days."""
    person = plan.person(athlete_id)
    sessions = plan.week.sessions
    cells = {(row["channel"], row["session"]): row for row in plan.matrix(athlete_id).iter_rows(named=True)}
    totals = {row["channel"]: row for row in plan.totals(athlete_id).iter_rows(named=True)}
    keys = dict.fromkeys(channel for channel, _ in cells)
    heads: list[Head] = [("Kind of work", "text"), *((_short(session.key), "figure") for session in sessions)]
    heads += [("Own days", "figure"), ("Bounds", "text")]
    rows = []
    for key in keys:
        own = [cells[key, session.key] for session in sessions]
        largest = max((row["value"] or 0.0 for row in own), default=0.0)
        label = own[0]["label"]
        name = [label, html.Span(f" {unit_beside(label, own[0]['unit'])}", className="unit")]
        rows.append([html.Span(name), *(_cell(row, largest) for row in own), *_week(totals.get(key))])
    return table(f"The week as {person.name} reads it", heads, rows)


def _short(key: str) -> str:
    day, _, second = key.partition("-")
    return day.capitalize() + (f" {second}" if second else "")


def _cell(row: dict[str, Any], largest: float) -> html.Span:
    if row["value"] is None:
        return html.Span("not known", className="amount unknown")
    share = row["value"] / largest if largest > 0 else 0.0
    figure = number_within(row["value"], row["low"], row["high"], row["unit"])
    said = f"{figure} or more" if row["unknown"] else ("" if row["value"] == 0 else figure)
    return html.Span(said, className="amount", style={"--share": f"{60 * share:.0f}%"})


def _week(row: dict[str, Any] | None) -> list[Any]:
    if row is None:
        return ["0", ""]
    value, low, high, unit = row["value"], row["low"], row["high"], row["unit"]
    figure = "not known" if value is None else number_within(value, low, high, unit)
    return [figure, "exact" if low == high else span(low if value is None else value, low, high, unit)]
