"""Everybody's planned week against their own marks, and one person's week if something were otherwise."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import html

from keelmark_dash.parts.place import place
from keelmark_dash.parts.table import Head, table
from keelmark_dash.programme_words import ALONE, SQUAD_NOTE
from keelmark_dash.words import amount, number, unit_beside, usual_range

__all__ = ["plan_squad", "plan_what_if"]

NAMED = 3
NAMES = 8


def plan_squad(plan: Any, projection: pl.DataFrame) -> list[Any]:
    """How many would lie above a mark, surely or perhaps, beside the weeks before; by kind of work and by athlete."""
    if plan.season is None or not plan.persons or plan.marks.edges == {}:
        return [html.P(ALONE)]
    above = plan.above()
    content: list[Any] = [html.P(above.words)]
    if above.kinds:
        heads: list[Head] = [
            ("Kind of work", "text"), ("Surely above", "figure"), ("May be above", "figure"), ("Usually", "figure"),
            ("Who", "words"),
        ]  # fmt: skip
        rows = [
            [kind.label, str(len(kind.sure)), str(len(kind.perhaps)), _usual(kind.usual), _who(kind)]
            for kind in above.kinds
        ]
        content.append(table("Above own marks, by kind of work", heads, rows, stack=True))
        content.append(html.Details([html.Summary("Athlete by athlete"), _by_athlete(projection)]))
    return [*content, html.P(SQUAD_NOTE, className="soft")]


def _usual(usual: tuple[int, int] | None) -> str:
    if usual is None:
        return "not known"
    return f"{usual[0]} to {usual[1]}" if usual[0] < usual[1] else str(usual[0])


def _who(kind: Any) -> str:
    names = [*kind.sure, *(f"{name} (may be)" for name in kind.perhaps)]
    more = len(names) - NAMES
    return ", ".join(names[:NAMES]) + (f" and {more} more" if more > 0 else "")


def _by_athlete(projection: pl.DataFrame) -> html.Div:
    above = projection.filter(pl.col("past") != "not").with_columns(past_by=pl.col("value") / pl.col("upper"))
    order = (
        above.group_by("athlete_id", "name")
        .agg(sure=(pl.col("past") == "surely").sum(), perhaps=(pl.col("past") == "perhaps").sum())
        .sort("sure", "perhaps", "name", descending=[True, True, False])
    )
    heads: list[Head] = [
        ("Athlete", "text"), ("Surely above", "figure"), ("May be above", "figure"),
        ("Farthest past the mark", "words"),
    ]  # fmt: skip
    rows = []
    for key, name, sure, perhaps in order.iter_rows():
        own = above.filter(pl.col("athlete_id") == key).sort("past_by", descending=True).head(NAMED)
        told = [
            f"{row['label']} {amount(row['value'], row['unit'], row['low'], row['high'])} (mark "
            f"{number(row['upper'], row['unit'])})"
            for row in own.iter_rows(named=True)
        ]
        rows.append([name, str(sure), str(perhaps), "; ".join(told)])
    return table("Above own marks, by athlete", heads, rows, hide_caption=True, stack=True)


def plan_what_if(name: str, usual: pl.DataFrame, changed: pl.DataFrame) -> list[Any]:
    """One person's week on the usual days beside the week as it would be."""
    joined = usual.join(changed, on="channel", how="full", suffix="_if", coalesce=True, maintain_order="left_right")
    heads: list[Head] = [
        ("Kind of work", "text"), ("On usual days", "figure"), ("If so", "figure"), ("Own usual range", "text"),
        ("Where it would lie", "text"),
    ]  # fmt: skip
    rows = []
    for row in joined.iter_rows(named=True):
        label, unit = row["label"] or row["label_if"], row["unit"] or row["unit_if"]
        upper = row["upper"] if row["upper"] is not None else row["upper_if"]
        lower = row["lower"] if row["lower"] is not None else row["lower_if"]
        rows.append(
            [
                html.Span([label, html.Span(f" {unit_beside(label, unit)}", className="unit")]),
                _figure(row, "", unit),
                _figure(row, "_if", unit),
                usual_range(lower, upper, unit, name_unit=False),
                place(row["place_if"] or "not_known"),
            ]
        )
    return [table(f"{name}'s week", heads, rows, hide_caption=True, stack=True)]


def _figure(row: dict[str, Any], suffix: str, unit: str) -> str:
    """A figure on one side of the comparison; nothing where that side has none of this kind of work."""
    if row[f"label{suffix}"] is None:
        return "0"
    value = row[f"value{suffix}"]
    return "not known" if value is None else number(value, unit)
