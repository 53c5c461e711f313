"""The whiteboard part of the Log page: paste the text, see it read, tick who came, type exceptions, store."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, cast

from dash import ALL, ClientsideFunction, Dash, Input, Output, State, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.service import Evening
from keelmark_dash import ids
from keelmark_dash.desk import Desk, SeasonView
from keelmark_dash.page import Visit
from keelmark_dash.pages.log_whiteboard_rereading import register_rereading, rereading_part
from keelmark_dash.parts import whiteboard_form as form
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.taken_back import taken_back
from keelmark_dash.parts.whiteboard_grid import CAME, FIELDS, score_grid
from keelmark_dash.parts.whiteboard_own import own_readings
from keelmark_dash.parts.whiteboard_reading import reading_shown
from keelmark_dash.parts.whiteboard_stored import UNDO, last_whiteboard, stored_session
from keelmark_dash.readings import people
from keelmark_dash.ready import ready
from keelmark_dash.words import count, day_words

__all__ = ["register_whiteboard", "whiteboard_section"]

_KEYS = ("result", "standard", "version", "session_rpe")


def whiteboard_section(here: Visit) -> html.Section:
    """The form, or what is needed first; and what was stored last."""
    season = here.season
    if season.athletes.is_empty():
        body: list[Any] = [html.P("Bring a list of the people or a log first, so that keelmark knows who came.")]
    else:
        body = [
            html.P("Write or paste what stood on the whiteboard. keelmark works out what each athlete did."),
            *_stored(here),
            form.whiteboard_form(season.groups, _grid(season), date.today()),
        ]
    return panel(ids.named(ids.LOG, "wb"), "From the whiteboard", *body)


def _grid(season: SeasonView, group: str = "") -> list[Any]:
    return cast(list[Any], season.once(("grid", group), lambda: ready(score_grid(people(season, group)))))


def _stored(here: Visit) -> list[Any]:
    brought = last_whiteboard(here.squad.imports())
    if brought is None:
        return []
    kept = here.season.season.kept
    names = dict(here.season.athletes.select("athlete_id", "name").iter_rows())
    return [stored_session(brought, kept.efforts, kept.sessions, names), *rereading_part(here)]


def register_whiteboard(app: Dash, desk: Desk) -> None:
    """Read while typing, fill the grid by group, store, take back."""
    _register_reading(app, desk)
    _register_own(app, desk)
    _register_saving(app, desk)
    register_rereading(app, desk)
    for name, target, source in (
        ("counted", Output(form.SAVE, "children"), Input(ids.each(ids.LOG, CAME, ALL), "checked")),
        ("recalled", Output(form.TEXT, "value"), Input(form.TEXT, "id")),
    ):
        app.clientside_callback(ClientsideFunction("keelmark_whiteboard", name), target, source)
    for name, source in (("kept", Input(form.TEXT, "value")), ("stored", Input(ids.WRITTEN, "data"))):
        function = ClientsideFunction("keelmark_whiteboard", name)
        app.clientside_callback(function, source, prevent_initial_call=True)


def _register_reading(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(form.READING, "children"),
        Input(form.TEXT, "value"),
        Input(form.RESULT, "value"),
        prevent_initial_call=True,
    )
    def _read(text: str | None, result: str | None) -> Any:
        if not text or not text.strip():
            return html.P("What is read from it appears here while you type.", className="soft")
        if len(text) > form.LONGEST_TEXT:
            return remark(f"This is longer than one session: {len(text)} signs. Paste one session at a time.")
        return reading_shown(desk.squad.look_at_text(text, (result or "").strip() or None))

    @app.callback(Output(form.GRID, "children"), Input(form.GROUP, "value"), prevent_initial_call=True)
    def _group(group: str | None) -> Any:
        return _grid(desk.season(), group or "")


def _register_own(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(form.OWN, "children"),
        Input(form.TEXT, "value"),
        Input(form.RESULT, "value"),
        Input(form.DAY, "value"),
        Input(ids.each(ids.LOG, CAME, ALL), "checked"),
        *(Input(ids.each(ids.LOG, field, ALL), "value") for field in FIELDS),
        State(ids.each(ids.LOG, CAME, ALL), "id"),
        prevent_initial_call=True,
    )
    def _own(text: str | None, result: str | None, day: str | None, came: list[bool | None], *rest: Any) -> Any:
        *fields, who = rest
        scores = {key: said for key, said in _scores(who, came, fields).items() if said}
        if not scores or not day or not (text or "").strip() or len(text or "") > form.LONGEST_TEXT:
            return None
        evening = Evening(date.fromisoformat(day[:10]), text or "", scores, result=(result or "").strip() or None)
        try:
            looks = desk.squad.look_at_evening(evening)
        except KeelmarkError:  # told when the session is stored
            return None
        return own_readings(looks, dict(desk.season().athletes.select("athlete_id", "name").iter_rows()))


def _scores(
    who: list[dict[str, str]], came: list[bool | None], fields: Sequence[list[str | None]]
) -> dict[str, dict[str, str]]:
    """What was typed for everybody who is ticked."""
    scores = {}
    for place, (key, ticked) in enumerate(zip(who, came, strict=True)):
        if ticked:
            said = {name: (values[place] or "").strip() for name, values in zip(_KEYS, fields, strict=True)}
            scores[key["key"]] = {name: words for name, words in said.items() if words}
    return scores


def _register_saving(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(form.SAID, "children"),
        Input(form.SAVE, "n_clicks"),
        State(form.TEXT, "value"),
        State(form.DAY, "value"),
        State(form.SESSION, "value"),
        State(form.MINUTES, "value"),
        State(form.RESULT, "value"),
        State(ids.each(ids.LOG, CAME, ALL), "id"),
        State(ids.each(ids.LOG, CAME, ALL), "checked"),
        *(State(ids.each(ids.LOG, field, ALL), "value") for field in FIELDS),
        prevent_initial_call=True,
    )
    def _save(
        pressed: int | None, text: str | None, day: str | None, session: str | None, minutes: str | None,
        result: str | None, who: list[dict[str, str]], came: list[bool | None], *fields: list[str | None],
    ) -> Any:  # fmt: skip
        if not pressed:
            return no_update, no_update
        length = _minutes(minutes)
        if length is None and (minutes or "").strip():
            return no_update, remark(f"“{minutes}” is no length in minutes, such as 60.", tone="refused")
        if not day:
            return no_update, remark("Choose the day.", tone="refused")
        scores = _scores(who, came, fields)
        evening = Evening(
            date.fromisoformat(day[:10]), text or "", scores, (session or "").strip() or None, length,
            (result or "").strip() or None,
        )  # fmt: skip
        try:
            brought = desk.squad.save_evening(evening)
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": _said(brought, evening), "stored": "whiteboard"}, None

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Input(ids.each(ids.LOG, UNDO, ALL), "n_clicks"),
        prevent_initial_call=True,
    )
    def _undo(pressed: list[int | None]) -> Any:
        return taken_back(
            pressed, desk.squad.undo, "Taken back. Its work is out of all figures; the text itself is kept."
        )


def _said(brought: Any, evening: Evening) -> str:
    if brought.outcome.repeated:
        return f"This session of {day_words(evening.day)} was stored before; nothing was stored again."
    who = count(len(evening.scores), "athlete")
    return f"Stored for {who}, {day_words(evening.day)}: {count(brought.outcome.efforts, 'effort')}."


def _minutes(text: str | None) -> float | None:
    try:
        value = float((text or "").strip().replace(",", "."))
    except ValueError:
        return None
    return value if 1 <= value <= 1440 else None
