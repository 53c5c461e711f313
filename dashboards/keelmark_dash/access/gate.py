"""The one gate: every request passes here before anything answers it."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable, Iterable
from contextlib import ExitStack
from typing import Any
from urllib.parse import quote, urlsplit

import flask
from dash import Dash
from flask_wtf.csrf import CSRFError

from keelmark.service.person import Person
from keelmark_dash import access_words as words
from keelmark_dash.access.asked import athletes_named, page_asked
from keelmark_dash.access.callback_names import callback_names
from keelmark_dash.access.faults import refusal_page, tell_faults
from keelmark_dash.access.guarded_answers import guard_answers
from keelmark_dash.access.homes import home_of
from keelmark_dash.access.pace import COSTLY, Paces
from keelmark_dash.access.payloads import misfit
from keelmark_dash.access.plain_pages import open_plain_pages
from keelmark_dash.access.rules import ANYBODY, CALLBACKS, ENDPOINTS, PAGES
from keelmark_dash.access.sessions import Sessions

__all__ = ["LARGEST_FORM", "LARGEST_QUESTION", "guard"]

LARGEST_QUESTION = 72 * 1024 * 1024
"""An upload of 50 MB as a callback sends it, in bytes."""
LARGEST_FORM = 16 * 1024
_ASKING = "/_dash-update-component"
_READING = frozenset({"GET", "HEAD", "OPTIONS"})
_FILES = frozenset({
    "static", "_dash_assets.static", "/_favicon.ico",
    "/_dash-component-suites/<string:package_name>/<path:fingerprinted_path>",
})  # fmt: skip
_LOOPBACK_NAMES = frozenset({"localhost"})


def guard(app: Dash, service: Any, scripts: Callable[[], Iterable[str]], *, address: str | None = None) -> Sessions:
    """Set the gate before a server: who asks, from where, for what, and what every answer carries.

    Parameters
    ----------
    app : Dash
        The app; its server is guarded.
    service : Squad
        The squad whose accounts count.
    scripts : function
        Gives the hashes of the scripts that stand in the document, for the content security policy.
    address : str, optional
        The address by which people reach a proxy in front of this server; without it, this server itself.
    """
    server = app.server
    outside = urlsplit(address) if address else None
    secure = outside is not None and outside.scheme == "https"
    sessions = Sessions(server, getattr(service, "accounts", None), secure=secure)
    gate = _Gate(app, sessions, outside.netloc if outside else None)
    server.config["MAX_CONTENT_LENGTH"] = LARGEST_QUESTION
    server.before_request(gate.check)
    server.teardown_request(_no_longer_acting)
    tell_faults(server)
    open_plain_pages(server, service, sessions)
    guard_answers(server, scripts, secure=secure)
    return sessions


class _Gate:
    """Looks at each request once, in this order: name of the machine, origin, person, token, rule."""

    def __init__(self, app: Dash, sessions: Sessions, outside: str | None) -> None:
        self._app = app
        self._sessions = sessions
        self._outside = outside
        self._named: dict[str, str] = {}
        self._paces = Paces()

    def check(self) -> Any:
        """Nothing, when the request may pass; otherwise the answer that it gets instead."""
        request = flask.request
        flask.g.keelmark_person = None
        if not self._host_is_ours():
            return refusal_page(421)
        writing = request.method not in _READING
        if writing and not self._origin_is_ours():
            return refusal_page(403)
        person, asking = self._sessions.settle(), request.endpoint == _ASKING
        if not self._sessions.needed:
            return self._misfit() if asking else None
        if request.endpoint not in _FILES and not self._paces.all.admits(_visitor(person)):
            return refusal_page(429, words.TOO_FAST)
        if person is not None:
            flask.g.keelmark_acting = ExitStack()
            flask.g.keelmark_acting.enter_context(self._sessions.acting(person))
        rule = ENDPOINTS.get(request.endpoint or "")
        if person is None and (rule is None or not rule.admits(ANYBODY)):
            return None if request.method in _READING and request.path == "/care" else self._shut(None)
        if asking and not self._is_a_question():
            return refusal_page(400)
        if writing:
            if request.endpoint != "/_dash-update-component":
                request.max_content_length = LARGEST_FORM
            try:
                self._sessions.csrf.protect()
            except CSRFError:
                return refusal_page(403, "This page was open for too long. Load it again, then do the same once more.")
        refused = self._by_the_table(person)
        return self._misfit() if refused is None and asking else refused

    def _misfit(self) -> Any:
        """A refusal of a question that names no callback or whose values do not fit it; nothing when it may pass."""
        if not self._is_a_question():
            return refusal_page(400)
        question = flask.request.get_json()
        flask.g.keelmark_callback = self._name_of(question["output"])
        said = misfit(question, self._app.callback_map[question["output"]])
        return refusal_page(400, f"{said} Load the page again, then do the same once more.") if said else None

    def _is_a_question(self) -> bool:
        """Whether the body names a callback that the server answers; anything else never reaches Dash."""
        try:
            question = flask.request.get_json(silent=True)
        except RecursionError:
            return False
        output = question.get("output") if isinstance(question, dict) else None
        return isinstance(output, str) and self._name_of(output) is not None

    def _by_the_table(self, person: Person | None) -> Any:
        request, rule = flask.request, ENDPOINTS.get(flask.request.endpoint or "")
        if person is None:
            return None
        if rule is None or not rule.admits(person.role):
            return self._shut(person)
        if request.endpoint in ("/", "/<path:path>"):
            return self._page(person, request.path)
        if request.endpoint == "/_dash-update-component":
            return self._callback(person)
        return None if _concerns(person, athletes_named(request.args.to_dict(flat=False))) else self._shut(person)

    def _page(self, person: Person, path: str) -> Any:
        rule = PAGES.get(path)
        if path == "/" and rule is not None and not rule.admits(person.role, person.fields):
            return flask.redirect(home_of(person))
        if rule is not None and not rule.admits(person.role, person.fields):
            return self._shut(person)
        named = athletes_named(flask.request.args.to_dict(flat=False))
        return None if _concerns(person, named) else self._shut(person)

    def _callback(self, person: Person) -> Any:
        question = flask.request.get_json(silent=True)
        if not isinstance(question, dict):
            return refusal_page(400)
        name = flask.g.keelmark_callback = self._name_of(str(question.get("output")))
        rule = CALLBACKS.get(name or "")
        if rule is None or not rule.admits(person.role, person.fields):
            return self._shut(person)
        if name == "app:_show":
            page = PAGES.get(page_asked(question) or "")
            if page is not None and not page.admits(person.role, person.fields):
                return self._shut(person)
        values = [held.get("value") for held in _flat(question.get("inputs", []), question.get("state", []))]
        if not _concerns(person, athletes_named(values)):
            return self._shut(person)
        if name in COSTLY and not self._paces.costly.admits(_visitor(person)):
            return refusal_page(429, words.TOO_FAST)
        return None

    def _name_of(self, output: str) -> str | None:
        if not self._named:
            self._named = callback_names(self._app)
        return self._named.get(output)

    def _shut(self, person: Person | None) -> Any:
        if person is not None:
            return refusal_page(403)
        request = flask.request
        if request.method in _READING and request.endpoint in ("/", "/<path:path>", "account"):
            return flask.redirect(f"/sign-in?next={quote(request.full_path.rstrip('?'), safe='')}")
        return refusal_page(401)

    def _host_is_ours(self) -> bool:
        """Nobody can lend this machine another name, which would let their pages read it."""
        host = urlsplit(f"//{flask.request.host}").hostname or ""
        if self._outside is not None:
            return flask.request.host == self._outside or _is_loopback(host)
        return self._sessions.needed or _is_loopback(host)

    def _origin_is_ours(self) -> bool:
        request = flask.request
        origin = request.headers.get("Origin")
        if origin is not None:
            return urlsplit(origin).netloc == request.host and origin != "null"
        return request.headers.get("Sec-Fetch-Site", "same-origin") in ("same-origin", "none")


def _visitor(person: Person | None) -> str:
    return person.key if person is not None else f"from {flask.request.remote_addr}"


def _no_longer_acting(_error: BaseException | None) -> None:
    acting = flask.g.pop("keelmark_acting", None)
    if acting is not None:
        acting.close()


def _concerns(person: Person, named: Iterable[str]) -> bool:
    return all(person.concerns(athlete_id) for athlete_id in named)


def _flat(*lists: Any) -> Iterable[dict[str, Any]]:
    """Inputs and states of a question one by one; those of a wildcard come as lists."""
    for held in lists:
        if isinstance(held, list):
            yield from _flat(*held)
        elif isinstance(held, dict):
            yield held


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host in _LOOPBACK_NAMES
