"""The file part of the Log page: drop a file, see what each row would become, settle names, accept or leave it."""

from __future__ import annotations

import base64
from typing import Any

import dash_mantine_components as dmc
from dash import ALL, Dash, Input, Output, State, ctx, dcc, html, no_update, set_props

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.jobs import Tell
from keelmark_dash.page import Visit
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.progress import LongWork, Shown, begin, begun, progress
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.taken_back import taken_back
from keelmark_dash.parts.unknown_names import LEARN, MEANS, NAMES, unknown_names
from keelmark_dash.parts.upload_options import DECIMAL, ORDER, SHEET, options_chosen, upload_options
from keelmark_dash.parts.verdicts import counts_line, verdict_tables
from keelmark_dash.words import count, number

__all__ = ["LONG_WORK", "bring_section", "register_file"]

UPLOAD, PREVIEW, TOKEN = (ids.named(ids.LOG, part) for part in ("upload", "preview", "token"))
ACCEPT, LEAVE = (ids.named(ids.LOG, part) for part in ("accept", "leave"))
READ, STORE = "read-file", "store-file"
_ONE_BY_ONE = "Another file is being stored. Wait until that is done, then store this one."
LARGEST_UPLOAD = 50_000_000


def bring_section(here: Visit) -> html.Section:
    """Where a file is dropped, how it is read, and what it would bring."""
    return panel(ids.named(ids.LOG, "bring"),
        "Bring a file",
        html.P("A club log as CSV, XLSX or Parquet, in English, German, Spanish, French or Portuguese. Nothing is "
               "stored before you have seen what each row would become."),
        upload_options(ids.QUIET_DAYS),
        dcc.Upload(
            html.Div([html.Strong("Drop a file here"), html.Span(" or press to choose one"),
                      html.Span(f"up to {number(LARGEST_UPLOAD / 1_000_000)} MB", className="soft")]),
            id=UPLOAD,
            multiple=False,
            max_size=LARGEST_UPLOAD,
            className="upload",
            className_active="upload active",
            className_reject="upload reject",
        ),
        dcc.Store(id=TOKEN),
        progress(ids.LOG, READ, "How far the file is read", here.running(READ)),
        progress(ids.LOG, STORE, "How far the file is stored", here.running(STORE)),
        html.Div(id=PREVIEW, role="status"),
    )  # fmt: skip


def register_file(app: Dash, desk: Desk) -> None:
    """Preview, read again, accept and leave a file; take an import back."""
    _register_reading(app, desk)
    _register_answers(app, desk)


def _register_reading(app: Dash, desk: Desk) -> None:
    @app.callback(
        *begun(ids.LOG, READ),
        Output(PREVIEW, "children"),
        Output(TOKEN, "data"),
        Output(UPLOAD, "contents"),
        Input(UPLOAD, "contents"),
        Input(DECIMAL, "value"),
        Input(ORDER, "value"),
        Input(SHEET, "value"),
        State(UPLOAD, "filename"),
        State(TOKEN, "data"),
        prevent_initial_call=True,
    )
    def _read(
        contents: str | None, decimal: str | None, order: str | None, sheet: str | None, name: str | None,
        token: str | None,
    ) -> Any:  # fmt: skip
        options, squad, called = options_chosen(decimal, order, sheet), desk.squad, name or "upload"

        def read_first(tell: Tell) -> Any:
            tell(f"Reading {called} …", None)
            return squad.preview_log(base64.b64decode((contents or "").split(",", 1)[1]), called, options)

        def read_again(tell: Tell) -> Any:
            tell("Reading the file again …", None)
            return squad.preview_again(token, options)

        if contents:
            return [*begin(desk, READ, read_first, None), None, None, None]
        if token and ctx.triggered_id != UPLOAD:
            return [*begin(desk, READ, read_again, None), no_update, no_update, None]
        return [no_update] * 7

    @app.callback(
        Output(PREVIEW, "children", allow_duplicate=True),
        Output(TOKEN, "data", allow_duplicate=True),
        Input(LEARN, "n_clicks"),
        State(NAMES, "data"),
        State(ids.each(ids.LOG, MEANS, ALL), "value"),
        State(DECIMAL, "value"),
        State(ORDER, "value"),
        State(SHEET, "value"),
        State(TOKEN, "data"),
        prevent_initial_call=True,
    )
    def _learn(
        pressed: int | None, names: list[str], meant: list[str | None], decimal: str | None, order: str | None,
        sheet: str | None, token: str | None,
    ) -> Any:  # fmt: skip
        if not pressed or not token:
            return no_update, no_update
        chosen = {written: movement for written, movement in zip(names, meant, strict=True) if movement}
        if not chosen:
            return no_update, no_update
        try:
            desk.squad.learn_names(chosen)
            preview = desk.squad.preview_again(token, options_chosen(decimal, order, sheet))
        except KeelmarkError as error:
            return refusal(error), token
        return _preview(preview, desk), preview.token


def _register_answers(app: Dash, desk: Desk) -> None:
    @app.callback(
        *begun(ids.LOG, STORE),
        Output(PREVIEW, "children", allow_duplicate=True),
        Output(TOKEN, "data", allow_duplicate=True),
        Input(ACCEPT, "n_clicks"),
        State(TOKEN, "data"),
        prevent_initial_call=True,
    )
    def _accept(pressed: int | None, token: str | None) -> Any:
        if not pressed or not token:
            return [no_update] * 6
        if desk.jobs.running(desk.person, STORE):
            return [*[no_update] * 3, remark(_ONE_BY_ONE), no_update, no_update]
        squad = desk.squad

        def store(tell: Tell) -> None:
            tell("Storing …", None)
            squad.accept(token, tell.keep)
            squad.season(lambda said: tell(f"{said} …", None))

        return [*begin(desk, STORE, store), None, None]

    @app.callback(
        Output(PREVIEW, "children", allow_duplicate=True),
        Output(TOKEN, "data", allow_duplicate=True),
        Input(LEAVE, "n_clicks"),
        prevent_initial_call=True,
    )
    def _leave(pressed: int | None) -> Any:
        return (remark("Left alone. Nothing was stored."), None) if pressed else (no_update, no_update)

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Input(ids.each(ids.LOG, "undo", ALL), "n_clicks"),
        prevent_initial_call=True,
    )
    def _undo(pressed: list[int | None]) -> Any:
        return taken_back(
            pressed, desk.squad.undo, "Taken back. Its rows are out of all figures; the file itself is kept."
        )


def _read_shown(desk: Desk, preview: Any) -> Shown:
    set_props(PREVIEW, {"children": _preview(preview, desk)})
    set_props(TOKEN, {"data": preview.token})
    return Shown()


def _stored(_desk: Desk, _answer: None) -> Shown:
    set_props(ids.WRITTEN, {"data": {"said": "Stored. Figures have been worked out anew."}})
    return Shown()


LONG_WORK = LongWork(ids.LOG, READ, _read_shown), LongWork(ids.LOG, STORE, _stored)


def _preview(preview: Any, desk: Desk) -> html.Div:
    good = preview.counts["accepted"]
    buttons: list[Any] = [dmc.Button("Leave it", id=LEAVE, variant="default")]
    if preview.ready:
        buttons.insert(0, dmc.Button(f"Store {count(good, 'good row')}", id=ACCEPT))
    else:
        buttons.insert(0, html.P("There is nothing to store."))
    return html.Div(
        [
            html.H3(f"What {preview.file} would bring"),
            counts_line(preview.counts),
            *(remark(words) for words in preview.warnings),
            *unknown_names(preview.unknown_names, desk.squad.catalogue),
            *verdict_tables(preview.rows),
            html.Div(buttons, className="answers"),
        ],
        className="preview",
    )
