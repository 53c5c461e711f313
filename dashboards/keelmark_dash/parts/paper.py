"""A paper as it stands on a page, before it is printed: the same content as in the files."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark.report.document import Block, Heading, Items, Paper, Slip, Strip, Table, Text
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.markup import drawing, tag
from keelmark_dash.parts.table import table

__all__ = ["paper_view"]

_BAR, _GAP, _HEIGHT = 6, 2, 22


def paper_view(paper: Paper, name: str) -> html.Section:
    """A paper as a part of a page; `name` is the id of its heading."""
    inside = [_block(block) for block in paper.blocks]
    return html.Section(
        [
            html.H2(paper.title, id=name),
            html.P(paper.about, className="soft"),
            *inside,
            html.P(paper.foot, className="soft"),
        ],
        className="paper",
        **{"aria-labelledby": name},
    )


def _block(block: Block) -> Any:
    if isinstance(block, Heading):
        return html.H3(block.text)
    if isinstance(block, Text):
        return html.P(block.text, className="" if block.tone == "plain" else block.tone)
    if isinstance(block, Items):
        return html.Ul([html.Li(line) for line in block.lines])
    if isinstance(block, Table):
        heads = [(head.text, head.kind) for head in block.heads]
        rows = [[_strip(cell) if isinstance(cell, Strip) else cell for cell in row] for row in block.rows]
        return table(block.caption, heads, rows, stack=True)
    return _slip(block)


def _strip(strip: Strip) -> html.Div:
    bars = ""
    for number, share in enumerate(strip.heights):
        tall = 2.0 if share is None else max(1.0, share * _HEIGHT)
        kind = ' class="unknown"' if share is None else ""
        bars += (
            f'<rect x="{number * (_BAR + _GAP)}" y="{_HEIGHT - tall:.1f}" width="{_BAR}" height="{tall:.1f}"{kind}/>'
        )
    wide = len(strip.values) * (_BAR + _GAP)
    drawn = tag("svg", bars, width=wide, height=_HEIGHT, role="img", aria_label=strip.words)
    return drawing(drawn, className="paper-strip")


def _slip(slip: Slip) -> html.Div:
    lines = [
        html.Div([html.Span(line.label), *(html.Span(box, className="box") for box in line.boxes)], className="line")
        for line in slip.lines
    ]
    return html.Div(
        [html.P(html.Strong(slip.title)), html.P(slip.opening), *lines], className="slip", role="group",
        **aria(label=slip.title),
    )  # fmt: skip
