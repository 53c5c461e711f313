"""Who may see what an athlete says about their body, and who has looked."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash import ids
from keelmark_dash.access_words import MAY_READ, NO_ACCOUNTS, NOBODY_LOOKED, ONLY_YOU
from keelmark_dash.page import Visit
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.table import table

__all__ = ["who_sees"]

_LATEST = 30


def who_sees(here: Visit) -> list[Any]:
    """The panel for one athlete; nothing for those who may not read it themselves."""
    if not here.person.key:
        return [_panel(html.P(NO_ACCOUNTS))]
    if not here.may("looks"):
        return []
    readers = here.squad.readers(here.address.athlete)
    names = html.Ul([html.Li(f"{name}, {role}") for name, role in readers]) if readers else html.P(ONLY_YOU)
    return [_panel(html.P(MAY_READ), names, *_looks(here.squad.looks(here.address.athlete)))]


def _panel(*content: Any) -> html.Section:
    return panel(ids.named(ids.ATHLETE, "sees"), "Who may see what you say about your body", *content)


def _looks(looks: list[Any]) -> list[Any]:
    if not looks:
        return [html.P(NOBODY_LOOKED)]
    heads = [("Day", "text"), ("Who", "text"), ("As", "text"), ("At what", "words")]
    body = [[f"{one.day:%d %b %Y}", one.name, one.role, one.what] for one in looks[:_LATEST]]
    return [table("Who has looked, newest first; the same look counts once a day", heads, body)]
