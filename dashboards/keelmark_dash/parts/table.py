"""Plain tables for reading: a caption, heads with a scope, figures lined up on the right."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dash import html

from keelmark_dash.parts.aria import aria

__all__ = ["Head", "table"]

Head = tuple[str, str]
"""Text of a column's head, and how its cells look: `text`, `figure` or `words` (may be long)."""


def table(
    caption: str,
    heads: Sequence[Head],
    rows: Sequence[Sequence[Any]],
    *,
    hide_caption: bool = False,
    stack: bool = False,
) -> html.Div:
    """A table whose first cell in each row names the row.

    On a narrow screen it scrolls by itself, or with `stack` each row becomes a small card of its own.
    """
    head = html.Tr(
        [html.Th(text, scope="col", className=kind, role="columnheader") for text, kind in heads], role="row"
    )
    body = [_row(row, heads) for row in rows]
    inside = html.Table(
        [
            html.Caption(caption, className="hidden" if hide_caption else ""),
            html.Thead(head, role="rowgroup"),
            html.Tbody(body, role="rowgroup"),
        ],
        className="plain stack" if stack else "plain",
        role="table",
    )
    return html.Div(inside, className="table-scroll", tabIndex=0, role="region", **aria(label=caption))


def _row(cells: Sequence[Any], heads: Sequence[Head]) -> html.Tr:
    first, *rest = cells
    named: list[Any] = [_cell(cell, kind, head) for cell, (head, kind) in zip(rest, heads[1:], strict=True)]
    return html.Tr([html.Th(first, scope="row", className=heads[0][1], role="rowheader"), *named], role="row")


def _cell(content: Any, kind: str, head: str) -> html.Td:
    named: dict[str, Any] = {"data-label": head}
    return html.Td(content, className=kind, role="cell", **named)
