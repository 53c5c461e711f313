"""Going over a store: whether all that it promises to keep is there and fits together."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import sqlalchemy as sa

from keelmark.store import schema as tables
from keelmark.store.faults import told_plainly
from keelmark.store.migrate import VERSION_TABLE, newest_schema
from keelmark.store.store import Store
from keelmark.store.trail import broken_links

__all__ = ["Verdict", "verify"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """One thing that was looked at: how much of it, and what is wrong (nothing when `faults` is empty)."""

    looked_at: str
    count: int
    faults: tuple[str, ...]


def verify(store: Store) -> list[Verdict]:
    """Read the whole store once, as it stands at one moment, and compare it with what it promises.

    Returns
    -------
    list of Verdict
        The database file itself, its schema, the originals against their hashes, each import against its own counts,
        and rows that point to something that is not there.

    Raises
    ------
    StoreError
        When the store cannot be read at all.
    """
    with told_plainly(store._engine.url), store._engine.begin() as connection:
        return [look(connection) for look in _LOOKS]


def _database(connection: sa.Connection) -> Verdict:
    if connection.dialect.name != "sqlite":
        return Verdict("database pages (the server's own checks apply)", 0, ())
    pages = int(connection.exec_driver_sql("PRAGMA page_count").scalar_one())
    said = [str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check(20)")]
    return Verdict("database pages", pages, () if said == ["ok"] else tuple(said))


def _schema(connection: sa.Connection) -> Verdict:
    found = connection.execute(sa.text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar_one()
    wanted = newest_schema()
    return Verdict("schema", 1, () if found == wanted else (f"schema '{found}' instead of '{wanted}'",))


def _pointers(connection: sa.Connection) -> Verdict:
    faults: list[str] = []
    count = 0
    for table in tables.METADATA.sorted_tables:
        for constraint in table.foreign_key_constraints:
            count += 1
            lost = _lost_rows(connection, constraint)
            if lost:
                column = next(iter(constraint.columns)).name
                faults.append(f"{lost} rows of table {table.name} point to a {column} that is not there")
    return Verdict("links between tables", count, tuple(faults))


def _lost_rows(connection: sa.Connection, constraint: sa.ForeignKeyConstraint) -> int:
    (link,) = constraint.elements
    own, other = link.parent, link.column
    there = sa.select(sa.literal(1)).where(other == own).correlate(own.table).exists()
    query = sa.select(sa.func.count()).select_from(own.table).where(own.is_not(None), ~there)
    return int(connection.execute(query).scalar_one())


def _originals(connection: sa.Connection) -> Verdict:
    faults: list[str] = []
    count = 0
    kept = tables.original.c
    for row in connection.execute(sa.select(kept.sha256, kept.size, kept.packed).order_by(kept.sha256)):
        count += 1
        faults += _original_faults(row.sha256, row.size, row.packed)
    return Verdict("original files", count, tuple(faults))


def _original_faults(sha256: str, size: int, packed: bytes) -> Iterator[str]:
    try:
        content = zlib.decompress(packed)
    except zlib.error:
        yield f"the original {sha256[:12]} cannot be unpacked"
        return
    if len(content) != size or hashlib.sha256(content).hexdigest() != sha256:
        yield f"the original {sha256[:12]} is not the file that was brought"


def _imports(connection: sa.Connection) -> Verdict:
    ledger, effort = tables.imports.c, tables.effort.c
    counted = sa.select(effort.import_id, sa.func.count()).group_by(effort.import_id)
    held: dict[int, int] = dict(map(tuple, connection.execute(counted)))
    faults: list[str] = []
    count = 0
    for row in connection.execute(sa.select(ledger.import_id, ledger.counts, ledger.undone_at)):
        count += 1
        stored = json.loads(row.counts).get("stored", {})
        promised = 0 if row.undone_at else stored.get("efforts", 0) + stored.get("already_stored", 0)
        if held.get(row.import_id, 0) != promised:
            faults.append(f"import {row.import_id} holds {held.get(row.import_id, 0)} efforts and promises {promised}")
    return Verdict("imports against their own counts", count, tuple(faults))


def _trail(connection: sa.Connection) -> Verdict:
    count, faults = broken_links(connection)
    return Verdict("entries in the trail of changes", count, tuple(faults))


_LOOKS: tuple[Callable[[sa.Connection], Verdict], ...] = (_database, _schema, _pointers, _originals, _imports, _trail)
