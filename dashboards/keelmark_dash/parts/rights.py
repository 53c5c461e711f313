"""An athlete's own data: everything in one archive, and erased on request, with the name typed and a proof shown."""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict
from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, Output, State, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.report.erasure_words import BEFORE_ERASING, erasure_lines
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.jobs import Tell
from keelmark_dash.page import Visit
from keelmark_dash.papers_words import ARCHIVE_NOTE, ERASED, WHO_ERASES
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.progress import LongWork, Shown, begin, begun, progress
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark

__all__ = ["LONG_WORK", "register_rights", "rights_panel"]

WHOSE, TAKE, NAME, ERASE, SAID = (
    ids.named(ids.ATHLETE, f"rights-{part}") for part in ("whose", "take", "name", "erase", "said")
)


def rights_panel(here: Visit, name: str) -> list[html.Section]:
    """The panel, for those who may use it."""
    if not here.may("athlete_archive"):
        return []
    return [
        panel(
            ids.named(ids.ATHLETE, "rights"),
            f"What is kept of {name}",
            dcc.Store(id=WHOSE, data={"athlete": here.address.athlete}),
            html.P(ARCHIVE_NOTE),
            html.Div(dmc.Button("Take everything away (ZIP)", id=TAKE), className="buttons"),
            progress(ids.ATHLETE, "archive", "How far the archive is", here.running("archive", here.address.athlete)),
            _erasing(name) if here.may("erase_athlete") else html.P(WHO_ERASES.format(name=name), className="soft"),
            html.Div(id=SAID, role="status"),
        )
    ]


def _erasing(name: str) -> html.Details:
    words = f"Erase everything of {name}"
    field = dmc.TextInput(id=NAME, label=f"Type “{name}” to erase everything of {name}", value="", autoComplete="off",
                          maw="24rem")  # fmt: skip
    button = html.Div(dmc.Button(words, id=ERASE, variant="default"), className="buttons")
    return html.Details([html.Summary("Erase"), html.Div([html.P(BEFORE_ERASING), field, button])])


def _packed(squad: Any, athlete_id: str, tell: Tell) -> bytes:
    tell("Putting every table together …", None)
    content: bytes = squad.athlete_archive(athlete_id)
    return content


def _taken(_desk: Desk, answer: tuple[str, bytes]) -> Shown:
    athlete_id, content = answer
    return Shown(file=dcc.send_bytes(content, f"keelmark-{athlete_id}-{dt.date.today()}.zip"))


LONG_WORK = LongWork(ids.ATHLETE, "archive", _taken)


def register_rights(app: Dash, desk: Desk) -> None:
    """The archive and the erasing."""

    @app.callback(
        *begun(ids.ATHLETE, "archive"), Input(TAKE, "n_clicks"), State(WHOSE, "data"), prevent_initial_call=True
    )
    def _archive(pressed: int | None, whose: dict[str, str]) -> Any:
        if not pressed:
            return [no_update] * 4
        squad, athlete_id = desk.squad, whose["athlete"]
        return begin(desk, "archive", lambda tell: (athlete_id, _packed(squad, athlete_id, tell)), athlete_id)

    @app.callback(
        Output(SAID, "children"),
        Input(ERASE, "n_clicks"),
        State(WHOSE, "data"),
        State(NAME, "value"),
        prevent_initial_call=True,
        running=[(Output(ERASE, "disabled"), True, False)],
    )
    def _erase(pressed: int | None, whose: dict[str, str], typed: str | None) -> Any:
        if not pressed:
            return no_update
        try:
            done = desk.squad.erase_athlete(whose["athlete"], typed or "")
        except KeelmarkError as error:
            return refusal(error)
        lines = [html.Li(line) for line in erasure_lines(asdict(done))]
        return remark(html.P(html.Strong(ERASED)), html.Ul(lines), html.A("Go on", href="/"), tone="done")
