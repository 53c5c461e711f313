"""Opposing pairs: a beam with the ratio that is there and the one that is meant, the same in words, and who is off."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark.plan import BALANCE_NOTE
from keelmark_dash import ids
from keelmark_dash.parts.markup import drawing, tag
from keelmark_dash.parts.table import table
from keelmark_dash.words import number

__all__ = ["plan_balance"]

FARTHEST = 3.0
_WIDTH, _HEIGHT = 180.0, 26.0


def plan_balance(pairs: Sequence[Any], worst: Sequence[str], *, meant: bool) -> list[Any]:
    """A row for each pair, buttons for pairs that lie off what is meant, and who is served worst.

    `meant` says whether the programmer means anything; otherwise people are held against the week as written.
    """
    rows = [
        [
            pair.label,
            drawing(_beam(pair), className="beam-box"),
            pair.words,
            f"{number(pair.amount_one, pair.unit)} to {number(pair.amount_other, pair.unit)}",
        ]
        for pair in pairs
    ]
    heads = [("Pair", "text"), ("Ratio", "text"), ("In words", "text"), ("Amounts", "text")]
    content: list[Any] = [table("Opposing pairs", heads, rows, hide_caption=True)]
    if worst:
        against = "what you mean" if meant else "the week as written"
        content.append(html.P([f"Farthest from {against}, on these days: ", html.Strong(", ".join(worst)), "."]))
    content += [_mend(pair, at) for at, pair in enumerate(pairs) if pair.distance]
    return [*content, html.P(BALANCE_NOTE, className="soft")]


def _mend(pair: Any, at: int) -> html.Div:
    return html.Div(
        [
            html.P([html.Strong(pair.label), f": {pair.words}, you mean {_meant(pair.intended_log2)}."]),
            dmc.Button(
                ["What could be changed?", html.Span(f" For {pair.label.lower()}", className="hidden")],
                id=ids.each(ids.PROGRAMME, "even", at),
                variant="default",
            ),
            html.Div(id=ids.each(ids.PROGRAMME, "evened", at), role="status"),
        ],
        className="clash may",
    )


def _beam(pair: Any) -> str:
    """A beam from eight to one of the second, left, to eight to one of the first, right."""
    parts = [tag("path", d=f"M4 {_HEIGHT / 2}H{_WIDTH - 4}", _class="rail")]
    said = f"{pair.label}: {pair.words}"
    if pair.intended_log2 is not None:
        parts.append(tag("path", d=f"M{_at(pair.intended_log2):.1f} 2V{_HEIGHT - 2}", _class="meant"))
        said += f"; meant {_meant(pair.intended_log2)}"
    if pair.log2 is not None:
        parts.append(tag("circle", cx=f"{_at(pair.log2):.1f}", cy=f"{_HEIGHT / 2}", r="6", _class="there"))
    elif pair.words.startswith("only"):
        parts.append(tag("path", d=_arrow(pair.amount_one > 0), _class="only"))
    box = f"0 0 {_WIDTH:.0f} {_HEIGHT:.0f}"
    return tag("svg", "".join(parts), viewBox=box, _class="beam", role="img", aria_label=said)


def _at(log2: float) -> float:
    share = (max(-FARTHEST, min(FARTHEST, log2)) + FARTHEST) / (2 * FARTHEST)
    return 10 + share * (_WIDTH - 20)


def _arrow(right: bool) -> str:
    tip, back = (_WIDTH - 4, _WIDTH - 16) if right else (4.0, 16.0)
    return f"M{back} {_HEIGHT / 2 - 7}L{tip} {_HEIGHT / 2}L{back} {_HEIGHT / 2 + 7}Z"


def _meant(log2: float) -> str:
    if math.isclose(log2, 0.0):
        return "as much of each"
    return f"{2**log2:.3g} to one" if log2 > 0 else f"one to {2**-log2:.3g}"
