"""Accounts of a squad: who signs in, how long that lasts, who is let in by a link, and who has looked at what."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta

from keelmark.contracts.errors import SettingError
from keelmark.service.account_rules import LONGEST_NAME, check_link, check_role, checked_name, name_key
from keelmark.service.passwords import check_new_password, hash_password, needs_renewal, verify_password
from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, PROGRAMMER, Person
from keelmark.store import Store, acting_as
from keelmark.store.access import Account, GuestLink, Look

__all__ = ["LIFETIMES", "TRIES", "WINDOW", "Accounts"]

LIFETIMES = {
    OWNER: (timedelta(hours=12), timedelta(days=7)),
    COACH: (timedelta(hours=12), timedelta(days=7)),
    PROGRAMMER: (timedelta(hours=12), timedelta(days=7)),
    ATHLETE: (timedelta(days=30), timedelta(days=90)),
    GUEST: (timedelta(hours=2), timedelta(days=1)),
}
"""How long a session lasts unused, and at most."""
TRIES = (5, 30, 60)
"""Wrong passwords within `WINDOW` for a name from one address, for a name, and from one address."""
WINDOW = timedelta(minutes=15)
_FORGET = timedelta(days=30)
_SEEN_EVERY = timedelta(minutes=5)


def _now() -> datetime:
    return datetime.now(UTC)


class Accounts:
    """The accounts kept in a store."""

    def __init__(self, store: Store, clock: Callable[[], datetime] = _now) -> None:
        self._store = store
        self._clock = clock
        self._wanted = False

    @property
    def exist(self) -> bool:
        """Whether there was ever an account here; from then on nobody comes in without one."""
        self._wanted = self._wanted or self._store.any_account()
        return self._wanted

    # Who has one

    def everybody(self) -> list[Account]:
        """Open accounts by name."""
        return self._store.accounts()

    def add(self, name: str, role: str, password: str, *, athlete_id: str | None = None) -> int:
        """Open an account; the first one has to be an owner's. Gives its key.

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
        check_new_password(password, shown, athlete_id or "")
        return self._store.add_account(shown, name_key(shown), role, athlete_id, hash_password(password))

    def named(self, name: str) -> Account:
        """The open account of a name.

        Raises
        ------
        SettingError
            When there is none.
        """
        found = self._store.account_named(name_key(name))
        if found is None:
            raise SettingError(
                f"there is no account called {name!r}",
                where="accounts",
                wanted="the name of an open account",
                remedy="see the names with: keelmark accounts list",
            )
        return found

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

    def reset(self, name: str, password: str) -> None:
        """Give an account another password; it is signed out everywhere."""
        found = self.named(name)
        check_new_password(password, found.name, found.athlete_id or "")
        self._store.set_password(found.account_id, hash_password(password))

    def change_password(self, person: Person, old: str, new: str, *, address: str, token: str) -> None:
        """Give oneself another password; one's other sessions end.

        Raises
        ------
        SettingError
            When the old password is wrong, was tried too often, or the new one does not fit.
        """
        account = self._store.account(person.account_id) if person.account_id is not None else None
        if account is None or not self._right(name_key(account.name), account, old, address):
            raise SettingError(
                "the present password is not right, or was tried too often",
                where="present password",
                wanted="the password that you signed in with",
                remedy="type it again, or wait a quarter of an hour",
            )
        check_new_password(new, account.name, account.athlete_id or "")
        self._store.set_password(account.account_id, hash_password(new), keep=_hashed(token))

    # Coming in

    def sign_in(self, name: str, password: str, *, address: str) -> str | None:
        """A new session's token, or None: the name, the password or the number of tries is not right.

        Parameters
        ----------
        name, password : str
            As typed.
        address : str
            Where the request came from.
        """
        key = name_key(name)[: 2 * LONGEST_NAME]
        account = self._store.account_named(key)
        if not self._right(key, account, password, address):
            return None
        assert account is not None
        if needs_renewal(account.password_hash):
            self._store.renew_hash(account.account_id, hash_password(password))
        return self._opened(account.role, account_id=account.account_id)

    def _right(self, key: str, account: Account | None, password: str, address: str) -> bool:
        now = self._clock()
        noted = self._store.begin_sign_in(key, address, since=now - WINDOW, forget=now - _FORGET, limits=TRIES)
        right = verify_password(account.password_hash if account else None, password)
        if noted is None or not right:
            return False
        self._store.sign_in_worked(noted)
        return True

    def _opened(self, role: str, *, account_id: int | None = None, link: GuestLink | None = None) -> str:
        token = secrets.token_urlsafe(32)
        ends_at = self._clock() + LIFETIMES[role][1]
        if link is not None:
            ends_at = min(ends_at, link.expires_at)
        self._store.open_session(
            _hashed(token), ends_at=ends_at, account_id=account_id, link_id=link.link_id if link else None
        )
        return token

    def person(self, token: str | None) -> Person | None:
        """Who a session's token stands for; None when it is unknown, over, or its account or link is closed."""
        if not token:
            return None
        hashed, now = _hashed(token), self._clock()
        session = self._store.session(hashed)
        if session is None or now >= session.ends_at:
            return None
        found = self._holder(session.account_id, session.link_id, now)
        if found is None or now - session.seen_at >= LIFETIMES[found.role][0]:
            return None
        if now - session.seen_at >= _SEEN_EVERY:
            self._store.session_seen(hashed)
        return found

    def _holder(self, account_id: int | None, link_id: int | None, now: datetime) -> Person | None:
        if account_id is not None:
            account = self._store.account(account_id)
            if account is None or account.closed_at is not None:
                return None
            return Person(account.name, account.role, account.athlete_id, key=f"account:{account_id}")
        link = self._store.guest_link(link_id=link_id) if link_id is not None else None
        if link is None or not _open(link, now):
            return None
        return Person(link.name, GUEST, link.athlete_id, frozenset(link.fields.split()), f"link:{link_id}")

    def sign_out(self, token: str) -> None:
        """End a session."""
        self._store.end_session(_hashed(token))

    def acting(self, person: Person) -> AbstractContextManager[None]:
        """What is written from here on is written down as this person's doing."""
        return acting_as(person.key)

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
            _hashed(token), athlete_id, shown, " ".join(sorted(chosen)), self._clock() + timedelta(days=days),
            made_by.account_id if made_by else None,
        )  # fmt: skip
        return token

    def link_behind(self, token: str) -> GuestLink | None:
        """The link of a token, while it opens something."""
        link = self._store.guest_link(token_hash=_hashed(token))
        return link if link is not None and _open(link, self._clock()) else None

    def follow(self, token: str) -> str | None:
        """Open a session with the token of a guest's link; None when the link is over or was never made."""
        link = self.link_behind(token)
        return self._opened(GUEST, link=link) if link is not None else None

    def links(self, athlete_id: str | None = None) -> list[GuestLink]:
        """Links that open something now, newest first."""
        now = self._clock()
        return [link for link in self._store.guest_links(athlete_id) if _open(link, now)]

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

    def cookie_secret(self) -> bytes:
        """What signs the cookies of this squad's pages, the same after the program starts again."""
        return self._store.secret("cookies", secrets.token_bytes(32))


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _open(link: GuestLink, now: datetime) -> bool:
    return link.withdrawn_at is None and now < link.expires_at
