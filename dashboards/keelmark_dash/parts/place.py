"""Where a week lies against the athlete's own marks: a sign and words, always together."""

from __future__ import annotations

from dash import html

from keelmark.contracts.words import PLACE_WORDS
from keelmark_dash.parts.hull import place_sign
from keelmark_dash.parts.markup import drawing

__all__ = ["legend", "place"]


def place(key: str) -> html.Span:
    """Sign and words of one place."""
    return html.Span(
        [drawing(place_sign(key), className="sign-box"), html.Span(PLACE_WORDS[key])], className=f"place {key}"
    )


def legend() -> html.Ul:
    """All places, and what the hatching and the ticks of a gauge mean."""
    items = [html.Li(place(key)) for key in PLACE_WORDS]
    items += [
        html.Li("Two ticks at the sides: the athlete's own lower and upper mark"),
        html.Li("Hatching: not every day is fully known, so the amount may be larger"),
    ]
    return html.Ul(items, className="legend")
