"""The people of the Log page: a list of them from a file, or one new person typed in."""

from __future__ import annotations

import base64
import csv
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, Output, State, dcc, html, no_update

from keelmark.contracts.display import LOAD_UNITS, shown_unit
from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.fields import choose_one
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.words import count

__all__ = ["people_section", "register_people"]

UPLOAD, SAID, ADD = (ids.named(ids.LOG, f"people-{part}") for part in ("upload", "said", "add"))
NAME, GROUP, STANDARD, MASS = (ids.named(ids.LOG, f"person-{part}") for part in ("name", "group", "standard", "mass"))
_LARGEST = 5_000_000
_STANDARDS = [
    {"value": "", "label": "not said"},
    {"value": "heavier", "label": "the heavier of two loads"},
    {"value": "lighter", "label": "the lighter of two loads"},
]
_WORDS = (
    "A list as CSV, XLSX or Parquet; only a column of names is needed. Group, usual loads, body mass, stature and "
    "lifts, such as “1RM deadlift (kg)”, make more figures possible."
)
_STORED = "Stored. The people stand in the lists from now on. Under “What came in” it can be taken back."
_TAKEN_WHOLE = "A list is taken whole or not at all. Who is there already is brought up to date, and nobody is lost."


def people_section(here: Visit) -> html.Section:
    """How many are in the squad, a place for a list, and a form for one person."""
    there = here.season.athletes.height
    told = f"{count(there, 'person', 'people')} in the squad." if there else "Nobody is in the squad yet."
    upload = dcc.Upload(
        html.Div([html.Strong("Drop a list of people here"), html.Span(" or press to choose one")]),
        id=UPLOAD,
        multiple=False,
        max_size=_LARGEST,
        className="upload people",
    )
    return panel(
        ids.named(ids.LOG, "people"),
        "The people",
        html.P([html.Strong(told), f" {_WORDS}"]),
        upload,
        html.P(_TAKEN_WHOLE, className="soft"),
        html.Details([html.Summary("Add one person"), _form()], open=not there),
        html.Div(id=SAID, role="status"),
    )


def _form() -> html.Div:
    return html.Div(
        [
            dmc.TextInput(id=NAME, label="Name", value="", autoComplete="off"),
            dmc.TextInput(id=GROUP, label="Group, if there are any", value="", autoComplete="off"),
            choose_one(STANDARD, "Usually takes", _STANDARDS, "", allowDeselect=False),
            dmc.TextInput(
                id=MASS, label=f"Body mass in {LOAD_UNITS[shown_unit('kg')]}, if known", value="", autoComplete="off"
            ),
            dmc.Button("Add this person", id=ADD),
        ],
        className="day-form",
    )


def _header() -> tuple[str, ...]:
    return ("name", "group", "standard", f"body mass ({shown_unit('kg')})")


def register_people(app: Dash, desk: Desk) -> None:
    """Take a list or one person in."""

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children"),
        Output(UPLOAD, "contents"),
        Input(UPLOAD, "contents"),
        State(UPLOAD, "filename"),
        prevent_initial_call=True,
    )
    def _bring(contents: str | None, name: str | None) -> Any:
        if not contents:
            return no_update, no_update, no_update
        file = (name or "people.csv").replace("\\", "/").split("/")[-1][-80:]
        return *_taken(desk, file, base64.b64decode(contents.split(",", 1)[1])), None

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children", allow_duplicate=True),
        Input(ADD, "n_clicks"),
        State(NAME, "value"),
        State(GROUP, "value"),
        State(STANDARD, "value"),
        State(MASS, "value"),
        prevent_initial_call=True,
    )
    def _add(pressed: int | None, name: str | None, group: str | None, standard: str | None, mass: str | None) -> Any:
        if not pressed:
            return no_update, no_update
        person = [(field or "").strip() for field in (name, group, standard, mass)]
        if not person[0]:
            return no_update, remark("Write a name first.", tone="refused")
        return _taken(desk, "one person.csv", person)


def _taken(desk: Desk, file: str, content: bytes | list[str]) -> tuple[Any, Any]:
    """What is told of the page and of the panel after a list was handed to the squad."""
    squad = desk.squad
    with TemporaryDirectory() as folder:
        path = Path(folder) / file
        if isinstance(content, bytes):
            path.write_bytes(content)
        else:
            with path.open("w", encoding="utf-8", newline="") as opened:
                csv.writer(opened).writerows([_header(), content])
        try:
            squad.import_roster(path)
        except KeelmarkError as error:
            return no_update, refusal(error)
    return {"said": _STORED}, None
