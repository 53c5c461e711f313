"""Accounts of a squad: who signs in, how long that lasts, who is let in by a link, and who has looked at what."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from datetime import datetime, timedelta

from keelmark.contracts.errors import SettingError
from keelmark.service.account_rules import check_link, check_role, checked_name, name_key
from keelmark.service.passwords import hash_password
from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, Person
from keelmark.service.second_steps import SecondSteps
from keelmark.service.signing_in import hashed, link_opens
from keelmark.store.access import Account, GuestLink, Look

__all__ = ["FIRST_PASSWORD", "Accounts"]

_COOKIES = "cookies"
FIRST_PASSWORD = timedelta(days=7)
"""How long a first password opens the way to one's own."""


class Accounts(SecondSteps):
    """The accounts kept in a store."""

    # Who has one

    def everybody(self) -> list[Account]:
        """Open accounts by name."""
        return self._store.accounts()

    def add(
        self, name: str, role: str, password: str, *, athlete_id: str | None = None, handed_over: bool = False
    ) -> int:
        """Open an account; the first one has to be an owner's. Gives its key.

        A password that is `handed_over` is known to somebody else: it lasts for `FIRST_PASSWORD`, and whoever signs in
        with it has to choose another.

        Raises
        ------
        SettingError
            When the name, role, athlete or password does not fit.
        StoreError
            When the name is taken or the athlete is not in the squad.
        """
        shown = checked_name(name)
        check_role(role, athlete_id)
        if role != OWNER and not self._store.any_account():
            raise SettingError(
                "there is no account yet",
                where="accounts",
                wanted="an owner first, who can open all others",
                remedy="add the owner: keelmark accounts add NAME --role owner",
            )
        self._check_new(password, shown, athlete_id)
        return self._store.add_account(
            shown, name_key(shown), role, athlete_id, hash_password(password), self._first_until(handed_over)
        )

    def _first_until(self, handed_over: bool) -> datetime | None:
        return self._clock() + FIRST_PASSWORD if handed_over else None

    def close(self, name: str) -> None:
        """Close an account; the last owner's stays open."""
        found = self.named(name)
        self._keep_an_owner(found)
        self._store.close_account(found.account_id)

    def change_role(self, name: str, role: str, *, athlete_id: str | None = None) -> None:
        """Give an account another role; it is signed out everywhere. The last owner stays one.

        Raises
        ------
        SettingError
            When there is no such account, the role and athlete do not fit, or it is the last owner's.
        StoreError
            When the athlete is not in the squad.
        """
        found = self.named(name)
        check_role(role, athlete_id)
        if role != OWNER:
            self._keep_an_owner(found)
        self._store.set_role(found.account_id, role, athlete_id)

    def _keep_an_owner(self, leaving: Account) -> None:
        if leaving.role == OWNER and sum(account.role == OWNER for account in self.everybody()) == 1:
            raise SettingError(
                f"{leaving.name} is the only owner",
                where="accounts",
                wanted="one owner at least",
                remedy="add another owner first",
            )

    def reset(self, name: str, password: str, *, handed_over: bool = False) -> None:
        """Give an account another password; it is signed out everywhere. See `add` for `handed_over`."""
        found = self.named(name)
        self._check_new(password, found.name, found.athlete_id)
        until = self._first_until(handed_over)
        self._store.set_password(found.account_id, hash_password(password), until=until)

    def change_password(self, person: Person, old: str, new: str, *, address: str, token: str) -> None:
        """Give oneself another password; one's other sessions end.

        Raises
        ------
        SettingError
            When the old password is wrong, was tried too often, or the new one does not fit.
        """
        account = self.own_account(person, old, address=address)
        self._check_new(new, account.name, account.athlete_id)
        self._store.set_password(account.account_id, hash_password(new), keep=hashed(token))

    # Guests

    def invite(
        self, name: str, athlete_id: str, fields: Iterable[str], days: int, *, made_by: Person | None = None
    ) -> str:
        """Make a link for a guest and give the token in it; it is shown once and kept as a hash only.

        Parameters
        ----------
        name : str
            Who the guest is, for the athlete to read.
        fields : iterable of str
            Keys of GUEST_FIELDS.
        days : int
            How long the link opens the page, in days.
        """
        shown, chosen = checked_name(name), set(fields)
        check_link(chosen, days)
        token = secrets.token_urlsafe(32)
        self._store.add_guest_link(
            hashed(token), athlete_id, shown, " ".join(sorted(chosen)), self._clock() + timedelta(days=days),
            made_by.account_id if made_by else None,
        )  # fmt: skip
        return token

    def link_behind(self, token: str) -> GuestLink | None:
        """The link of a token, while it opens something."""
        link = self._store.guest_link(token_hash=hashed(token))
        return link if link is not None and link_opens(link, self._clock()) else None

    def follow(self, token: str) -> str | None:
        """Open a session with the token of a guest's link; None when the link is over or was never made."""
        link = self.link_behind(token)
        return self._opened(GUEST, link=link) if link is not None else None

    def links(self, athlete_id: str | None = None) -> list[GuestLink]:
        """Links that open something now, newest first."""
        now = self._clock()
        return [link for link in self._store.guest_links(athlete_id) if link_opens(link, now)]

    def withdraw(self, link_id: int) -> None:
        """Take a guest's link back."""
        self._store.withdraw_guest_link(link_id)

    # Who has looked

    def note_look(self, person: Person, athletes: Iterable[str], what: str) -> None:
        """Note that somebody looked at athletes' health data; one's own is not noted."""
        others = [athlete for athlete in athletes if not (person.role == ATHLETE and person.athlete_id == athlete)]
        if others and person.key:
            today = self._clock().date()
            self._store.note_looks(others, person.key, person.name, person.role, what, today)

    def looks(self, athlete_id: str) -> list[Look]:
        """Who has looked at an athlete's health data, newest first."""
        return self._store.looks(athlete_id)

    def readers(self, athlete_id: str) -> list[tuple[str, str]]:
        """Names and roles of those who may read an athlete's health data now, the athlete left out."""
        found = [(one.name, one.role) for one in self.everybody() if one.role in (OWNER, COACH)]
        guests = [(one.name, GUEST) for one in self.links(athlete_id) if "complaints" in one.fields.split()]
        return found + guests

    # What signs and seals

    def cookie_secret(self) -> bytes:
        """What signs the cookies of this squad's pages, the same after the program starts again."""
        return self._seal.open(self._store.secret(_COOKIES, self._seal.close(secrets.token_bytes(32))))

    def renew_secrets(self) -> None:
        """Sign cookies with another secret and seal what apps were given with the present key.

        Everybody is signed out. Apps whose secret the present key does not open have to be paired again.
        """
        self._store.put_secret(_COOKIES, self._seal.close(secrets.token_bytes(32)))
        for account_id in sorted(self._store.confirmed_second_steps()):
            held = self._store.second_step(account_id)
            if held is None:
                continue
            try:
                secret = self._seal.open(held.secret)
            except SettingError:
                self._store.remove_second_step(account_id)
            else:
                self._store.seal_second_step(account_id, self._seal.close(secret))
