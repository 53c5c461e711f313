"""Who may come in, read and written in this one file: accounts, sessions, guests' links, tries and looks.

No figure rests on any of it, so these writes leave the store's revision as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields
from datetime import date, datetime
from typing import Any

import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store import people
from keelmark.store import schema as tables
from keelmark.store.access_schema import access_secret, account, account_session, guest_link, look, sign_in
from keelmark.store.door import Door
from keelmark.store.engine import WRITE
from keelmark.store.faults import told_plainly
from keelmark.store.trail import written_down

__all__ = ["AccessRecords", "Account", "GuestLink", "Look", "OpenSession", "SignInTry"]


@dataclass(frozen=True, slots=True)
class Account:
    """One person who signs in; `athlete_id` binds an athlete's account to that athlete's rows.

    `password_until` is when a first password, which somebody else knows too, runs out; None for one's own.
    """

    account_id: int
    name: str
    role: str
    athlete_id: str | None
    password_hash: str
    created_at: datetime
    password_at: datetime
    closed_at: datetime | None
    password_until: datetime | None


@dataclass(frozen=True, slots=True)
class GuestLink:
    """A link that shows chosen fields of one athlete to a guest for a while."""

    link_id: int
    athlete_id: str
    name: str
    fields: str
    made_by: int | None
    created_at: datetime
    expires_at: datetime
    withdrawn_at: datetime | None


@dataclass(frozen=True, slots=True)
class OpenSession:
    """A session that somebody has opened, of an account or of a guest's link; `waits_for` names what is missing yet."""

    token_hash: str
    account_id: int | None
    link_id: int | None
    created_at: datetime
    seen_at: datetime
    ends_at: datetime
    waits_for: str | None


@dataclass(frozen=True, slots=True)
class SignInTry:
    """Somebody tried to sign in by a name."""

    created_at: datetime
    address: str
    worked: bool


@dataclass(frozen=True, slots=True)
class Look:
    """Somebody looked at an athlete's health data on a day."""

    athlete_id: str
    name: str
    role: str
    what: str
    day: date
    created_at: datetime


class AccessRecords(Door):
    """The part of a store that knows who may come in."""

    # Accounts

    def accounts(self, *, closed: bool = False) -> list[Account]:
        """Accounts by name; with `closed` those too that were closed."""
        query = _accounts().order_by(account.c.name_key, account.c.account_id)
        with self._reading() as connection:
            rows = connection.execute(query if closed else query.where(account.c.closed_at.is_(None))).all()
        return [Account(**row._mapping) for row in rows]

    def any_account(self) -> bool:
        """Whether an account was ever made; from then on nobody comes in without one."""
        with self._reading() as connection:
            return connection.execute(sa.select(account.c.account_id).limit(1)).first() is not None

    def account(self, account_id: int) -> Account | None:
        """The account of a key."""
        return self._account(account.c.account_id == account_id)

    def account_named(self, name_key: str) -> Account | None:
        """The open account of a folded name."""
        return self._account((account.c.name_key == name_key) & account.c.closed_at.is_(None))

    def add_account(
        self, name: str, name_key: str, role: str, athlete_id: str | None, password_hash: str,
        until: datetime | None = None,
    ) -> int:  # fmt: skip
        """Open an account; gives its key. `until` is when a first password runs out.

        Raises
        ------
        StoreError
            When the name is taken, or nobody of that key is in the squad.
        """
        with self._noting() as connection:
            if athlete_id is not None:
                people.refuse_unknown_people(connection, [athlete_id], where=f"account '{name}'")
            taken = (account.c.name_key == name_key) & account.c.closed_at.is_(None)
            if connection.execute(sa.select(account.c.account_id).where(taken)).first():
                raise StoreError(
                    f"there is an account called '{name}' already",
                    where="accounts",
                    wanted="a name that nobody here has",
                    remedy="choose another name, or close that account first",
                )
            said = {
                "name": name, "name_key": name_key, "role": role, "athlete_id": athlete_id,
                "password_hash": password_hash, "password_at": self._clock(), "password_until": until,
            }  # fmt: skip
            return int(self._append(connection, account, said))

    def set_password(
        self, account_id: int, password_hash: str, *, keep: str | None = None, until: datetime | None = None
    ) -> None:
        """Give an account another password and end its sessions, but for the one of the token hash `keep`."""
        mine = account.c.account_id == account_id
        with self._noting() as connection:
            said = {"password_hash": password_hash, "password_at": self._clock(), "password_until": until}
            connection.execute(account.update().where(mine).values(**said))
            others = account_session.c.account_id == account_id
            if keep is not None:
                others &= account_session.c.token_hash != keep
            connection.execute(account_session.delete().where(others))

    def set_role(self, account_id: int, role: str, athlete_id: str | None) -> None:
        """Give an account another role and end its sessions.

        Raises
        ------
        StoreError
            When nobody of that key is in the squad.
        """
        mine = account.c.account_id == account_id
        with self._noting() as connection:
            if athlete_id is not None:
                people.refuse_unknown_people(connection, [athlete_id], where="accounts")
            connection.execute(account.update().where(mine).values(role=role, athlete_id=athlete_id))
            connection.execute(account_session.delete().where(account_session.c.account_id == account_id))

    def renew_hash(self, account_id: int, password_hash: str) -> None:
        """Keep the same password under newer parameters."""
        with self._noting() as connection:
            mine = account.c.account_id == account_id
            connection.execute(account.update().where(mine).values(password_hash=password_hash))

    def close_account(self, account_id: int) -> None:
        """Close an account and end its sessions; what it did and looked at stays on record."""
        with self._noting() as connection:
            mine = account.c.account_id == account_id
            connection.execute(account.update().where(mine).values(closed_at=self._clock()))
            connection.execute(account_session.delete().where(account_session.c.account_id == account_id))

    # Sessions

    def open_session(
        self, token_hash: str, *, ends_at: datetime, account_id: int | None = None, link_id: int | None = None,
        waits_for: str | None = None, most: int | None = None,
    ) -> None:  # fmt: skip
        """Keep a new session, and forget those that are over; of an account `most` stay, those used last."""
        now = self._clock()
        with self._noting() as connection:
            connection.execute(account_session.delete().where(account_session.c.ends_at < now))
            said = {
                "token_hash": token_hash, "account_id": account_id, "link_id": link_id, "ends_at": ends_at,
                "waits_for": waits_for,
            }  # fmt: skip
            connection.execute(account_session.insert().values(**said, created_at=now, seen_at=now))
            if account_id is not None and most is not None:
                order = (account_session.c.seen_at.desc(), account_session.c.created_at.desc())
                mine = sa.select(account_session.c.token_hash).where(account_session.c.account_id == account_id)
                others = connection.execute(mine.where(account_session.c.token_hash != token_hash).order_by(*order))
                old = others.scalars().all()[most - 1 :]
                connection.execute(account_session.delete().where(account_session.c.token_hash.in_(old)))

    def sessions_of(self, account_id: int) -> list[OpenSession]:
        """Sessions of an account that are not over, those used last first."""
        mine = (account_session.c.account_id == account_id) & (account_session.c.ends_at > self._clock())
        query = sa.select(*(account_session.c[field.name] for field in fields(OpenSession))).where(mine)
        with self._reading() as connection:
            rows = connection.execute(query.order_by(account_session.c.seen_at.desc(), account_session.c.token_hash))
            return [OpenSession(**row._mapping) for row in rows]

    def end_sessions_of(self, account_id: int, *, keep: str | None = None) -> None:
        """End an account's sessions, but for the one of the token hash `keep`."""
        with self._noting() as connection:
            others = account_session.c.account_id == account_id
            if keep is not None:
                others &= account_session.c.token_hash != keep
            connection.execute(account_session.delete().where(others))

    def session(self, token_hash: str) -> OpenSession | None:
        """The session of a token's hash."""
        columns = (account_session.c[field.name] for field in fields(OpenSession))
        query = sa.select(*columns).where(account_session.c.token_hash == token_hash)
        with self._reading() as connection:
            row = connection.execute(query).first()
        return OpenSession(**row._mapping) if row else None

    def session_seen(self, token_hash: str) -> None:
        """Note that a session is in use."""
        with self._noting() as connection:
            mine = account_session.c.token_hash == token_hash
            connection.execute(account_session.update().where(mine).values(seen_at=self._clock()))

    def end_session(self, token_hash: str) -> None:
        """End one session."""
        with self._noting() as connection:
            connection.execute(account_session.delete().where(account_session.c.token_hash == token_hash))

    # Guests

    def add_guest_link(
        self, token_hash: str, athlete_id: str, name: str, fields: str, expires_at: datetime, made_by: int | None
    ) -> int:
        """Keep a link for a guest; gives its key."""
        with self._noting() as connection:
            people.refuse_unknown_people(connection, [athlete_id], where=f"link for '{name}'")
            said = {
                "token_hash": token_hash, "athlete_id": athlete_id, "name": name, "fields": fields,
                "expires_at": expires_at, "made_by": made_by,
            }  # fmt: skip
            return int(self._append(connection, guest_link, said))

    def guest_links(self, athlete_id: str | None = None) -> list[GuestLink]:
        """Links for guests, newest first."""
        query = _links().order_by(guest_link.c.link_id.desc())
        if athlete_id is not None:
            query = query.where(guest_link.c.athlete_id == athlete_id)
        with self._reading() as connection:
            return [GuestLink(**row._mapping) for row in connection.execute(query)]

    def guest_link(self, *, link_id: int | None = None, token_hash: str | None = None) -> GuestLink | None:
        """The link of a key or of a token's hash."""
        which = guest_link.c.link_id == link_id if link_id is not None else guest_link.c.token_hash == token_hash
        with self._reading() as connection:
            row = connection.execute(_links().where(which)).first()
        return GuestLink(**row._mapping) if row else None

    def withdraw_guest_link(self, link_id: int) -> None:
        """Take a link back and end the sessions opened with it."""
        with self._noting() as connection:
            mine = (guest_link.c.link_id == link_id) & guest_link.c.withdrawn_at.is_(None)
            connection.execute(guest_link.update().where(mine).values(withdrawn_at=self._clock()))
            connection.execute(account_session.delete().where(account_session.c.link_id == link_id))

    # Tries at signing in

    def begin_sign_in(
        self, name_key: str, address: str, *, since: datetime, forget: datetime, limits: tuple[int, int, int]
    ) -> int | None:
        """Note a try at signing in before the password is looked at; None when there were too many.

        Parameters
        ----------
        since : datetime
            Tries that did not work count from this moment.
        forget : datetime
            Tries before this moment are forgotten.
        limits : tuple of int
            How many such tries may have been made for this name from this address, for this name, and from this
            address.
        """
        # A try of the future was noted before the clock was set back; it says nothing of the present.
        failed = (sign_in.c.created_at > since) & (sign_in.c.created_at <= self._clock()) & ~sign_in.c.worked
        name, place = sign_in.c.name_key == name_key, sign_in.c.address == address
        with self._noting() as connection:
            connection.execute(sign_in.delete().where(sign_in.c.created_at < forget))
            for which, limit in zip((name & place, name, place), limits, strict=True):
                count = sa.select(sa.func.count()).select_from(sign_in).where(failed & which)
                if connection.execute(count).scalar_one() >= limit:
                    return None
            return int(self._append(connection, sign_in, {"name_key": name_key, "address": address, "worked": False}))

    def sign_in_worked(self, sign_in_id: int) -> None:
        """Note that a try was right."""
        with self._noting() as connection:
            connection.execute(sign_in.update().where(sign_in.c.sign_in_id == sign_in_id).values(worked=True))

    def sign_in_tries(self, name_key: str) -> list[SignInTry]:
        """Tries at signing in by a folded name that are not forgotten yet, oldest first."""
        columns = (sign_in.c[field.name] for field in fields(SignInTry))
        query = sa.select(*columns).where(sign_in.c.name_key == name_key).order_by(sign_in.c.sign_in_id)
        with self._reading() as connection:
            return [SignInTry(**row._mapping) for row in connection.execute(query)]

    # Who has looked

    def note_looks(self, athletes: Iterable[str], viewer: str, name: str, role: str, what: str, day: date) -> None:
        """Note that somebody looked at athletes' health data; the same look counts once a day."""
        wanted = set(athletes)
        same = (look.c.viewer == viewer) & (look.c.what == what) & (look.c.day == day)
        noted = sa.select(look.c.athlete_id).where(same)
        with self._reading() as connection:
            fresh = wanted.difference(connection.execute(noted).scalars())
        if not fresh:
            return
        with self._noting() as connection:
            for athlete_id in sorted(fresh.difference(connection.execute(noted).scalars())):
                said = {"athlete_id": athlete_id, "viewer": viewer, "name": name, "role": role, "what": what}
                self._append(connection, look, {**said, "day": day})

    def looks(self, athlete_id: str) -> list[Look]:
        """Who has looked at an athlete's health data, newest first."""
        columns = (look.c[field.name] for field in fields(Look))
        query = sa.select(*columns).where(look.c.athlete_id == athlete_id).order_by(look.c.look_id.desc())
        with self._reading() as connection:
            return [Look(**row._mapping) for row in connection.execute(query)]

    # What signs cookies

    def secret(self, name: str, fresh: bytes) -> bytes:
        """The secret of a name; `fresh` is kept as it when there is none yet."""
        query = sa.select(access_secret.c.secret).where(access_secret.c.name == name)
        with self._reading() as connection:
            kept = connection.execute(query).scalar()
        if kept is None:
            with self._noting() as connection:
                kept = connection.execute(query).scalar()
                if kept is None:
                    connection.execute(access_secret.insert().values(name=name, secret=fresh, created_at=self._clock()))
                    kept = fresh
        return bytes(kept)

    def put_secret(self, name: str, secret: bytes) -> None:
        """Keep another secret under a name and end every session."""
        with self._noting() as connection:
            connection.execute(access_secret.delete().where(access_secret.c.name == name))
            connection.execute(access_secret.insert().values(name=name, secret=secret, created_at=self._clock()))
            connection.execute(account_session.delete())

    # How it is done

    @contextmanager
    def _noting(self) -> Iterator[sa.Connection]:
        """A write that leaves the revision alone; it waits for other writers as they wait for one another."""
        with (
            told_plainly(self._engine.url),
            self._engine.connect().execution_options(**WRITE) as connection,
            connection.begin(),
        ):
            connection.execute(sa.select(tables.store_mark.c.revision).with_for_update())
            with written_down(connection, self._clock):
                yield connection

    def _account(self, which: sa.ColumnElement[bool]) -> Account | None:
        with self._reading() as connection:
            row = connection.execute(_accounts().where(which)).first()
        return Account(**row._mapping) if row else None


def _accounts() -> sa.Select[Any]:
    return sa.select(*(account.c[field.name] for field in fields(Account)))


def _links() -> sa.Select[Any]:
    return sa.select(*(guest_link.c[field.name] for field in fields(GuestLink)))
