"""Taking back what was recorded: the row stays, with the moment at which it ceased to stand."""

from __future__ import annotations

from datetime import datetime

import sqlalchemy as sa

from keelmark.contracts.errors import StoreError

__all__ = ["withdraw"]


def withdraw(connection: sa.Connection, table: sa.Table, key: str, now: datetime, what: str) -> str:
    """Mark a row as taken back; gives its key.

    Parameters
    ----------
    table : Table
        Has one key, a whole number, and a column `withdrawn_at`.
    key : str
        Of the row.
    now : datetime
        The moment, in UTC.
    what : str
        What the row is, for whoever is refused.

    Raises
    ------
    StoreError
        When there is no such row, or it was taken back before.
    """
    (column,) = table.primary_key.columns
    number = int(key) if key.isdecimal() and len(key) < 10 else -1
    standing = sa.and_(column == number, table.c.withdrawn_at.is_(None))
    if not connection.execute(table.update().where(standing).values(withdrawn_at=now)).rowcount:
        raise StoreError(
            f"no {what} {key!r} stands",
            where=what,
            wanted="the key of one that was recorded and not taken back",
            remedy="list them to see which stand",
        )
    return key
