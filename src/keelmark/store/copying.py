"""A copy of a store's load data in a place of its own, to try something on without touching the store."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa

from keelmark.store import schema as tables
from keelmark.store.store import Store

__all__ = ["copy_load_data"]

_CHUNK = 5_000


def copy_load_data(store: Store, file: Path) -> Store:
    """Copy everything but health data into a new SQLite file and open it.

    Parameters
    ----------
    store : Store
        Of any kind of database; it is only read, as one transaction.
    file : Path
        Where the copy goes; nothing may lie there.
    """
    copy = Store.open(file)
    with store._reading() as source, copy._writing() as target:
        for table in tables.METADATA.sorted_tables:
            target.execute(table.delete())
            for rows in source.execute(sa.select(table)).mappings().partitions(_CHUNK):
                target.execute(table.insert(), [dict(row) for row in rows])
    return copy
