"""Everybody's own account: who they are here, another password, the second step, and where they are signed in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import flask

from keelmark.contracts.errors import KeelmarkError, SettingError
from keelmark.service.code_app import code_picture
from keelmark.service.passwords import SHORTEST
from keelmark.service.person import OWNER, Person
from keelmark_dash import access_words as words
from keelmark_dash.access.homes import home_of
from keelmark_dash.access.sessions import Sessions, person_here

__all__ = ["open_account_page"]


def open_account_page(server: flask.Flask, service: Any, sessions: Sessions) -> None:
    """Add the page to a server."""
    server.add_url_rule("/account", "account", _AccountPage(service, sessions).answer, methods=["GET", "POST"])


@dataclass
class _Told:
    """What a page says above all else: words, recovery codes that are shown once, an app that waits to be paired."""

    said: str = ""
    tone: str = "done"
    codes: list[str] = field(default_factory=list)
    pairing: tuple[str, str] | None = None


class _AccountPage:
    """Each button is one form that says under `do` what it asks for; all but the first ask for the password again."""

    def __init__(self, service: Any, sessions: Sessions) -> None:
        self._service = service
        self._sessions = sessions
        self._asked: dict[str, Callable[[Person, Mapping[str, str]], _Told]] = {
            "password": self._password,
            "pair": self._pair,
            "confirm": self._confirm,
            "renew": self._renew,
            "unpair": self._unpair,
            "end": self._end,
        }

    def answer(self) -> Any:
        """The page, after what was asked for is done or refused."""
        person = person_here()
        if not self._sessions.needed or person is None:
            return flask.redirect("/")
        told, form = _Told(), flask.request.form
        if flask.request.method == "POST":
            try:
                told = self._asked[form.get("do", "password")](person, form)
            except KeyError:
                told = _Told("", "refused")
            except KeelmarkError as error:
                told = _Told(f"Nothing was changed: {error.found}. What to do: {error.remedy}.", "refused")
                if form.get("do") == "confirm" and person.account_id is not None:
                    told.pairing = self._service.accounts.pairing(person.account_id)
        return self._page(person, told), (400 if told.tone == "refused" else 200)

    # What can be asked for

    def _password(self, person: Person, form: Mapping[str, str]) -> _Told:
        if form.get("new") != form.get("again"):
            return _Told(words.NOT_THE_SAME, "refused")
        self._service.accounts.change_password(
            person, form.get("old", ""), form.get("new", ""), address=_address(), token=self._sessions.token
        )
        return _Told(words.CHANGED)

    def _pair(self, person: Person, form: Mapping[str, str]) -> _Told:
        pairing = self._service.accounts.begin_pairing(person, form.get("old", ""), address=_address())
        return _Told(pairing=pairing)

    def _confirm(self, person: Person, form: Mapping[str, str]) -> _Told:
        codes = self._service.accounts.confirm_pairing(
            person, form.get("code", ""), address=_address(), token=self._sessions.token
        )
        return _Told(words.PAIRED, codes=codes)

    def _renew(self, person: Person, form: Mapping[str, str]) -> _Told:
        codes = self._service.accounts.renew_recovery_codes(person, form.get("old", ""), address=_address())
        return _Told(words.CODES_RENEWED, codes=codes)

    def _unpair(self, person: Person, form: Mapping[str, str]) -> _Told:
        self._service.accounts.unpair(person, form.get("old", ""), address=_address(), token=self._sessions.token)
        return _Told(words.UNPAIRED)

    def _end(self, person: Person, form: Mapping[str, str]) -> _Told:
        accounts, mark = self._service.accounts, form.get("session", "")
        accounts.own_account(person, form.get("old", ""), address=_address())
        known = {one for one, _, here in accounts.sessions(person, self._sessions.token) if not here}
        if mark and mark not in known:
            raise SettingError(
                "that sign-in is over already",
                where="sign-ins",
                wanted="one of the list",
                remedy="look at the list again",
            )
        accounts.end_session(person, mark, token=self._sessions.token)
        return _Told(words.SESSIONS_ENDED)

    # What stands on it

    def _page(self, person: Person, told: _Told) -> str:
        accounts = self._service.accounts
        paired = person.account_id is not None and accounts.has_second_step(person.account_id)
        return flask.render_template(
            "account.html",
            title="Your account",
            person=person,
            role=words.ROLES_SAID[person.role],
            home=home_of(person),
            owner=person.role == OWNER,
            told=told,
            words=words,
            picture=code_picture(told.pairing[1]) if told.pairing else "",
            paired=paired,
            demanded=person.role in accounts.demanded_of(),
            left=accounts.recovery_codes_left(person),
            sessions=accounts.sessions(person, self._sessions.token),
            wanted=words.WANTED_PASSWORD.format(shortest=SHORTEST),
            shortest=SHORTEST,
        )


def _address() -> str:
    return flask.request.remote_addr or "unknown"
