"""Care cards: read, never scored."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.care_words import READ_ONLY, CareCard, cards
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.parts.panel import panel

__all__ = ["PAGE"]


def layout(here: Visit) -> list[Any]:
    """Both cards, the one that was asked for first."""
    return [html.H1("Care cards"), SHOWN.place(here)]


def _cards(here: Visit) -> list[Any]:
    shown = sorted(cards(here.squad.settings().get("country")), key=lambda card: card.key != here.asked.show)
    return [html.P(READ_ONLY), *(_card(card) for card in shown)]


def _card(card: CareCard) -> html.Section:
    return panel(
        f"care-{card.key}",
        card.title,
        html.P(card.opening),
        html.Ul([html.Li(line) for line in card.signs]),
        html.H3(card.what_to_do_title),
        html.Ul([html.Li(line) for line in card.what_to_do]),
        html.P(card.closing, className="scope"),
        className=f"panel care {card.key}",
    )


SHOWN = Region("care-cards", ("show",), _cards)
PAGE = Page("/care", "Care cards", layout, (SHOWN,), in_menu=False)
