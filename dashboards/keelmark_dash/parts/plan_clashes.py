"""Clashes of a week in words, and single changes that take one away or bring a balance nearer to what is meant."""

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
                dmc.Button(
                    ["What could be changed?", html.Span(f" {clash.headline}", className="hidden")],
                    id=ids.each(ids.PROGRAMME, "mend", at),
                    variant="default",
                ),
                html.Div(id=ids.each(ids.PROGRAMME, "repairs", at), role="status"),
            ],
            className="clash may" if clash.opposing else "clash",
        )
        for at, clash in enumerate(found)
    ]
    return [html.Ul(items, className="clashes"), html.P(CLASHES_NOTE, className="soft")]


def plan_repairs(found: Sequence[Any], key: str, nothing: str) -> list[Any]:
    """Changes, each with its effect, its size and a button that makes it.

    Parameters
    ----------
    found : sequence of Repair
        The changes.
    key : str
        `clash-0` or `pair-2`; the button of each change is named by it and the change's place.
    nothing : str
        What is said where there is none.
    """
    if not found:
        return [html.P(nothing)]
    items = [html.Li(_repair(repair, f"{key}-{at}")) for at, repair in enumerate(found)]
    return [html.Ul(items, className="repairs")]


def _repair(repair: Any, key: str) -> list[Any]:
    said = repair.effect_words
    if not said:
        effect: list[Any] = ["No amount changes, only when the work is done."]
    else:
        effect = [f"{'; '.join(said[:EFFECTS_SHOWN])}."]
        if said[EFFECTS_SHOWN:]:
            rest = html.Ul([html.Li(words) for words in said[EFFECTS_SHOWN:]])
            effect.append(html.Details([html.Summary(f"{len(said) - EFFECTS_SHOWN} more"), rest]))
    return [
        html.Div([html.Strong(f"{repair.words}: "), html.Span(f"{repair.cost_words}. "), *effect]),
        dmc.Button(
            ["Make this change", html.Span(f": {repair.words}", className="hidden")],
            id=ids.each(ids.PROGRAMME, "apply", key),
            variant="subtle",
        ),
    ]
