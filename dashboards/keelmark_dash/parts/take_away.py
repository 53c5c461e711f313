"""Taking away what a page shows: its table as CSV, what the columns mean, and its chart as a picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import dash_mantine_components as dmc
from dash import MATCH, ClientsideFunction, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import AccessError
from keelmark.report import Sheet
from keelmark_dash import ids
from keelmark_dash.access import PAGES as RULES
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page
from keelmark_dash.routing import visit

__all__ = ["register_take_away", "take_away"]

_TABLES = (("csv", "Table (CSV)"), ("schema", "What its columns mean (JSON)"))
_PICTURES = (("png", "Picture (PNG)"), ("svg", "Picture (SVG)"))


def take_away(page: str, key: str, *, chart: str | None = None, drawn: bool = False) -> html.Details:
    """The buttons beside a table or chart of a page.

    Parameters
    ----------
    page : str
        The page's name in `ids`.
    key : str
        Which of the page's sheets; the page's `sheets` function makes it when it is asked for.
    chart : str, optional
        Id of the chart that can be taken as a picture too.
    drawn : bool
        Whether there is a drawing that can be taken as a picture; the page's `pictures` function makes it.
    """
    buttons = [_button(page, part, key, words) for part, words in _TABLES]
    if chart is not None:
        buttons += [_button(page, part, key, words) for part, words in _PICTURES]
    if drawn:
        buttons += [_button(page, f"drawn-{part}", key, words) for part, words in _PICTURES]
    parts = [
        html.Div(buttons, className="take-away-buttons"),
        dcc.Download(id=ids.each(page, "take-file", key)),
        html.Div(id=ids.each(page, "take-said", key), role="status"),
        dcc.Store(id=ids.each(page, "take-chart", key), data=chart),
        dcc.Store(id=ids.each(page, "take-drawn", key)),
    ]
    return html.Details([html.Summary("Take it away"), *parts], className="take-away")


def _button(page: str, part: str, key: str, words: str) -> dmc.Button:
    return dmc.Button(words, id=ids.each(page, f"take-{part}", key), variant="default")


def register_take_away(app: Dash, desk: Desk, pages: Sequence[Page]) -> None:
    """Answer the buttons of every page; what comes is made anew, for the person who asks and the page's address."""
    named: Mapping[str, Page] = {page.path.strip("/") or ids.SQUAD: page for page in pages if page.sheets}

    @app.callback(
        Output(ids.each(MATCH, "take-file", MATCH), "data"),
        Input(ids.each(MATCH, "take-csv", MATCH), "n_clicks"),
        Input(ids.each(MATCH, "take-schema", MATCH), "n_clicks"),
        State(ids.ADDRESS, "search"),
        prevent_initial_call=True,
    )
    def _take(_csv: int | None, _schema: int | None, search: str | None) -> Any:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update
        page = _open(named, desk, str(ctx.triggered_id["page"]))
        if page.sheets is None:
            raise _shut()
        here, _ = visit(desk, search or "")
        sheet: Sheet = page.sheets(here, str(ctx.triggered_id["key"]))
        if ctx.triggered_id["part"] == "take-csv":
            return dcc.send_bytes(sheet.csv, f"{sheet.name}.csv")
        return dcc.send_bytes(sheet.schema_json, f"{sheet.name}.schema.json")

    @app.callback(
        Output(ids.each(MATCH, "take-drawn", MATCH), "data"),
        Input(ids.each(MATCH, "take-drawn-png", MATCH), "n_clicks"),
        Input(ids.each(MATCH, "take-drawn-svg", MATCH), "n_clicks"),
        State(ids.ADDRESS, "search"),
        prevent_initial_call=True,
    )
    def _draw(_png: int | None, _svg: int | None, search: str | None) -> Any:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update
        page = _open(named, desk, str(ctx.triggered_id["page"]))
        if page.pictures is None:
            raise _shut()
        here, _ = visit(desk, search or "")
        key, kind = str(ctx.triggered_id["key"]), str(ctx.triggered_id["part"])[-3:]
        return {"svg": page.pictures(here, key).svg(), "kind": kind, "name": f"{ctx.triggered_id['page']}-{key}"}

    app.clientside_callback(
        ClientsideFunction("keelmark", "drawn"),
        Output(ids.each(MATCH, "take-said", MATCH), "children", allow_duplicate=True),
        Input(ids.each(MATCH, "take-drawn", MATCH), "data"),
        prevent_initial_call=True,
    )
    app.clientside_callback(
        ClientsideFunction("keelmark", "picture"),
        Output(ids.each(MATCH, "take-said", MATCH), "children"),
        Input(ids.each(MATCH, "take-png", MATCH), "n_clicks"),
        Input(ids.each(MATCH, "take-svg", MATCH), "n_clicks"),
        State(ids.each(MATCH, "take-chart", MATCH), "data"),
        prevent_initial_call=True,
    )


def _open(named: Mapping[str, Page], desk: Desk, page: str) -> Page:
    """The page, for those who may see it."""
    found, person = named.get(page), desk.person
    if found is None or not RULES[found.path].admits(person.role, person.fields):
        raise _shut()
    return found


def _shut() -> AccessError:
    return AccessError(
        "this table or drawing: not open to you",
        where="access",
        wanted="an account that may see the page",
        remedy="ask the owner of this squad if you need it",
    )
