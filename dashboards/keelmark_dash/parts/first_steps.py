"""What a new squad sees: the way to its first figures in three steps."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.parts.link import link

__all__ = ["first_steps"]


def first_steps() -> list[Any]:
    """A page for a squad that has no records yet."""
    steps: tuple[list[Any], ...] = (
        [
            link("Open the Log page", "/log"),
            " and say who is in the squad: drop a list of people, or add the first by name.",
        ],
        [
            "There, bring a training log you already keep, or type today's whiteboard. You see what each row would "
            "become before anything is stored. Rows that cannot be read are set aside with the reason; none is lost."
        ],
        ["Store the good rows, and come back here. Usual ranges appear once an athlete has a few weeks on record."],
    )
    return [
        html.H1("First steps"),
        html.P("This squad has no records yet. Three steps lead to its first week:"),
        html.Ol([html.Li(step) for step in steps], className="steps"),
        html.P("To look around first, run the demo: a lifeboat crew with forty weeks of training.", className="soft"),
    ]
