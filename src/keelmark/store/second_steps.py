"""Second steps of signing in, read and written in this one file: secrets of code apps and recovery codes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import datetime

import sqlalchemy as sa

from keelmark.store.access import AccessRecords
from keelmark.store.access_schema import account_session, recovery_code, second_step

__all__ = ["SecondStep", "SecondStepRecords"]


@dataclass(frozen=True, slots=True)
class SecondStep:
    """What an account's code app was given, as it is kept, and the number of the last code that was used.

    It counts once `confirmed_at` says that a code of the app has been seen.
    """

    account_id: int
    secret: bytes
    last_used: int
    created_at: datetime
    confirmed_at: datetime | None


class SecondStepRecords(AccessRecords):
    """The part of a store that knows the second steps."""

    def second_step(self, account_id: int) -> SecondStep | None:
        """The second step of an account, confirmed or not."""
        query = sa.select(*(second_step.c[field.name] for field in fields(SecondStep)))
        with self._reading() as connection:
            row = connection.execute(query.where(second_step.c.account_id == account_id)).first()
        return SecondStep(**{**row._mapping, "secret": bytes(row.secret)}) if row else None

    def confirmed_second_steps(self) -> set[int]:
        """Accounts that have one."""
        query = sa.select(second_step.c.account_id).where(second_step.c.confirmed_at.is_not(None))
        with self._reading() as connection:
            return set(connection.execute(query).scalars())

    def begin_second_step(self, account_id: int, secret: bytes) -> None:
        """Keep a secret that no code has been seen of yet, in place of any other; it does not count so far."""
        with self._noting() as connection:
            _forget(connection, account_id)
            said = {"account_id": account_id, "secret": secret, "last_used": 0, "created_at": self._clock()}
            connection.execute(second_step.insert().values(**said))

    def use_code(self, account_id: int, number: int) -> bool:
        """Note that the code of a number was used; whether it is later than every code used so far."""
        mine = (second_step.c.account_id == account_id) & (second_step.c.last_used < number)
        with self._noting() as connection:
            return connection.execute(second_step.update().where(mine).values(last_used=number)).rowcount == 1

    def confirm_second_step(self, account_id: int, code_hashes: Sequence[str], *, keep: str | None) -> None:
        """Let a second step count from now on, with these recovery codes; other sessions than `keep` end."""
        with self._noting() as connection:
            mine = second_step.c.account_id == account_id
            connection.execute(second_step.update().where(mine).values(confirmed_at=self._clock()))
            self._put_codes(connection, account_id, code_hashes)
            others = account_session.c.account_id == account_id
            if keep is not None:
                others &= account_session.c.token_hash != keep
            connection.execute(account_session.delete().where(others))

    def replace_recovery_codes(self, account_id: int, code_hashes: Sequence[str]) -> None:
        """Keep these recovery codes in place of all others of an account."""
        with self._noting() as connection:
            self._put_codes(connection, account_id, code_hashes)

    def use_recovery_code(self, account_id: int, code_hash: str) -> bool:
        """Take a recovery code out for good; whether there was one."""
        mine = (recovery_code.c.account_id == account_id) & (recovery_code.c.code_hash == code_hash)
        with self._noting() as connection:
            return connection.execute(recovery_code.delete().where(mine)).rowcount == 1

    def recovery_codes_left(self, account_id: int) -> int:
        """How many recovery codes of an account have not been used."""
        query = sa.select(sa.func.count()).select_from(recovery_code)
        with self._reading() as connection:
            return int(connection.execute(query.where(recovery_code.c.account_id == account_id)).scalar_one())

    def seal_second_step(self, account_id: int, secret: bytes) -> None:
        """Keep the same secret sealed in another way."""
        with self._noting() as connection:
            mine = second_step.c.account_id == account_id
            connection.execute(second_step.update().where(mine).values(secret=secret))

    def remove_second_step(self, account_id: int, *, keep: str | None = None) -> None:
        """Take an account's second step and its recovery codes away; other sessions than `keep` end."""
        with self._noting() as connection:
            _forget(connection, account_id)
            others = account_session.c.account_id == account_id
            if keep is not None:
                others &= account_session.c.token_hash != keep
            connection.execute(account_session.delete().where(others))

    def _put_codes(self, connection: sa.Connection, account_id: int, code_hashes: Sequence[str]) -> None:
        connection.execute(recovery_code.delete().where(recovery_code.c.account_id == account_id))
        rows = [{"code_hash": one, "account_id": account_id, "created_at": self._clock()} for one in code_hashes]
        if rows:
            connection.execute(recovery_code.insert(), rows)


def _forget(connection: sa.Connection, account_id: int) -> None:
    for table in (recovery_code, second_step):
        connection.execute(table.delete().where(table.c.account_id == account_id))
