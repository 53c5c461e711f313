"""Clashes of a week in words, and single changes that take one away."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark_dash import ids
from keelmark_dash.programme_words import CLASHES_NOTE

__all__ = ["plan_clashes", "plan_repairs"]

EFFECTS_SHOWN = 4


def plan_clashes(found: Sequence[Any]) -> list[Any]:
    """A list of clashes, each with a button that looks for changes."""
    if not found:
        return [html.P("None found."), html.P(CLASHES_NOTE, className="soft")]
    items = [
        html.Li(
            [
                html.H3(clash.headline),
                html.P(clash.reason),
                dmc.Button("What could be changed?", id=ids.each(ids.PROGRAMME, "mend", at), variant="default"),
                html.Div(id=ids.each(ids.PROGRAMME, "repairs", at), role="status"),
            ],
            className="clash may" if clash.opposing else "clash",
        )
        for at, clash in enumerate(found)
    ]
    return [html.Ul(items, className="clashes"), html.P(CLASHES_NOTE, className="soft")]


def plan_repairs(found: Sequence[Any], clash: int) -> list[Any]:
    """Changes that take a clash away, each with its effect and a button that makes it."""
    if not found:
        return [html.P("No single change takes it away without bringing another clash.")]
    return [
        html.Ul(
            [html.Li(_repair(repair, f"{clash}-{at}")) for at, repair in enumerate(found)],
            className="repairs",
        )
    ]


def _repair(repair: Any, key: str) -> list[Any]:
    said = repair.effect_words
    more = f"; {len(said) - EFFECTS_SHOWN} more" if len(said) > EFFECTS_SHOWN else ""
    effect = "; ".join(said[:EFFECTS_SHOWN]) + more if said else "No amount changes, only when the work is done"
    return [
        html.Div([html.Strong(repair.words), html.Span(f" {effect}. Distance from what was meant: {repair.cost:.2f}")]),
        dmc.Button("Make this change", id=ids.each(ids.PROGRAMME, "apply", key), variant="subtle"),
    ]
