"""Words to send to those whose days are not on record, one message each, ready to be copied."""

from __future__ import annotations

import dash_mantine_components as dmc
from dash import MATCH, ClientsideFunction, Dash, Input, Output, State, dcc, html

from keelmark_dash import ids
from keelmark_dash.page import Visit
from keelmark_dash.papers_words import QUIET_NOTE

__all__ = ["quiet_messages", "register_quiet"]


def quiet_messages(here: Visit) -> list[html.Details]:
    """The messages of the chosen week and group, folded away; nothing where nobody is missing."""
    if not here.may("quiet_messages"):
        return []
    found = here.squad.quiet_messages(here.address.week, here.address.group)
    if not found:
        return []
    items = [
        html.Li(
            [
                html.P(message),
                dcc.Store(id=ids.each(ids.SQUAD, "message", key), data=message),
                dmc.Button(
                    "Copy", id=ids.each(ids.SQUAD, "copy", key), variant="default",
                    **{"aria-label": f"Copy the message to {name}"},
                ),
                html.Span(id=ids.each(ids.SQUAD, "copied", key), role="status"),
            ]
        )
        for key, name, _, message in found
    ]  # fmt: skip
    return [
        html.Details(
            [html.Summary(f"Words to send ({len(found)})"), html.P(QUIET_NOTE), html.Ul(items, className="messages")]
        )
    ]


def register_quiet(app: Dash) -> None:
    """A press puts the words on the clipboard, in the browser."""
    app.clientside_callback(
        ClientsideFunction("keelmark", "copy"),
        Output(ids.each(ids.SQUAD, "copied", MATCH), "children"),
        Input(ids.each(ids.SQUAD, "copy", MATCH), "n_clicks"),
        State(ids.each(ids.SQUAD, "message", MATCH), "data"),
        prevent_initial_call=True,
    )
