"""Settings: what a squad can choose, what each choice changes, and who changed it."""

from __future__ import annotations

import base64
from datetime import date
from typing import Any

import dash_mantine_components as dmc
from dash import ALL, Dash, Input, Output, State, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.service.person import OWNER
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page, Visit
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.settings_fields import FIELD_KEYS, field, value_of
from keelmark_dash.parts.settings_lists import changes_table, label_form, label_list, movement_files
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.parts.taken_back import taken_back
from keelmark_dash.settings_words import CHANGES, NOT_PEOPLE, OWN_MOVEMENTS, SAVED
from keelmark_dash.sheets import settings_sheet

__all__ = ["PAGE"]

SAVE, SAID = ids.named(ids.SETTINGS, "save"), ids.named(ids.SETTINGS, "said")
UPLOAD, UPLOAD_SAID = ids.named(ids.SETTINGS, "upload"), ids.named(ids.SETTINGS, "upload-said")
LABEL = {part: ids.named(ids.SETTINGS, f"label-{part}") for part in ("name", "from", "to", "save", "said")}
LARGEST_FILE = 1_000_000


def layout(here: Visit) -> list[Any]:
    """The choices, the calendar's names, the squad's own movements, and what was changed."""
    chosen = here.squad.settings()
    fields = [field(key, chosen.get(key)) for key in FIELD_KEYS]
    return [
        html.H1("Settings"),
        panel(ids.named(ids.SETTINGS, "choices"), "What this squad chooses", html.Div(fields, className="setting-grid"),
              dmc.Button("Save", id=SAVE), html.Div(id=SAID, role="status")),
        panel(ids.named(ids.SETTINGS, "labels"), "Names in the calendar", html.P(NOT_PEOPLE),
              label_list(here.season.labels, here.squad.imports()), label_form(LABEL), html.Div(id=LABEL["said"])),
        panel(ids.named(ids.SETTINGS, "movements"), "Movements of your own", html.P(OWN_MOVEMENTS),
              _upload(), html.Div(id=UPLOAD_SAID, role="status"), *movement_files(here.squad.own_movements())),
        panel(ids.named(ids.SETTINGS, "changes"), "What was changed", html.P(CHANGES),
              changes_table(here.squad.setting_changes()), take_away(ids.SETTINGS, "changes")),
        *_accounts(here),
    ]  # fmt: skip


def _accounts(here: Visit) -> list[Any]:
    if here.person.role != OWNER:
        return []
    words = "Who comes in, and as what: the accounts of this squad"
    return [html.P(html.A(words, href="/accounts", className="tall"))]


def _upload() -> dcc.Upload:
    words = html.Div([html.Strong("Drop a TOML file here"), html.Span(" or press to choose one")])
    return dcc.Upload(words, id=UPLOAD, multiple=False, max_size=LARGEST_FILE, className="upload movements")


def register(app: Dash, desk: Desk) -> None:
    """Save the choices; name stretches of days; keep and drop files of movements."""
    _register_choices(app, desk)
    _register_labels(app, desk)
    _register_movements(app, desk)


def _register_choices(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children"),
        Input(SAVE, "n_clicks"),
        *(State(ids.named(ids.SETTINGS, key), "value") for key in FIELD_KEYS),
        prevent_initial_call=True,
    )
    def _save(pressed: int | None, *given: Any) -> Any:
        if not pressed:
            return no_update, no_update
        squad = desk.squad
        before = squad.settings()
        try:
            wanted = {key: value_of(key, said) for key, said in zip(FIELD_KEYS, given, strict=True)}
            changed = {key: value for key, value in wanted.items() if value != before.get(key)}
            for key, value in changed.items():
                squad.check_setting(key, value)
            for key, value in changed.items():
                squad.set_setting(key, value)
        except KeelmarkError as error:
            return no_update, refusal(error)
        if not changed:
            return no_update, remark("Nothing was different from what stood there.")
        return {"said": SAVED}, None


def _register_labels(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(LABEL["said"], "children"),
        Input(LABEL["save"], "n_clicks"),
        State(LABEL["name"], "value"),
        State(LABEL["from"], "value"),
        State(LABEL["to"], "value"),
        prevent_initial_call=True,
    )
    def _name(pressed: int | None, name: str | None, first: str | None, last: str | None) -> Any:
        if not pressed:
            return no_update, no_update
        words = " ".join((name or "").split())
        if not (words and first and last) or last[:10] < first[:10] or len(words) > 80:
            return no_update, remark("Give a short name, a first day, and a last day that is not before it.",
                                     tone="refused")  # fmt: skip
        try:
            desk.squad.set_label(date.fromisoformat(first[:10]), date.fromisoformat(last[:10]), words)
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": f"Named: {words}."}, None

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Input(ids.each(ids.SETTINGS, "unname", ALL), "n_clicks"),
        prevent_initial_call=True,
    )
    def _unname(pressed: list[int | None]) -> Any:
        return taken_back(pressed, desk.squad.undo, "Taken away. Those weeks teach the marks again.")


def _register_movements(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(UPLOAD_SAID, "children"),
        Input(UPLOAD, "contents"),
        State(UPLOAD, "filename"),
        prevent_initial_call=True,
    )
    def _bring(contents: str | None, name: str | None) -> Any:
        if not contents:
            return no_update, no_update
        try:
            text = base64.b64decode(contents.split(",", 1)[1]).decode("utf-8-sig")
            desk.squad.change_own_movements((name or "movements.toml").replace("\\", "/").split("/")[-1][:80], text)
        except (UnicodeDecodeError, ValueError):
            return no_update, remark("This is not a text file in UTF-8. Nothing was kept.", tone="refused")
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": "Kept. These movements are known from now on."}, None

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Input(ids.each(ids.SETTINGS, "drop", ALL), "n_clicks"),
        prevent_initial_call=True,
    )
    def _drop(pressed: list[int | None]) -> Any:
        def leave_out(name: str) -> None:
            desk.squad.change_own_movements(name, None)

        return taken_back(pressed, leave_out, "Left out. Its movements are not known any more.")


PAGE = Page("/settings", "Settings", layout, register=register, sheets=settings_sheet)
