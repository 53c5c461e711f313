"""Coming in: a password, then whatever else an account wants, and the session that follows from it."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta

from keelmark.contracts.errors import SettingError
from keelmark.service.account_rules import LONGEST_NAME, name_key
from keelmark.service.code_app import code_number, recovery_hash
from keelmark.service.passwords import check_new_password, hash_password, needs_renewal, verify_password
from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, PROGRAMMER, ROLES, Person
from keelmark.service.sealing import Seal, seal_of_this_machine
from keelmark.store import Store, acting_as
from keelmark.store.access import Account, GuestLink, OpenSession

__all__ = [
    "CODE", "DEMANDED", "LIFETIMES", "PAIR", "PASSWORD", "SESSIONS", "TRIES", "WAITING", "WINDOW", "SigningIn",
    "hashed", "link_opens",
]  # fmt: skip

LIFETIMES = {
    OWNER: (timedelta(hours=12), timedelta(days=7)),
    COACH: (timedelta(hours=12), timedelta(days=7)),
    PROGRAMMER: (timedelta(hours=12), timedelta(days=7)),
    ATHLETE: (timedelta(days=30), timedelta(days=90)),
    GUEST: (timedelta(hours=2), timedelta(days=1)),
}
"""How long a session lasts unused, and at most."""
SESSIONS = 10
"""How many sessions an account may have at once; the one unused for longest ends when another begins."""
TRIES = (5, 30, 60)
"""Wrong passwords and codes within `WINDOW` for a name from one address, for a name, and from one address."""
WINDOW = timedelta(minutes=15)
WAITING = timedelta(minutes=10)
"""How long somebody who has given the right password has for the steps after it."""
CODE, PASSWORD, PAIR = "code", "password", "pair"
"""What may come after the password: a code, a password of one's own, an app to be paired for the first time."""
_FORGET = timedelta(days=30)
_SEEN_EVERY = timedelta(minutes=5)
DEMANDED = "second_step"
"""Key of the setting that says of which roles a second step is demanded."""


def _now() -> datetime:
    return datetime.now(UTC)


class SigningIn:
    """The part of a squad's accounts that lets people in."""

    def __init__(self, store: Store, clock: Callable[[], datetime] = _now, seal: Seal | None = None) -> None:
        self._store = store
        self._clock = clock
        self._wanted = False
        self._sealed_by = seal

    @property
    def _seal(self) -> Seal:
        if self._sealed_by is None:
            self._sealed_by = seal_of_this_machine()
        return self._sealed_by

    @property
    def exist(self) -> bool:
        """Whether there was ever an account here; from then on nobody comes in without one."""
        self._wanted = self._wanted or self._store.any_account()
        return self._wanted

    def sign_in(self, name: str, password: str, *, address: str) -> str | None:
        """A new session's token, or None: the name, the password or the number of tries is not right.

        The session may wait for something yet, see `waits_for`; it opens nothing until then.

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
        if account.password_until is not None and account.password_until <= self._clock():
            return None
        if needs_renewal(account.password_hash):
            self._store.renew_hash(account.account_id, hash_password(password))
        return self._opened_as_far(account, CODE)

    def _right(self, key: str, account: Account | None, password: str, address: str) -> bool:
        noted = self._noted(key, address)
        right = verify_password(account.password_hash if account else None, password)
        if noted is None or not right:
            return False
        self._store.sign_in_worked(noted)
        return True

    def _noted(self, key: str, address: str) -> int | None:
        """Note a try before it is looked at; None when there were too many."""
        now = self._clock()
        return self._store.begin_sign_in(key, address, since=now - WINDOW, forget=now - _FORGET, limits=TRIES)

    def _opened_as_far(self, account: Account, step: str) -> str:
        """A session that waits for `step` or, where that is not wanted of the account, for one after it."""
        steps = (CODE, PASSWORD, PAIR)
        wanted = {
            CODE: self.has_second_step(account.account_id),
            PASSWORD: account.password_until is not None,
            PAIR: account.role in self.demanded_of() and not self.has_second_step(account.account_id),
        }
        waits_for = next((one for one in steps[steps.index(step) :] if wanted[one]), None)
        return self._opened(account.role, account_id=account.account_id, waits_for=waits_for)

    def _opened(
        self, role: str, *, account_id: int | None = None, link: GuestLink | None = None, waits_for: str | None = None
    ) -> str:
        token = secrets.token_urlsafe(32)
        ends_at = self._clock() + (LIFETIMES[role][1] if waits_for is None else WAITING)
        if link is not None:
            ends_at = min(ends_at, link.expires_at)
        self._store.open_session(
            hashed(token), ends_at=ends_at, account_id=account_id, link_id=link.link_id if link else None,
            waits_for=waits_for, most=SESSIONS,
        )  # fmt: skip
        return token

    # What comes after the password

    def demanded_of(self) -> frozenset[str]:
        """Roles that cannot come in without a second step."""
        return frozenset(self._store.settings().get(DEMANDED, ()))

    def has_second_step(self, account_id: int) -> bool:
        """Whether an account has a second step that counts."""
        held = self._store.second_step(account_id)
        return held is not None and held.confirmed_at is not None

    def waits_for(self, token: str | None) -> str | None:
        """What a session waits for before it opens anything; None when it waits for nothing or is over."""
        found = self._waiting(token)
        return None if found is None else found[0].waits_for

    def pass_code(self, token: str, code: str, *, address: str) -> str | None:
        """Hand in a code of the app or a recovery code: another token, or None when it is not right.

        Wrong codes count as wrong passwords do, and after `TRIES` of them not even the right one is taken.
        """
        found = self._waiting(token, CODE)
        if found is None or not self._right_code(found[1], code, address):
            return None
        self._store.end_session(hashed(token))
        return self._opened_as_far(found[1], PASSWORD)

    def choose_password(self, token: str, new: str) -> str | None:
        """Put one's own password in place of a first one: another token, or None when the session is over.

        Raises
        ------
        SettingError
            When the new one does not fit, or is the first one again.
        """
        found = self._waiting(token, PASSWORD)
        if found is None:
            return None
        account = found[1]
        if verify_password(account.password_hash, new):
            raise SettingError(
                "it is the first password again",
                where="new password",
                wanted="a password that only you know",
                remedy="choose another one",
            )
        self._check_new(new, account.name, account.athlete_id)
        self._store.set_password(account.account_id, hash_password(new))
        return self._opened_as_far(account, PAIR)

    def waiting_account(self, token: str, step: str) -> Account | None:
        """Whose session waits for a step."""
        found = self._waiting(token, step)
        return None if found is None else found[1]

    def _waiting(self, token: str | None, step: str | None = None) -> tuple[OpenSession, Account] | None:
        session = self._store.session(hashed(token)) if token else None
        if session is None or session.waits_for is None or session.account_id is None:
            return None
        if self._clock() >= session.ends_at or (step is not None and session.waits_for != step):
            return None
        account = self._store.account(session.account_id)
        return None if account is None or account.closed_at is not None else (session, account)

    def _right_code(self, account: Account, code: str, address: str) -> bool:
        noted = self._noted(name_key(account.name), address)
        if noted is None:
            return False
        right = self._app_code_is_right(account.account_id, code) or self._store.use_recovery_code(
            account.account_id, recovery_hash(code[:100])
        )
        if right:
            self._store.sign_in_worked(noted)
        return right

    def _app_code_is_right(self, account_id: int, code: str) -> bool:
        held = self._store.second_step(account_id)
        if held is None:
            return False
        secret = self._seal.open(held.secret).decode()
        number = code_number(secret, code[:20], self._clock(), after=held.last_used)
        return number is not None and self._store.use_code(account_id, number)

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

    def own_account(self, person: Person, password: str, *, address: str) -> Account:
        """One's own account, once the password has been given again.

        Raises
        ------
        SettingError
            When the password is not right or was tried too often.
        """
        account = self._store.account(person.account_id) if person.account_id is not None else None
        if account is None or not self._right(name_key(account.name), account, password, address):
            raise SettingError(
                "the present password is not right, or was tried too often",
                where="present password",
                wanted="the password that you signed in with",
                remedy="type it again, or wait a quarter of an hour",
            )
        return account

    def _check_new(self, password: str, account_name: str, athlete_id: str | None) -> None:
        """Refuse a password that is guessed quickly by whoever knows the person or the squad."""
        people = self._store.athletes()
        near = {*people["name"].to_list(), *people["group"].drop_nulls().unique().to_list(), *ROLES}
        near |= {one.name for one in self._store.accounts()}
        check_new_password(password, account_name, athlete_id or "", *sorted(near))

    # Sessions

    def person(self, token: str | None) -> Person | None:
        """Who a session's token stands for; None when it is unknown, waits or is over, or what it is of is closed."""
        if not token:
            return None
        kept, now = hashed(token), self._clock()
        session = self._store.session(kept)
        if session is None or session.waits_for is not None or now >= session.ends_at:
            return None
        found = self._holder(session.account_id, session.link_id, now)
        if found is None or now - session.seen_at >= LIFETIMES[found.role][0]:
            return None
        if now - session.seen_at >= _SEEN_EVERY:
            self._store.session_seen(kept)
        return found

    def _holder(self, account_id: int | None, link_id: int | None, now: datetime) -> Person | None:
        if account_id is not None:
            account = self._store.account(account_id)
            if account is None or account.closed_at is not None:
                return None
            return Person(account.name, account.role, account.athlete_id, key=f"account:{account_id}")
        link = self._store.guest_link(link_id=link_id) if link_id is not None else None
        if link is None or not link_opens(link, now):
            return None
        return Person(link.name, GUEST, link.athlete_id, frozenset(link.fields.split()), f"link:{link_id}")

    def sign_out(self, token: str) -> None:
        """End a session."""
        self._store.end_session(hashed(token))

    def acting(self, person: Person) -> AbstractContextManager[None]:
        """What is written from here on is written down as this person's doing."""
        return acting_as(person.key)

    def sessions(self, person: Person, token: str) -> list[tuple[str, OpenSession, bool]]:
        """One's open sessions, those used last first: a mark for each, the session, and whether it is this one."""
        if person.account_id is None:
            return []
        lasting, now = LIFETIMES[person.role][0], self._clock()
        return [
            (_mark(one), one, one.token_hash == hashed(token))
            for one in self._store.sessions_of(person.account_id)
            if one.waits_for is None and now - one.seen_at < lasting
        ]

    def end_session(self, person: Person, mark: str, *, token: str) -> None:
        """End one of one's own sessions by its mark; without a mark all but the present one."""
        if person.account_id is None:
            return
        if not mark:
            self._store.end_sessions_of(person.account_id, keep=hashed(token))
        for one in self._store.sessions_of(person.account_id):
            if mark and _mark(one) == mark:
                self._store.end_session(one.token_hash)


def link_opens(link: GuestLink, now: datetime) -> bool:
    """Whether a guest's link opens something."""
    return link.withdrawn_at is None and now < link.expires_at


def hashed(token: str) -> str:
    """A token as it is kept."""
    return hashlib.sha256(token.encode()).hexdigest()


def _mark(session: OpenSession) -> str:
    return session.token_hash[:16]
