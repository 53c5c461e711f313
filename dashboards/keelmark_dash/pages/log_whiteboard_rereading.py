"""Stored whiteboards that read otherwise today: looked for when asked, read again with one press."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, Output, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.table import table
from keelmark_dash.parts.whiteboard_stored import work_words
from keelmark_dash.words import count, day_words, number

__all__ = ["register_rereading", "rereading_part"]

LOOK, FOUND, AGAIN = (ids.named(ids.LOG, part) for part in ("wb-look", "wb-found", "wb-again"))
_SHOWN = 40


def rereading_part(here: Visit) -> list[Any]:
    """A way to look whether stored whiteboards read otherwise today; nothing where no whiteboard stands."""
    changed = here.squad.whiteboards_may_have_changed()
    words = "People, maxima or movements came in after a whiteboard was stored. Its loads may be known better now. "
    return [
        html.Details(
            [
                html.Summary("Stored whiteboards as they read today"),
                html.P((words if changed else "") + "What is stored stays as it was read until you ask."),
                dmc.Button("Look what reads otherwise", id=LOOK, variant="default"),
                dcc.Loading(html.Div(id=FOUND, role="status"), type="dot", delay_show=600),
            ],
            open=changed,
            className="wb-rereading",
        )
    ]


def register_rereading(app: Dash, desk: Desk) -> None:
    """Look for sessions that read otherwise, and store today's reading in their place."""

    @app.callback(Output(FOUND, "children"), Input(LOOK, "n_clicks"), prevent_initial_call=True)
    def _look(pressed: int | None) -> Any:
        if not pressed:
            return no_update
        try:
            changed = desk.squad.changed_whiteboards()
        except KeelmarkError as error:
            return refusal(error)
        names = dict(desk.season().athletes.select("athlete_id", "name").iter_rows())
        return _changed(changed, names)

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(FOUND, "children", allow_duplicate=True),
        Input(AGAIN, "n_clicks"),
        prevent_initial_call=True,
    )
    def _again(pressed: int | None) -> Any:
        if not pressed:
            return no_update, no_update
        try:
            desk.squad.read_whiteboards_again()
        except KeelmarkError as error:
            return no_update, refusal(error)
        said = "Read again and stored. Take the import back to have the former reading."
        return {"said": said}, None


def _changed(changed: Sequence[Any], names: dict[str, str]) -> list[Any]:
    if not changed:
        return [remark("Every stored whiteboard reads as it was stored.")]
    heads = [("Athlete", "text"), ("Day", "text"), ("Stored", "words"), ("Reads today", "words")]
    body = [
        [names.get(one.session["athlete_id"], one.session["athlete_id"]), day_words(one.session["date"]),
         _work(one.before), _work(one.after)]
        for one in changed[:_SHOWN]
    ]  # fmt: skip
    more = [html.P(f"The first {_SHOWN} of {number(len(changed))} are shown.", className="soft")]
    return [
        table(f"{count(len(changed), 'session')} read otherwise today", heads, body, stack=True),
        *(more if len(changed) > _SHOWN else []),
        html.Div(dmc.Button("Read them again", id=AGAIN), className="answers"),
    ]


def _work(rows: Any) -> str:
    return work_words(rows) if rows.height else "nothing"
