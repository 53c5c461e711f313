"""Everybody's planned week against their own marks, and one person's week if something were otherwise."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import html

from keelmark_dash.parts.place import place
from keelmark_dash.parts.table import Head, table
from keelmark_dash.programme_words import ALONE
from keelmark_dash.words import amount, count, number, unit_beside, usual_range

__all__ = ["plan_squad", "plan_what_if"]

NAMED = 3


def plan_squad(plan: Any, projection: pl.DataFrame) -> list[Any]:
    """Who would lie above a mark, and by which kinds of work."""
    if plan.season is None or not plan.persons or plan.marks.edges == {}:
        return [html.P(ALONE)]
    above = projection.filter(pl.col("place") == "above").with_columns(past=pl.col("value") / pl.col("upper"))
    names = above["athlete_id"].n_unique()
    said = f"{count(names, 'athlete')} of {len(plan.persons)} would lie above an own mark, on their usual days."
    if above.is_empty():
        return [html.P("Nobody would lie above an own mark, on their usual days.")]
    order = (
        above.group_by("athlete_id", "name")
        .agg(kinds=pl.len(), most=pl.col("past").max())
        .sort("kinds", "most", descending=True)
    )
    heads: list[Head] = [("Athlete", "text"), ("Kinds of work above", "figure"), ("Farthest past the mark", "words")]
    rows = []
    for key, name, kinds, _ in order.iter_rows():
        own = above.filter(pl.col("athlete_id") == key).sort("past", descending=True).head(NAMED)
        told = [
            f"{row['label']} {amount(row['value'], row['unit'])} (mark {number(row['upper'], row['unit'])})"
            for row in own.iter_rows(named=True)
        ]
        rows.append([name, str(kinds), "; ".join(told)])
    return [html.P(said), table("Above their own marks", heads, rows, hide_caption=True)]


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
                _figure(row["value"], unit),
                _figure(row["value_if"], unit),
                usual_range(lower, upper, unit, name_unit=False),
                place(row["place_if"] or "not_known"),
            ]
        )
    return [table(f"{name}'s week", heads, rows, hide_caption=True)]


def _figure(value: float | None, unit: str) -> str:
    return "not known" if value is None else number(value, unit)
