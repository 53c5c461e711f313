"""Who is asking: the person behind a request, by a signed cookie that names a session kept in the store."""

from __future__ import annotations

import secrets
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import flask
from flask_login import LoginManager, UserMixin, current_user, login_user, logout_user
from flask_wtf.csrf import CSRFProtect, generate_csrf

from keelmark.service.person import ATHLETE, EVERYBODY_HERE, Person

__all__ = ["Sessions", "csrf_cookie", "person_here"]

_LONGEST = timedelta(days=90)
_STEP = "step"


class _SignedIn(UserMixin):
    """Somebody with an open session, as Flask-Login wants to see them; the session's token stands for them."""

    def __init__(self, person: Person, token: str) -> None:
        self.person = person
        self.token = token

    def get_id(self) -> str:
        return self.token


def person_here() -> Person | None:
    """Who asks what is being answered now; None when nobody has signed in."""
    found: Person | None = flask.g.get("keelmark_person")
    return found


def csrf_cookie(*, secure: bool) -> str:
    """Name of the cookie with the token that pages send back; by TLS it can be set by this host only."""
    return "__Host-keelmark-token" if secure else "_csrf_token"


class Sessions:
    """Sessions of a server's visitors.

    Parameters
    ----------
    server : Flask
        Its cookies are signed from now on.
    accounts : Accounts or None
        The squad's accounts; None when the squad can have none.
    secure : bool
        Whether people reach the server by TLS; cookies are then sent by TLS only.
    """

    def __init__(self, server: flask.Flask, accounts: Any, *, secure: bool) -> None:
        self._accounts = accounts
        self._secure = secure
        server.config.update(
            SECRET_KEY=accounts.cookie_secret() if accounts is not None else secrets.token_bytes(32),
            SESSION_COOKIE_NAME="__Host-keelmark" if secure else "keelmark",
            SESSION_COOKIE_HTTPONLY=True,
            SESSION_COOKIE_SAMESITE="Lax",
            SESSION_COOKIE_SECURE=secure,
            SESSION_COOKIE_PATH="/",
            SESSION_REFRESH_EACH_REQUEST=False,
            PERMANENT_SESSION_LIFETIME=_LONGEST,
            WTF_CSRF_CHECK_DEFAULT=False,
            WTF_CSRF_TIME_LIMIT=None,
            WTF_CSRF_SSL_STRICT=False,
        )
        self.csrf = CSRFProtect(server)
        manager = LoginManager(server)
        manager.user_loader(self._load)
        server.after_request(self._hand_token)

    @property
    def needed(self) -> bool:
        """Whether people have to sign in here."""
        return self._accounts is not None and bool(self._accounts.exist)

    def settle(self) -> Person | None:
        """Find out who is asking, for the rest of this request."""
        if not self.needed:
            person: Person | None = EVERYBODY_HERE
        else:
            person = current_user.person if current_user.is_authenticated else None
        flask.g.keelmark_person = person
        return person

    def sign_in(self, token: str) -> Person:
        """Begin a session; whatever the browser held before is gone."""
        self.sign_out()
        person: Person = self._accounts.person(token)
        flask.session.permanent = person.role == ATHLETE
        login_user(_SignedIn(person, token))
        flask.g.keelmark_person = person
        return person

    def wait(self, token: str) -> None:
        """Remember a session that waits for another step; whatever the browser held before is gone."""
        self.sign_out()
        flask.session[_STEP] = token

    @property
    def waiting(self) -> str:
        """The token of the session that waits for another step; empty when there is none."""
        return str(flask.session.get(_STEP, ""))

    def sign_out(self) -> None:
        """End the session, here and in the store."""
        if current_user.is_authenticated:
            self._accounts.sign_out(current_user.token)
            logout_user()
        flask.session.clear()

    def acting(self, person: Person) -> AbstractContextManager[None]:
        """What is written from here on is written down as this person's doing."""
        held: AbstractContextManager[None] = self._accounts.acting(person)
        return held

    @property
    def token(self) -> str:
        """The token of the session of this request."""
        return str(current_user.token)

    def _load(self, token: str) -> _SignedIn | None:
        person = self._accounts.person(token) if self._accounts is not None else None
        return _SignedIn(person, token) if person is not None else None

    def _hand_token(self, answer: flask.Response) -> flask.Response:
        """Pages send this cookie back as a header, which no other site can do."""
        if self.needed and person_here() is not None and answer.mimetype == "text/html":
            name = csrf_cookie(secure=self._secure)
            answer.set_cookie(name, generate_csrf(), secure=self._secure, samesite="Strict", path="/")
        return answer
