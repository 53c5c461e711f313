"""The owner's page of accounts: who comes in and as what, other roles and passwords, second steps, links for guests."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import flask

from keelmark.contracts.errors import KeelmarkError
from keelmark.service.accounts import FIRST_PASSWORD
from keelmark.service.passwords import SHORTEST, first_password
from keelmark.service.person import ATHLETE, COACH, GUEST_FIELDS, OWNER, PROGRAMMER, ROLE_WORDS, Person
from keelmark_dash import access_words as words
from keelmark_dash.access.sessions import Sessions, person_here

__all__ = ["open_accounts_page"]

_CHOICE = (COACH, PROGRAMMER, ATHLETE, OWNER)
_DAYS = 7


def open_accounts_page(server: flask.Flask, service: Any, sessions: Sessions) -> None:
    """Add the page to a server."""
    page = _AccountsPage(service, sessions)
    server.add_url_rule("/accounts", "accounts", page.answer, methods=["GET", "POST"])


@dataclass(frozen=True)
class _Told:
    """What was done or refused; `shown` is a label and a secret that is shown this once."""

    said: str = ""
    tone: str = "done"
    shown: tuple[str, str] | None = None


class _AccountsPage:
    """Lists accounts and links; each button is one form that says under `do` what it asks for."""

    def __init__(self, service: Any, sessions: Sessions) -> None:
        self._service = service
        self._sessions = sessions
        self._asked: dict[str, Callable[[Mapping[str, str]], _Told]] = {
            "add": self._add,
            "role": self._role,
            "reset": self._reset,
            "close": self._close,
            "unpair": self._unpair,
            "demand": self._demand,
            "invite": self._invite,
            "withdraw": self._withdraw,
        }

    def answer(self) -> Any:
        """The page, after what was asked for is done or refused."""
        if getattr(self._service, "accounts", None) is None:
            return flask.redirect("/")
        first, told = not self._sessions.needed, _Told()
        if flask.request.method == "POST":
            if first:
                self._sessions.csrf.protect()
            form = flask.request.form
            asked = self._first if first else self._asked.get(form.get("do", ""), _nothing)
            try:
                told = asked(form)
            except KeelmarkError as error:
                told = _Told(f"Nothing was changed: {error.found}. What to do: {error.remedy}.", "refused")
            if first and told.tone == "done":
                return flask.redirect("/sign-in?next=/accounts", 303)
        return self._page(told), (400 if told.tone == "refused" else 200)

    # What can be asked for

    def _first(self, form: Mapping[str, str]) -> _Told:
        name = form.get("name", "")
        self._service.accounts.add(name, OWNER, form.get("password", ""))
        return _Told(words.ACCOUNT_ADDED.format(name=name))

    def _add(self, form: Mapping[str, str]) -> _Told:
        name, password = form.get("name", ""), first_password()
        self._service.accounts.add(
            name, form.get("role", ""), password, athlete_id=form.get("athlete") or None, handed_over=True
        )
        return _first_password(" ".join(name.split()), password)

    def _role(self, form: Mapping[str, str]) -> _Told:
        name = form.get("name", "")
        self._service.accounts.change_role(name, form.get("role", ""), athlete_id=form.get("athlete") or None)
        return _Told(words.ROLE_CHANGED.format(name=name))

    def _reset(self, form: Mapping[str, str]) -> _Told:
        name, password = form.get("name", ""), first_password()
        self._service.accounts.reset(name, password, handed_over=True)
        return _first_password(name, password)

    def _unpair(self, form: Mapping[str, str]) -> _Told:
        name = form.get("name", "")
        self._service.accounts.unpair_account(name)
        return _Told(words.APP_TAKEN_AWAY.format(name=name))

    def _demand(self, form: Mapping[str, str]) -> _Told:
        self._service.accounts.demand([role for role in _CHOICE if form.get(f"of-{role}")], by=person_here())
        return _Told(words.SECOND_STEP_SET)

    def _close(self, form: Mapping[str, str]) -> _Told:
        name = form.get("name", "")
        self._service.accounts.close(name)
        return _Told(words.ACCOUNT_CLOSED.format(name=name))

    def _invite(self, form: Mapping[str, str]) -> _Told:
        days = form.get("days", "")
        fields = [field for field in GUEST_FIELDS if form.get(f"field-{field}")]
        token = self._service.accounts.invite(
            form.get("name", ""), form.get("athlete", ""), fields, int(days) if days.isdecimal() else 0,
            made_by=person_here(),
        )  # fmt: skip
        return _Told(words.LINK_MADE, shown=("Address of the link", f"{flask.request.host_url}with/{token}"))

    def _withdraw(self, form: Mapping[str, str]) -> _Told:
        link = form.get("link", "")
        if link.isdecimal():
            self._service.accounts.withdraw(int(link))
        return _Told(words.LINK_WITHDRAWN)

    # What stands on it

    def _page(self, told: _Told) -> str:
        accounts = self._service.accounts
        everybody = accounts.everybody() if self._sessions.needed else []
        people = self._service.season().athletes.sort("name").select("athlete_id", "name").rows()
        names, person = dict(people), person_here()
        asked = flask.request.values.get("of", "")
        chosen = next((one for one in everybody if str(one.account_id) == asked and not _self(one, person)), None)
        return flask.render_template(
            "accounts.html",
            title="Accounts",
            words=words,
            told=told,
            paired=accounts.paired() if self._sessions.needed else set(),
            demanded=accounts.demanded_of(),
            first=not self._sessions.needed,
            rows=[(one, names.get(one.athlete_id, one.athlete_id or ""), _self(one, person)) for one in everybody],
            chosen=chosen,
            links=[(one, names.get(one.athlete_id, one.athlete_id)) for one in accounts.links()],
            people=people,
            free=[one for one in people if one[0] not in {account.athlete_id for account in everybody}],
            roles=[(role, ROLE_WORDS[role]) for role in _CHOICE],
            fields=GUEST_FIELDS.items(),
            days=_DAYS,
            shortest=SHORTEST,
            wanted=words.WANTED_PASSWORD.format(shortest=SHORTEST),
        )


def _nothing(_form: Mapping[str, str]) -> _Told:
    return _Told()


def _first_password(name: str, password: str) -> _Told:
    said = words.FIRST_PASSWORD_MADE.format(name=name, days=FIRST_PASSWORD.days)
    return _Told(said, shown=(f"First password of {name}", password))


def _self(account: Any, person: Person | None) -> bool:
    return person is not None and person.account_id == account.account_id
