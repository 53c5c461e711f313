"""The app: one frame, and pages that follow the address."""

from __future__ import annotations

import logging
from dataclasses import asdict
from typing import Any

import dash_ag_grid
import flask
from dash import ClientsideFunction, Dash, Input, Output, State, ctx, html, no_update, set_props
from flask_wtf.csrf import generate_csrf

from keelmark.contracts.errors import KeelmarkError
from keelmark.service.open_squad import last_figures_will_do
from keelmark.service.person import EVERYBODY_HERE, Person
from keelmark_dash import ids
from keelmark_dash.access import PAGES as RULES
from keelmark_dash.access import guard
from keelmark_dash.access.faults import reference
from keelmark_dash.access.guarded_answers import script_hash
from keelmark_dash.access.homes import home_of
from keelmark_dash.access.sessions import csrf_cookie, person_here
from keelmark_dash.delivery import deliver
from keelmark_dash.desk import Desk
from keelmark_dash.document import SCHEME_SCRIPT, document
from keelmark_dash.late_libraries import LateLibraries
from keelmark_dash.pages import (
    athlete,
    brief,
    care,
    check_ins,
    hand_over,
    log,
    log_file,
    methods,
    programme,
    programme_versions,
    settings,
    squad,
)
from keelmark_dash.parts import audit_panel, rights
from keelmark_dash.parts.progress import register_progress
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.shell import navigation, shell
from keelmark_dash.parts.take_away import register_take_away
from keelmark_dash.routing import arrive, changed_regions, settled_at_first, visit
from keelmark_dash.slow_answers import tell_slow_answers
from keelmark_dash.theme import PALETTES

__all__ = ["PAGES", "create_app"]

PAGES = (
    squad.PAGE, athlete.PAGE, programme.PAGE, log.PAGE, check_ins.PAGE, hand_over.PAGE, methods.PAGE, settings.PAGE,
    care.PAGE, brief.PAGE,
)  # fmt: skip

LONG_WORK = [
    audit_panel.LONG_WORK, brief.LONG_WORK, rights.LONG_WORK, programme_versions.LONG_WORK, *log_file.LONG_WORK,
]  # fmt: skip

_log = logging.getLogger(__name__)


def create_app(service: Any, *, address: str | None = None) -> Dash:
    """Build the pages over a squad's service.

    Parameters
    ----------
    service : Squad
        An open `keelmark.service.Squad`; pages ask it for everything and keep nothing themselves.
    address : str, optional
        The address of a proxy with TLS in front, by which people reach the pages.

    Returns
    -------
    Dash
        The app; `app.server` is the WSGI application, and `app.server.extensions["keelmark"]` its desk.
    """
    server = flask.Flask("keelmark_dash")
    deliver(server)
    desk = Desk(service, person_here)
    server.extensions["keelmark"] = desk
    app = Dash(
        "keelmark_dash",
        server=server,
        title="keelmark",
        update_title="",
        use_pages=False,
        pages_folder="",
        serve_locally=True,
        suppress_callback_exceptions=True,
        enable_mcp=False,
        csrf_token_name=csrf_cookie(secure=(address or "").startswith("https:")),
        include_pages_meta=False,
        meta_tags=[
            {"name": "viewport", "content": "width=device-width, initial-scale=1"},
            {"name": "theme-color", "content": PALETTES["light"]["paper"]},
            {"name": "description", "content": "What a squad's backs, hips, hands and tendons did, week by week."},
        ],
        index_string=document(),
        on_error=_say_what_went_wrong,
    )
    app.layout = lambda: _frame_for(person_here())
    _follow_address(app, desk, LateLibraries(app, [dash_ag_grid]))
    _follow_controls(app)
    for page in PAGES:
        page.register(app, desk)
    register_take_away(app, desk, PAGES)
    register_progress(app, desk, LONG_WORK)
    tell_slow_answers(app)
    guard(app, service, lambda: [script_hash(SCHEME_SCRIPT), *app.csp_hashes()], address=address)
    return app


def _frame_for(person: Person | None) -> Any:
    if person is None:
        return shell(())
    signed_in = None if person is EVERYBODY_HERE else (person.name, generate_csrf())
    return shell(menu_for(person), home=home_of(person), signed_in=signed_in)


def menu_for(person: Person) -> tuple[tuple[str, str], ...]:
    """Path and title of the pages that a person may see."""
    return tuple(
        (page.path, page.title)
        for page in PAGES
        if page.in_menu and RULES[page.path].admits(person.role, person.fields)
    )


def _say_what_went_wrong(error: Exception) -> None:
    """Tell the reader in the page, and the machine's owner in the terminal."""
    if isinstance(error, KeelmarkError):
        set_props(ids.SAID, {"children": refusal(error)})
        return
    number = reference()
    _log.error("A page could not be built, reference %s", number, exc_info=error)
    words = f"This could not be shown: something went wrong inside keelmark. Its log says what, under {number}."
    set_props(ids.SAID, {"children": remark(words, tone="refused")})


def _follow_address(app: Dash, desk: Desk, late: LateLibraries) -> None:
    @app.callback(
        Output(ids.PAGE, "children"),
        Output(ids.SAID, "children"),
        Output(ids.MENU, "children"),
        Output(ids.SHOWN, "data"),
        Input(ids.ADDRESS, "pathname"),
        Input(ids.ADDRESS, "search"),
        Input(ids.WRITTEN, "data"),
        State(ids.SHOWN, "data"),
        running=[(Output(ids.MAIN, "className"), "busy", "")],
    )
    def _show(
        path: str | None, search: str | None, written: dict[str, str] | None, before: dict[str, Any] | None
    ) -> Any:
        just_written = written if ctx.triggered_id == ids.WRITTEN else None
        try:
            with last_figures_will_do(not just_written):
                return _answer(path or "/", search, just_written, before)
        except Exception:  # told in words by `_say_what_went_wrong`
            if not before or before["path"] != path:
                set_props(ids.PAGE, {"children": html.H1("This page could not be shown")})
            raise

    def _answer(
        path: str, search: str | None, just_written: dict[str, str] | None, before: dict[str, Any] | None
    ) -> Any:
        here, remarks = visit(desk, search or "", newest=bool(just_written))
        menu = navigation(menu_for(here.person), path, here.asked)
        if before and before["path"] == path and not just_written:
            page = next(page for page in PAGES if page.path == path)
            for name, content in changed_regions(page, here, before["address"]).items():
                set_props(name, {"children": content})
            return no_update, remarks, menu, {**before, "address": asdict(here.address), "search": search or ""}
        arrival = arrive(PAGES, path, here, remarks)
        if just_written:
            arrival.remarks.append(remark(just_written["said"], tone=just_written.get("tone", "done")))
        defaults = settled_at_first(here.season)
        known = path if any(page.path == path for page in PAGES) and here.season.weeks else ""
        told = {
            "path": known,
            "search": search or "",
            "title": arrival.title,
            "address": asdict(here.address),
            "defaults": asdict(defaults),
            "libraries": late.needed(arrival.libraries, str((before or {}).get("libraries", ""))),
        }
        return arrival.content, arrival.remarks, menu, told

    app.clientside_callback(
        ClientsideFunction("keelmark", "arrive"), Output(ids.SHADE, "data"), Input(ids.SHOWN, "data")
    )


def _follow_controls(app: Dash) -> None:
    for part in ("week", "channel", "group", "athlete", "weeks", "show"):
        app.clientside_callback(
            ClientsideFunction("keelmark", "choose"),
            Output(ids.ADDRESS, "search", allow_duplicate=True),
            Input(ids.control(part), "value"),
            State(ids.control(part), "id"),
            State(ids.ADDRESS, "search"),
            State(ids.SHOWN, "data"),
            prevent_initial_call=True,
        )
