"""What a week's figures take for granted, each open clock with a field for the rounds that the programmer expects."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark_dash import ids
from keelmark_dash.programme_words import ASSUMED_NOTE

__all__ = ["plan_assumed"]


def plan_assumed(found: Sequence[Any]) -> list[Any]:
    """A line for each amount that the text leaves open; nothing where it leaves none."""
    if not found:
        return []
    items = [
        html.Li(
            [html.Span(f"{one.words}."), _field(one) if one.what == "rounds" else None],
            className="assumed typed" if one.typed else "assumed",
        )
        for one in found
    ]
    return [
        html.H3("Taken for granted"),
        html.P(ASSUMED_NOTE, className="soft"),
        html.Ul(items, className="assumed-list"),
    ]


def _field(one: Any) -> dmc.NumberInput:
    return dmc.NumberInput(
        id=ids.each(ids.PROGRAMME, "rounds", f"{one.session}/{one.part}"),
        label=f"Rounds to expect, {one.place}",
        value=one.amount.value if one.typed else "",
        placeholder=f"{one.amount.value:.1f}",
        min=0,
        max=500,
        debounce=True,
        hideControls=True,
        className="rounds-field",
    )
