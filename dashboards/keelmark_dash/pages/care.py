"""Care cards: read, never scored."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.address import Address
from keelmark_dash.care_words import CARDS, READ_ONLY, CareCard
from keelmark_dash.parts.link import link

__all__ = ["layout"]


def layout(address: Address) -> list[Any]:
    """Both cards, the one that was asked for first."""
    cards = sorted(CARDS, key=lambda card: card.key != address.show)
    others = [link(card.title, f"/care?show={card.key}") for card in cards[1:]]
    return [
        html.H1("Care cards"),
        html.P(READ_ONLY),
        *[_card(card) for card in cards],
        html.P(others, className="hidden"),
    ]


def _card(card: CareCard) -> html.Section:
    title = f"care-{card.key}-title"
    return html.Section(
        [
            html.H2(card.title, id=title),
            html.P(card.opening),
            html.Ul([html.Li(line) for line in card.signs]),
            html.H3(card.what_to_do_title),
            html.Ul([html.Li(line) for line in card.what_to_do]),
            html.P(card.closing, className="scope"),
        ],
        className=f"panel care {card.key}",
        id=f"care-{card.key}",
        **{"aria-labelledby": title},
    )
