"""Opposing pairs: a beam with the ratio that is there and the one that is meant, and the same in words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from dash import html

from keelmark.plan import BALANCE_NOTE
from keelmark_dash.parts.markup import drawing, tag
from keelmark_dash.parts.table import table
from keelmark_dash.words import number

__all__ = ["plan_balance"]

FARTHEST = 3.0
_WIDTH, _HEIGHT = 180.0, 26.0


def plan_balance(pairs: Sequence[Any], worst: Sequence[str]) -> list[Any]:
    """A row for each pair, and who is served worst."""
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
        content.append(html.P(["Farthest from what is meant: ", html.Strong(", ".join(worst)), "."]))
    return [*content, html.P(BALANCE_NOTE, className="soft")]


def _beam(pair: Any) -> str:
    """A beam from eight to one of the second, left, to eight to one of the first, right."""
    meant = _at(pair.intended_log2)
    parts = [
        tag("path", d=f"M4 {_HEIGHT / 2}H{_WIDTH - 4}", _class="rail"),
        tag("path", d=f"M{meant:.1f} 2V{_HEIGHT - 2}", _class="meant"),
    ]
    if pair.log2 is not None:
        parts.append(tag("circle", cx=f"{_at(pair.log2):.1f}", cy=f"{_HEIGHT / 2}", r="6", _class="there"))
    elif pair.distance is not None:
        parts.append(tag("path", d=_arrow(pair.distance > 0), _class="only"))
    return tag(
        "svg",
        "".join(parts),
        viewBox=f"0 0 {_WIDTH:.0f} {_HEIGHT:.0f}",
        _class="beam",
        role="img",
        aria_label=f"{pair.label}: {pair.words}; meant {_meant(pair.intended_log2)}",
    )


def _at(log2: float) -> float:
    share = (max(-FARTHEST, min(FARTHEST, log2)) + FARTHEST) / (2 * FARTHEST)
    return 10 + share * (_WIDTH - 20)


def _arrow(right: bool) -> str:
    tip, back = (_WIDTH - 4, _WIDTH - 16) if right else (4.0, 16.0)
    return f"M{back} {_HEIGHT / 2 - 7}L{tip} {_HEIGHT / 2}L{back} {_HEIGHT / 2 + 7}Z"


def _meant(log2: float) -> str:
    if math.isclose(log2, 0.0):
        return "one to one"
    return f"{2**log2:.3g} to one" if log2 > 0 else f"one to {2**-log2:.3g}"
