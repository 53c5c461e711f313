"""What the squad's weeks say about work and complaints together: intervals around 1, and the same in words."""

from __future__ import annotations

from math import log2
from typing import Any

from dash import html

from keelmark.health import Association, LagRatio
from keelmark.health.words import NEVER_ONE_PERSON, USUAL_STEP, ahead, asked_words, lag_words, ratio_words
from keelmark_dash.parts.markup import drawing, tag
from keelmark_dash.parts.scope import scope_line
from keelmark_dash.words import count

__all__ = ["squad_question"]

_REACH = 2.0
"""Doublings to either side that the drawing shows."""


def squad_question(asked: list[Association]) -> html.Section:
    """The five fixed questions with their answers, or why there are none."""
    title = "check-ins-squad-title"
    return html.Section(
        [
            html.H2("Work and complaints in this squad", id=title),
            html.P("Were new complaints told more often after weeks with more work? Five things are asked, always the "
                   "same five, one to three weeks later."),
            html.Ul([_question(one) for one in asked if one.withheld is None], className="asked"),
            *_withheld([one for one in asked if one.withheld is not None]),
            html.P(
                [USUAL_STEP, " The figures are drawn towards 1, the more so the less is known, and a straight line is "
                 "assumed. Nothing is shown below 30 new complaints, 15 athletes, and 8 athletes with a complaint."],
                className="soft",
            ),
            html.P(html.Strong(NEVER_ONE_PERSON)),
            scope_line(),
        ],
        className="panel",
        **{"aria-labelledby": title},
    )  # fmt: skip


def _question(one: Association) -> html.Li:
    counted = (
        f"{count(one.complaints, 'new complaint')} in {count(one.weeks, 'week')} of {count(one.athletes, 'athlete')}; "
        f"{count(one.left_out, 'more week')} left out, because the work before is not known well enough"
    )
    rows = [
        html.Li(
            [
                html.Span(lag_words(ratio.lag).capitalize(), className="lag"),
                drawing(_interval(ratio), className="interval"),
                html.Span(ratio_words(ratio), className="ratio"),
            ]
        )
        for ratio in one.ratios
    ]
    return html.Li(
        [
            html.H3(ahead(one)),
            html.P(asked_words(one)),
            html.Ul([_scale(), *rows], className="lags"),
            html.P(counted + ".", className="soft"),
        ]
    )


def _withheld(asked: list[Association]) -> list[Any]:
    if not asked:
        return []
    items = [html.Li([html.Strong(ahead(one)), f": {one.withheld}."]) for one in asked]
    return [html.H3("Not shown yet"), html.Ul(items)]


def _scale() -> html.Li:
    """What the strokes of the drawings below it stand for."""
    drawn = '<text x="30" y="16">half</text><text x="60" y="16">1</text><text x="90" y="16">twice</text>'
    svg = tag("svg", drawn, viewBox="0 6 120 13", focusable="false", _class="interval-drawing")
    parts = [html.Span(), drawing(svg, className="interval"), html.Span()]
    return html.Li(parts, className="scale-row", **{"aria-hidden": "true"})


def _interval(ratio: LagRatio) -> str:
    """A dot with its interval on a scale of halves and doubles; the long stroke is 1, no connection."""
    low, middle, high = (_place(value) for value in (ratio.low, ratio.ratio, ratio.high))
    drawn = (
        '<path class="scale" d="M0 12H120M30 9V15M90 9V15"/><path class="none" d="M60 2V22"/>'
        f'<path class="reach" d="M{low:.1f} 12H{high:.1f}"/><circle cx="{middle:.1f}" cy="12" r="4.500"/>'
    )
    return tag("svg", drawn, viewBox="0 0 120 24", aria_hidden="true", focusable="false", _class="interval-drawing")


def _place(ratio: float) -> float:
    return 60.0 + 60.0 * max(-_REACH, min(_REACH, log2(ratio))) / _REACH
