"""What stands around every page: skip link, header with the pages and the two care cards, footer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from keelmark.contracts.words import SCOPE_LINE
from keelmark_dash import ids
from keelmark_dash.access_words import NO_ACCOUNTS, SERVED
from keelmark_dash.address import Address
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.hull import definitions
from keelmark_dash.parts.link import link
from keelmark_dash.parts.markup import drawing
from keelmark_dash.theme import component_theme

__all__ = ["BRAND_MARK", "navigation", "shell"]

BRAND_MARK = (
    '<svg viewBox="0 0 28 30" class="brand-mark" aria-hidden="true" focusable="false">'
    '<path class="brand-hull" d="M3 3V11C3 19 8.500 24 14 29C19.500 24 25 19 25 11V3"/>'
    '<path class="brand-water" d="M3.600 14H24.400C23.200 20 18.600 24.300 14 29C9.400 24.300 4.800 20 3.600 14Z"/>'
    '<path class="brand-ticks" d="M0 8H5M0 14H5M23 8H28M23 14H28"/></svg>'
)


def shell(
    pages: Sequence[tuple[str, str]], *, home: str = "/", signed_in: tuple[str, str] | None = None
) -> dmc.MantineProvider:
    """The frame that stays while pages change.

    Parameters
    ----------
    pages : sequence of (path, title)
        Entries of the header.
    home : str
        Where the brand leads.
    signed_in : (name, token), optional
        Who has signed in, and the token of the form that signs out; None while there are no accounts.
    """
    return dmc.MantineProvider(
        [
            dcc.Location(id=ids.ADDRESS, refresh="callback-nav"),
            dcc.Store(id=ids.SHOWN),
            dcc.Store(id=ids.SHADE),
            dcc.Store(id=ids.WRITTEN),
            drawing(definitions(), className="definitions"),
            html.A("Skip to the page", href="#main", className="skip"),
            html.Header(
                [
                    link([drawing(BRAND_MARK, className="brand-box"), html.Span("keelmark")], home, className="brand"),
                    html.Nav(navigation(pages, "", Address()), id=ids.MENU, className="pages", **aria(label="Pages")),
                    html.Div([_care_links(), _scheme_switch()], className="aside"),
                ],
                className="top",
            ),
            html.Main(
                [
                    html.Div(id=ids.SAID),
                    html.Div(html.Div(_waiting(), role="status"), id=ids.PAGE),
                ],
                id=ids.MAIN,
                tabIndex=-1,
            ),
            html.Footer([_who(signed_in), html.P(SCOPE_LINE), html.P(SERVED)]),
        ],
        theme=component_theme(),
        defaultColorScheme="auto",
    )


def _waiting() -> html.P:
    """What stands for the heading while the first page is on its way."""
    return html.P("Reading the season …", role="heading", className="soft", **{"aria-level": "1"})


def _who(signed_in: tuple[str, str] | None) -> html.Div:
    if signed_in is None:
        return html.Div([NO_ACCOUNTS, html.A("Open the first", href="/accounts")], className="who")
    name, token = signed_in
    out = html.Form(
        [
            dcc.Input(type="hidden", name="csrf_token", value=token),
            html.Button("Sign out", className="plain-button quiet"),
        ],
        action="/sign-out",
        method="POST",
    )
    return html.Div([html.Span(["Signed in as ", html.Strong(name)]), html.A("Account", href="/account"), out],
                    className="who")  # fmt: skip


def navigation(pages: Sequence[tuple[str, str]], current: str, asked: Address) -> list[Any]:
    """Links to the pages that keep week, kind of work, group and athlete; the current one says so."""
    kept = asked.search("week", "channel", "group", "athlete")
    return [
        link(title, path + kept, className="page-link", **({"aria-current": "page"} if path == current else {}))
        for path, title in pages
    ]


def _care_links() -> html.Nav:
    links = [
        link("Get medical help now", "/care?show=now", className="care-link now"),
        link("Get it checked soon", "/care?show=soon", className="care-link"),
    ]
    return html.Nav(links, className="care-links", **aria(label="Care cards"))


def _scheme_switch() -> dmc.ColorSchemeToggle:
    return dmc.ColorSchemeToggle(
        id=ids.SCHEME,
        lightIcon="Night",
        darkIcon="Day",
        variant="default",
        size="lg",
        className="scheme",
        **aria(label="Night and day colours"),
    )
