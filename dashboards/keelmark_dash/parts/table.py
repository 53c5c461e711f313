"""Plain tables for reading: a caption, heads with a scope, figures lined up on the right."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dash import html

__all__ = ["Head", "table"]

Head = tuple[str, str]
"""Text of a column's head, and how its cells look: `text`, `figure` or `words` (may be long)."""


def table(
    caption: str, heads: Sequence[Head], rows: Sequence[Sequence[Any]], *, hide_caption: bool = False
) -> html.Div:
    """A table whose first cell in each row names the row; it scrolls by itself where the screen is narrow."""
    head = html.Tr([html.Th(text, scope="col", className=kind) for text, kind in heads])
    body = [_row(row, heads) for row in rows]
    inside = html.Table(
        [html.Caption(caption, className="hidden" if hide_caption else ""), html.Thead(head), html.Tbody(body)],
        className="plain",
    )
    return html.Div(inside, className="table-scroll", tabIndex=0, role="region", **{"aria-label": caption})


def _row(cells: Sequence[Any], heads: Sequence[Head]) -> html.Tr:
    first, *rest = cells
    return html.Tr(
        [
            html.Th(first, scope="row", className=heads[0][1]),
            *(html.Td(cell, className=kind) for cell, (_, kind) in zip(rest, heads[1:], strict=True)),
        ]
    )
