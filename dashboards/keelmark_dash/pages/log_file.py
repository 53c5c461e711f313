"""The file part of the Log page: drop a file, see what each row would become, settle names, accept or leave it."""

from __future__ import annotations

import base64
from typing import Any

import dash_mantine_components as dmc
from dash import ALL, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.unknown_names import LEARN, MEANS, NAMES, unknown_names
from keelmark_dash.parts.upload_options import DECIMAL, ORDER, SHEET, options_chosen, upload_options
from keelmark_dash.parts.verdicts import counts_line, verdict_tables
from keelmark_dash.words import count, number

__all__ = ["bring_section", "register_file"]

UPLOAD, PREVIEW, TOKEN = (ids.named(ids.LOG, part) for part in ("upload", "preview", "token"))
ACCEPT, LEAVE = (ids.named(ids.LOG, part) for part in ("accept", "leave"))
LARGEST_UPLOAD = 50_000_000


def bring_section() -> html.Section:
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
        html.Div(id=PREVIEW, role="status"),
    )  # fmt: skip


def register_file(app: Dash, desk: Desk) -> None:
    """Preview, read again, accept and leave a file; take an import back."""
    _register_reading(app, desk)
    _register_answers(app, desk)


def _register_reading(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(PREVIEW, "children"),
        Output(TOKEN, "data"),
        Output(UPLOAD, "contents"),
        Input(UPLOAD, "contents"),
        Input(DECIMAL, "value"),
        Input(ORDER, "value"),
        Input(SHEET, "value"),
        State(UPLOAD, "filename"),
        State(TOKEN, "data"),
        running=[(Output(PREVIEW, "className"), "reading", "")],
        prevent_initial_call=True,
    )
    def _read(
        contents: str | None, decimal: str | None, order: str | None, sheet: str | None, name: str | None,
        token: str | None,
    ) -> Any:  # fmt: skip
        options = options_chosen(decimal, order, sheet)
        try:
            if contents:
                preview = desk.squad.preview_log(base64.b64decode(contents.split(",", 1)[1]), name or "upload", options)
            elif token and ctx.triggered_id != UPLOAD:
                preview = desk.squad.preview_again(token, options)
            else:
                return no_update, no_update, no_update
        except KeelmarkError as error:
            return refusal(error), None if contents else token, None
        return _preview(preview, desk), preview.token, None

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
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(PREVIEW, "children", allow_duplicate=True),
        Output(TOKEN, "data", allow_duplicate=True),
        Input(ACCEPT, "n_clicks"),
        State(TOKEN, "data"),
        prevent_initial_call=True,
    )
    def _accept(pressed: int | None, token: str | None) -> Any:
        if not pressed or not token:
            return no_update, no_update, no_update
        try:
            desk.squad.accept(token)
        except KeelmarkError as error:
            return no_update, refusal(error), None
        return {"said": "Stored. Figures have been worked out anew."}, None, None

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
        if not any(pressed) or not ctx.triggered_id:
            return no_update
        try:
            desk.squad.undo(ctx.triggered_id["key"])
        except KeelmarkError as error:
            return {"said": str(error), "tone": "refused"}
        return {"said": "Taken back. Its rows are out of all figures; the file itself is kept."}


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
