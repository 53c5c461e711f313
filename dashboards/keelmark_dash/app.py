"""The app: one frame, five pages, every page a function of its address."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flask
from dash import ClientsideFunction, Dash, Input, Output, State, ctx, html
from flask_compress import Compress

from keelmark_dash import ids
from keelmark_dash.address import Address, settle
from keelmark_dash.pages import athlete, care, log, methods, squad
from keelmark_dash.parts.first_steps import first_steps
from keelmark_dash.parts.scope import remark
from keelmark_dash.parts.shell import navigation, shell
from keelmark_dash.readings import channels, groups, people
from keelmark_dash.theme import PALETTES, css_variables

__all__ = ["PAGES", "create_app"]

PAGES: tuple[tuple[str, str], ...] = (("/", "Squad"), ("/athlete", "Athlete"), ("/log", "Log"), ("/methods", "Methods"))

_INDEX = """<!DOCTYPE html>
<html lang="en">
<head>
{%metas%}
<title>{%title%}</title>
{%favicon%}
<style>__VARIABLES__</style>
<script>
(function () {
  let scheme = null;
  try { scheme = window.localStorage.getItem("mantine-color-scheme-value"); } catch (error) { scheme = null; }
  if (scheme !== "light" && scheme !== "dark") {
    scheme = window.matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  }
  document.documentElement.setAttribute("data-mantine-color-scheme", scheme);
})();
</script>
{%css%}
</head>
<body>
{%app_entry%}
{%config%}
{%scripts%}
{%renderer%}
</body>
</html>"""


def create_app(service: Any) -> Dash:
    """Build the pages over a squad's service.

    Parameters
    ----------
    service : Squad
        An open `keelmark.service.Squad`; pages ask it for everything and keep nothing themselves.

    Returns
    -------
    Dash
        The app; `app.server` is the WSGI application.
    """
    server = flask.Flask("keelmark_dash")
    server.config["COMPRESS_MIMETYPES"] = [
        "text/html", "text/css", "application/json", "application/javascript", "text/javascript", "image/svg+xml",
    ]  # fmt: skip
    Compress(server)
    app = Dash(
        "keelmark_dash",
        server=server,
        title="keelmark",
        update_title="",
        pages_folder="",
        serve_locally=True,
        suppress_callback_exceptions=True,
        enable_mcp=False,
        meta_tags=[
            {"name": "viewport", "content": "width=device-width, initial-scale=1"},
            {"name": "theme-color", "content": PALETTES["light"]["paper"]},
            {"name": "description", "content": "What a squad's backs, hips, hands and tendons did, week by week."},
        ],
        index_string=_INDEX.replace("__VARIABLES__", css_variables()),
    )
    app.layout = shell(PAGES)
    _route(app, service)
    _controls(app)
    for page in (squad, athlete, log, methods):
        page.register(app, service)
    return app


def _route(app: Dash, service: Any) -> None:
    @app.callback(
        Output(ids.MAIN, "children"),
        Output(ids.PAGES, "children"),
        Output(ids.TITLE, "data"),
        Input(ids.ADDRESS, "pathname"),
        Input(ids.ADDRESS, "search"),
        Input(ids.WRITTEN, "data"),
    )
    def _show(path: str | None, search: str | None, written: dict[str, str] | None) -> tuple[Any, Any, str]:
        content, menu, title = page_at(service, path or "/", search or "")
        if written and ctx.triggered_id == ids.WRITTEN:
            content.insert(0, remark(written["said"], tone=written.get("tone", "done")))
        return content, menu, title

    app.clientside_callback(
        ClientsideFunction("keelmark", "arrive"), Output(ids.SHADE, "data"), Input(ids.TITLE, "data")
    )


def page_at(service: Any, path: str, search: str) -> tuple[list[Any], list[Any], str]:
    """Content, navigation and title of the page at an address."""
    season = service.season()
    asked = Address.parse(search)
    address, remarks = settle(
        asked,
        weeks=season.weeks,
        channels=channels(season),
        athletes=[key for (key,) in people(season).select("athlete_id").rows()],
        groups=groups(season),
    )
    builders: dict[str, tuple[str, Callable[[], list[Any]]]] = {
        "/": ("Squad", lambda: squad.layout(season, address)),
        "/athlete": ("Athlete", lambda: athlete.layout(season, address)),
        "/log": ("Log", lambda: log.layout(service, season, address)),
        "/methods": ("Methods", lambda: methods.layout(service)),
        "/care": ("Care cards", lambda: care.layout(asked)),
    }
    if path not in builders:
        title, content = "Not here", _not_here(path)
    elif path in ("/", "/athlete") and not season.weeks:
        title, content = "First steps", first_steps()
    else:
        title, build = builders[path]
        content = build()
    shown = [remark(words) for words in remarks] + content
    kept = asked.with_(rows=None, show=None, weeks=None)
    menu = navigation(PAGES, path, kept.search("week", "channel", "group"), kept.search())
    return shown, menu, f"{title} · keelmark"


def _not_here(path: str) -> list[Any]:
    return [html.H1("No such page"), html.P(f"There is no page at {path}. The pages stand at the top.")]


def _controls(app: Dash) -> None:
    for part in ("week", "channel", "group", "athlete", "weeks", "show"):
        app.clientside_callback(
            ClientsideFunction("keelmark", "choose"),
            Output(ids.ADDRESS, "search", allow_duplicate=True),
            Input(ids.control(part), "value"),
            State(ids.control(part), "id"),
            State(ids.ADDRESS, "search"),
            prevent_initial_call=True,
        )
