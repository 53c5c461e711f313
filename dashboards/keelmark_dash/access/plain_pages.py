"""Pages that stand without the app: signing in and out, the account, guests' links, care cards, health."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

import flask

import keelmark
from keelmark.contracts.errors import KeelmarkError
from keelmark.contracts.words import SCOPE_LINE
from keelmark.service.passwords import SHORTEST
from keelmark.service.person import OWNER
from keelmark_dash import access_words as words
from keelmark_dash.access.accounts_page import open_accounts_page
from keelmark_dash.access.faults import refusal_page
from keelmark_dash.access.homes import home_of
from keelmark_dash.access.sessions import Sessions, person_here
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
    server.add_url_rule("/account", "account", plain.account, methods=["GET", "POST"])
    server.add_url_rule("/with/<token>", "guest_link", plain.guest_link, methods=["GET", "POST"])
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
        target = _inside(request.values.get("next", ""))
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
        person = self._sessions.sign_in(token)
        return flask.redirect(target or home_of(person), 303)

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

    def account(self) -> Any:
        """Who is signed in, another password, the way out."""
        person = person_here()
        if not self._sessions.needed or person is None:
            return flask.redirect("/")
        said, tone = "", "done"
        form = flask.request.form
        if flask.request.method == "POST":
            try:
                if form.get("new") != form.get("again"):
                    said, tone = words.NOT_THE_SAME, "refused"
                else:
                    self._service.accounts.change_password(
                        person, form.get("old", ""), form.get("new", ""),
                        address=flask.request.remote_addr or "unknown", token=self._sessions.token,
                    )  # fmt: skip
                    said = words.CHANGED
            except KeelmarkError as error:
                said, tone = f"Nothing was changed: {error.found}. What to do: {error.remedy}.", "refused"
        return flask.render_template(
            "account.html",
            title="Your account",
            person=person,
            role=words.ROLES_SAID[person.role],
            home=home_of(person),
            owner=person.role == OWNER,
            said=said,
            tone=tone,
            wanted=words.WANTED_PASSWORD.format(shortest=SHORTEST),
            shortest=SHORTEST,
        ), (400 if tone == "refused" else 200)

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


def _inside(target: str) -> str:
    """An address of these pages to go to after signing in; empty for anything else."""
    parts = urlsplit(target)
    plain = target.startswith("/") and not target.startswith(("//", "/\\")) and not parts.netloc and not parts.scheme
    return target if plain and target.isprintable() and not parts.path.startswith("/_") else ""
