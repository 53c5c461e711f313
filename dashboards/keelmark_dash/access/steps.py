"""What comes after the password, without any script: a code, a password of one's own, an app to be paired."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote, urlsplit

import flask

from keelmark.contracts.errors import KeelmarkError
from keelmark.service.code_app import code_picture
from keelmark.service.passwords import SHORTEST
from keelmark.service.signing_in import CODE, PAIR, PASSWORD
from keelmark_dash import access_words as words
from keelmark_dash.access.homes import home_of
from keelmark_dash.access.sessions import Sessions

__all__ = ["go_on", "inside", "open_steps"]

_TITLES = {CODE: "Your code", PASSWORD: "A password of your own", PAIR: "Pair an app"}


def open_steps(server: flask.Flask, service: Any, sessions: Sessions) -> None:
    """Add the page of the steps to a server."""
    server.add_url_rule("/sign-in/step", "sign_in_step", _Steps(service, sessions).answer, methods=["GET", "POST"])


def go_on(accounts: Any, sessions: Sessions, token: str, target: str) -> Any:
    """Lead somebody with a new session to its next step, or in."""
    if accounts.waits_for(token) is not None:
        sessions.wait(token)
        return flask.redirect(f"/sign-in/step?next={quote(target, safe='')}", 303)
    person = sessions.sign_in(token)
    return flask.redirect(target or home_of(person), 303)


def inside(target: str) -> str:
    """An address of these pages to go to after signing in; empty for anything else."""
    parts = urlsplit(target)
    plain = target.startswith("/") and not target.startswith(("//", "/\\")) and not parts.netloc and not parts.scheme
    return target if plain and target.isprintable() and not parts.path.startswith("/_") else ""


class _Steps:
    def __init__(self, service: Any, sessions: Sessions) -> None:
        self._service = service
        self._sessions = sessions

    def answer(self) -> Any:
        """The form of the step that is due, and what becomes of it."""
        request, token = flask.request, self._sessions.waiting
        target = inside(request.values.get("next", ""))
        step = self._service.accounts.waits_for(token) if self._sessions.needed and token else None
        if step is None:
            return flask.redirect(f"/sign-in?next={quote(target, safe='')}", 303)
        if request.method == "GET":
            return self._form(step, target)
        do = {CODE: self._code, PASSWORD: self._password, PAIR: self._pair}[step]
        return do(token, target, request.remote_addr or "unknown")

    def _code(self, token: str, target: str, address: str) -> Any:
        form = flask.request.form
        code = form.get("code", "") or form.get("recovery", "")
        onward = self._service.accounts.pass_code(token, code, address=address)
        if onward is None:
            return flask.make_response(self._form(CODE, target, words.CODE_NOT_RIGHT), 401)
        return go_on(self._service.accounts, self._sessions, onward, target)

    def _password(self, token: str, target: str, _address: str) -> Any:
        form = flask.request.form
        if form.get("new") != form.get("again"):
            return flask.make_response(self._form(PASSWORD, target, words.NOT_THE_SAME), 400)
        try:
            onward = self._service.accounts.choose_password(token, form.get("new", ""))
        except KeelmarkError as error:
            said = f"Nothing was changed: {error.found}. What to do: {error.remedy}."
            return flask.make_response(self._form(PASSWORD, target, said), 400)
        if onward is None:
            return flask.redirect("/sign-in", 303)
        return go_on(self._service.accounts, self._sessions, onward, target)

    def _pair(self, token: str, target: str, address: str) -> Any:
        done = self._service.accounts.pass_pairing(token, flask.request.form.get("code", ""), address=address)
        if done is None:
            return flask.make_response(self._form(PAIR, target, words.CODE_NOT_RIGHT), 401)
        onward, codes = done
        person = self._sessions.sign_in(onward)
        return flask.render_template(
            "recovery.html", title="Your recovery codes", codes=codes, words=words, onward=target or home_of(person)
        )

    def _form(self, step: str, target: str, refused: str = "") -> Any:
        pairing = self._service.accounts.sign_in_pairing(self._sessions.waiting) if step == PAIR else None
        return flask.render_template(
            "step.html",
            title=_TITLES[step],
            step=step,
            refused=refused,
            next=target,
            words=words,
            secret=pairing[0] if pairing else "",
            picture=code_picture(pairing[1]) if pairing else "",
            shortest=SHORTEST,
            wanted=words.WANTED_PASSWORD.format(shortest=SHORTEST),
        )
