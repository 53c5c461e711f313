"""Pages that stand without the app: signing in and out, guests' links, care cards, health."""

from __future__ import annotations

from typing import Any

import flask

import keelmark
from keelmark.contracts.errors import KeelmarkError
from keelmark.contracts.words import SCOPE_LINE
from keelmark_dash import access_words as words
from keelmark_dash.access.account_page import open_account_page
from keelmark_dash.access.accounts_page import open_accounts_page
from keelmark_dash.access.faults import refusal_page
from keelmark_dash.access.homes import home_of
from keelmark_dash.access.sessions import Sessions, person_here
from keelmark_dash.access.steps import go_on, inside, open_steps
from keelmark_dash.care_words import READ_ONLY, cards
from keelmark_dash.document import SCHEME_SCRIPT
from keelmark_dash.parts.shell import BRAND_MARK
from keelmark_dash.theme import css_variables

__all__ = ["open_plain_pages"]


def open_plain_pages(server: flask.Flask, service: Any, sessions: Sessions) -> None:
    """Add the plain pages to a server."""
    plain = _PlainPages(service, sessions)
    server.context_processor(_frame)
    server.add_url_rule("/health", "health", plain.health)
    server.add_url_rule("/sign-in", "sign_in", plain.sign_in, methods=["GET", "POST"])
    server.add_url_rule("/sign-out", "sign_out", plain.sign_out, methods=["POST"])
    server.add_url_rule("/with/<token>", "guest_link", plain.guest_link, methods=["GET", "POST"])
    open_steps(server, service, sessions)
    open_account_page(server, service, sessions)
    open_accounts_page(server, service, sessions)
    server.before_request(plain.care_before_signing_in)


def _frame() -> dict[str, str]:
    return {
        "variables": css_variables(),
        "scheme": SCHEME_SCRIPT,
        "mark": BRAND_MARK,
        "scope": SCOPE_LINE,
        "served": words.SERVED,
    }


class _PlainPages:
    def __init__(self, service: Any, sessions: Sessions) -> None:
        self._service = service
        self._sessions = sessions

    def health(self) -> Any:
        """Whether the server and its store answer; nothing about anybody."""
        try:
            sound = self._service.settings() is not None
        except KeelmarkError:
            sound = False
        told = {"status": "ok" if sound else "the store does not answer", "version": keelmark.__version__}
        return flask.make_response(flask.jsonify(told), 200 if sound else 503)

    def care_before_signing_in(self) -> Any:
        """The care cards, for somebody who has not signed in."""
        request = flask.request
        if not self._sessions.needed or person_here() is not None or request.path != "/care":
            return None
        asked = request.args.get("show", "now")
        shown = sorted(cards(self._service.settings().get("country")), key=lambda card: card.key != asked)
        return flask.render_template("care.html", title="Care cards", cards=shown, read_only=READ_ONLY)

    def sign_in(self) -> Any:
        """The form, and what becomes of it."""
        request = flask.request
        target = inside(request.values.get("next", ""))
        if not self._sessions.needed:
            return flask.redirect(target or "/")
        if request.method == "GET":
            person = person_here()
            return flask.redirect(target or home_of(person)) if person else self._form("", "", target)
        name = request.form.get("name", "")[:120]
        token = self._service.accounts.sign_in(
            name, request.form.get("password", "")[:512], address=request.remote_addr or "unknown"
        )
        if token is None:
            return flask.make_response(self._form(words.NOT_RIGHT, name, target), 401)
        return go_on(self._service.accounts, self._sessions, token, target)

    def _form(self, refused: str, name: str, target: str) -> str:
        return flask.render_template(
            "sign_in.html", title="Sign in", refused=refused, name=name, next=target, forgotten=words.FORGOTTEN
        )

    def sign_out(self) -> Any:
        """End the session, and have the browser forget what it keeps of these pages."""
        if self._sessions.needed:
            self._sessions.sign_out()
        answer = flask.redirect("/sign-in", 303)
        answer.headers["Clear-Site-Data"] = '"cache", "storage"'
        return answer

    def guest_link(self, token: str) -> Any:
        """A button first: programs that look at links in messages open nothing."""
        if not self._sessions.needed:
            return refusal_page(404)
        if flask.request.method == "POST":
            opened = self._service.accounts.follow(token)
            if opened is not None:
                return flask.redirect(home_of(self._sessions.sign_in(opened)), 303)
        link = self._service.accounts.link_behind(token)
        if link is None:
            page = flask.render_template("guest.html", title="This link is over", words=words.LINK_IS_OVER, open=False)
            return flask.make_response(page, 404)
        until = link.expires_at.strftime("%d %B %Y").lstrip("0")
        return flask.render_template(
            "guest.html",
            title=f"For {link.name}",
            words=words.LINK_OPENS.format(until=until),
            open=True,
            action=f"/with/{token}",
        )
