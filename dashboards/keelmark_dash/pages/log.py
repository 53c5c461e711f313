"""Log: bring a file, see what each row would become, accept or leave it, take it back; say what days were."""

from __future__ import annotations

import base64
from datetime import date, timedelta
from typing import Any

import dash_mantine_components as dmc
from dash import ALL, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.pages.log_whiteboard import register_whiteboard, whiteboard_section
from keelmark_dash.parts.controls import controls, group_control, week_control
from keelmark_dash.parts.days import day_form, day_table, saved_words
from keelmark_dash.parts.imports import imports_table
from keelmark_dash.parts.link import link
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.row_pages import row_pages
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.verdicts import counts_line, verdict_tables
from keelmark_dash.readings import people, week_days
from keelmark_dash.words import count, number

__all__ = ["PAGE"]

UPLOAD, PREVIEW, TOKEN = (ids.named(ids.LOG, part) for part in ("upload", "preview", "token"))
ACCEPT, LEAVE, QUIET = (ids.named(ids.LOG, part) for part in ("accept", "leave", "quiet"))
LARGEST_UPLOAD = 50_000_000
LONGEST_STRETCH = 366


def layout(here: Visit) -> list[Any]:
    """A file, the imports so far, the days of a week, what quiet days mean."""
    came_in = panel(ids.named(ids.LOG, "imports"), "What came in", IMPORTS.place(here))
    parts = [html.H1("The log"), whiteboard_section(here), _bring(), came_in]
    if here.season.weeks:
        parts += [_days(here), _quiet(here.squad)]
    return parts


def _bring() -> html.Section:
    return panel(ids.named(ids.LOG, "bring"),
        "Bring a file",
        html.P("A club log as CSV, XLSX or Parquet, in English, German, Spanish, French or Portuguese. Nothing is "
               "stored before you have seen what each row would become."),
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


def _imports(here: Visit) -> list[Any]:
    content = imports_table(here.squad.imports(), here.address)
    return content + (_rows_of(here.squad, here.address) if here.address.show else [])


def _rows_of(squad: Any, address: Address) -> list[Any]:
    try:
        rows = squad.import_rows(address.show)
    except KeelmarkError as error:
        return [refusal(error)]
    tables = verdict_tables(rows) or [html.P("Every row was accepted.")]
    back = link("Close", "/log" + address.with_(show=None).search(), className="tall")
    return [html.Div([html.H3(f"{count(rows.height, 'row')} of this import"), *tables, back], className="import-rows")]


def _days(here: Visit) -> html.Section:
    season, address = here.season, here.address
    everybody = people(season).select("athlete_id", "name").rows()
    return panel(
        ids.named(ids.LOG, "days"),
        "Days without training",
        html.P("A day without a record is not a rest day. Say what is known, for one person or several."),
        day_form(everybody, address.week, here.asked.athlete),
        controls(week_control(address, season.weeks), group_control(address, season.groups)),
        DAYS.place(here),
    )


def _day_table(here: Visit) -> list[Any]:
    season, address = here.season, here.address
    return [
        day_table(week_days(season, address), address.week),
        row_pages("/log", address, people(season, address.group).height),
    ]


def _quiet(squad: Any) -> html.Section:
    return panel(ids.named(ids.LOG, "quiet"),
        "What a day without a record means",
        dmc.RadioGroup(
            id=QUIET,
            value=squad.settings()["quiet_days"],
            label="In this squad",
            children=html.Div(
                [
                    dmc.Radio("It is not known. Figures stay open until somebody says.", value="unlogged"),
                    dmc.Radio("It was rest, in weeks that have records. Every session is logged here, and figures say "
                              "how many days were taken as rest.", value="rest"),
                ],
                className="radios",
            ),
        ),
        html.Div(id=ids.named(ids.LOG, "quiet-said"), role="status"),
    )  # fmt: skip


def register(app: Dash, desk: Desk) -> None:
    """Preview, accept, leave and undo a file; say what days were; choose what quiet days mean."""
    register_whiteboard(app, desk)
    _register_file(app, desk)
    _register_days(app, desk)


def _register_file(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(PREVIEW, "children"),
        Output(TOKEN, "data"),
        Output(UPLOAD, "contents"),
        Input(UPLOAD, "contents"),
        State(UPLOAD, "filename"),
        running=[(Output(PREVIEW, "className"), "reading", "")],
        prevent_initial_call=True,
    )
    def _read(contents: str | None, name: str | None) -> Any:
        if not contents:
            return no_update, no_update, no_update
        try:
            preview = desk.squad.preview_log(base64.b64decode(contents.split(",", 1)[1]), name or "upload")
        except KeelmarkError as error:
            return refusal(error), None, None
        return _preview(preview), preview.token, None

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(PREVIEW, "children", allow_duplicate=True),
        Input(ACCEPT, "n_clicks"),
        State(TOKEN, "data"),
        prevent_initial_call=True,
    )
    def _accept(pressed: int | None, token: str | None) -> Any:
        if not pressed or not token:
            return no_update, no_update
        try:
            desk.squad.accept(token)
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": "Stored. Figures have been worked out anew."}, None

    @app.callback(
        Output(PREVIEW, "children", allow_duplicate=True),
        Input(LEAVE, "n_clicks"),
        prevent_initial_call=True,
    )
    def _leave(pressed: int | None) -> Any:
        return remark("Left alone. Nothing was stored.") if pressed else no_update

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


def _preview(preview: Any) -> html.Div:
    good = preview.counts["accepted"]
    title = f"What {preview.file} would bring"
    buttons: list[Any] = [dmc.Button("Leave it", id=LEAVE, variant="default")]
    if preview.ready:
        buttons.insert(0, dmc.Button(f"Store {count(good, 'good row')}", id=ACCEPT))
    else:
        buttons.insert(0, html.P("There is nothing to store."))
    return html.Div(
        [
            html.H3(title),
            counts_line(preview.counts),
            *(remark(words) for words in preview.warnings),
            *verdict_tables(preview.rows),
            html.Div(buttons, className="answers"),
        ],
        className="preview",
    )


def _register_days(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(ids.named(ids.LOG, "days-said"), "children"),
        Input(ids.named(ids.LOG, "save-days"), "n_clicks"),
        State(ids.named(ids.LOG, "who"), "value"),
        State(ids.named(ids.LOG, "from"), "value"),
        State(ids.named(ids.LOG, "to"), "value"),
        State(ids.named(ids.LOG, "state"), "value"),
        prevent_initial_call=True,
    )
    def _save(pressed: int | None, who: list[str], first: str | None, last: str | None, state: str | None) -> Any:
        if not pressed:
            return no_update, no_update
        if not (who and first and last and state):
            return no_update, remark("Choose who, which days, and what is known of them.", tone="refused")
        start, end = date.fromisoformat(first[:10]), date.fromisoformat(last[:10])
        if not 0 <= (end - start).days < LONGEST_STRETCH:
            return no_update, remark(
                "The last day comes before the first, or is more than a year later.", tone="refused"
            )
        days = [start + timedelta(days=step) for step in range((end - start).days + 1)]
        try:
            desk.squad.set_day_state(who, days, state)
        except KeelmarkError as error:
            return no_update, refusal(error)
        names = dict(people(desk.season()).select("athlete_id", "name").rows())
        return {"said": saved_words([names.get(key, key) for key in who], start, end, state)}, None

    @app.callback(
        Output(ids.named(ids.LOG, "quiet-said"), "children"),
        Input(QUIET, "value"),
        prevent_initial_call=True,
    )
    def _choose(value: str) -> Any:
        if value == desk.squad.settings()["quiet_days"]:
            return no_update
        try:
            desk.squad.set_setting("quiet_days", value)
        except KeelmarkError as error:
            return refusal(error)
        return remark("Chosen. Figures are worked out anew from now on.", tone="done")


IMPORTS = Region(ids.named(ids.LOG, "imports"), ("show",), _imports)
DAYS = Region(ids.named(ids.LOG, "days"), ("week", "group", "rows"), _day_table)
PAGE = Page("/log", "Log", layout, (IMPORTS, DAYS), register)
