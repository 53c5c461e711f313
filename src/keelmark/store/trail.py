"""The trail of changes: who changed how much of what and when, each entry tied to the one before by a hash.

Every transaction that writes leaves one entry, made from the statements that the database carried out, so that no
write can forget to. An entry holds table names and numbers of rows, never what stood in them. Whoever changes or
removes an entry breaks the chain from there on; who also makes all later hashes anew is found out by the last hash of
any earlier backup.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event

from keelmark.store.trail_schema import trail

__all__ = ["LOCAL", "TrailEntry", "acting_as", "broken_links", "trail_entries", "written_down"]

LOCAL = "somebody at this machine"
_acting: ContextVar[str] = ContextVar("acting", default=LOCAL)
_CHANGE = re.compile(r'\s*(INSERT\s+INTO|UPDATE|DELETE\s+FROM)\s+"?(\w+)"?', re.IGNORECASE)
_VERBS = {"INSERT": "added", "UPDATE": "changed", "DELETE": "removed"}
_UNTOLD = ("store_mark", "trail", "account_session", "sign_in", "look")


@dataclass(frozen=True, slots=True)
class TrailEntry:
    """One change: its number, moment, who made it, rows added, changed and removed by table, and its hash."""

    number: int
    at: datetime
    who: str
    did: dict[str, dict[str, int]]
    before: str
    hash: str


@contextmanager
def acting_as(who: str) -> Iterator[None]:
    """Name who makes the changes of this block: an account's key or a program, never a person's name."""
    token = _acting.set(who)
    try:
        yield
    finally:
        _acting.reset(token)


@contextmanager
def written_down(connection: sa.Connection, clock: Callable[[], datetime]) -> Iterator[None]:
    """Note what a transaction changes, and write the entry as its last statement; nothing changed, nothing written."""
    counted: Counter[tuple[str, str]] = Counter()

    def count(_c: Any, cursor: Any, statement: str, *_rest: Any) -> None:
        found = _CHANGE.match(statement)
        if found and found[2] not in _UNTOLD and cursor.rowcount:
            counted[found[2], _VERBS[found[1].split()[0].upper()]] += cursor.rowcount

    event.listen(connection, "after_cursor_execute", count)
    try:
        yield
    finally:
        event.remove(connection, "after_cursor_execute", count)
    if counted:
        _append(connection, clock(), counted)


def trail_entries(connection: sa.Connection, last: int | None = None) -> list[TrailEntry]:
    """Entries by number; with `last` only that many of the newest."""
    query = sa.select(trail).order_by(trail.c.number.desc())
    rows = connection.execute(query if last is None else query.limit(last)).mappings().all()
    return [TrailEntry(**{**row, "did": json.loads(row["did"])}) for row in reversed(rows)]


def broken_links(connection: sa.Connection) -> tuple[int, list[str]]:
    """How many entries there are, and where the chain does not hold."""
    faults, before, expected = [], "", 1
    for row in connection.execute(sa.select(trail).order_by(trail.c.number)):
        if row.number != expected:
            faults.append(f"entries {expected} to {row.number - 1} of the trail are missing")
        elif row.before != before or row.hash != _hash(row.number, row.at, row.who, row.did, before):
            faults.append(f"entry {row.number} of the trail was changed")
        before, expected = row.hash, row.number + 1
    return expected - 1, faults


def _append(connection: sa.Connection, now: datetime, counted: Counter[tuple[str, str]]) -> None:
    did: dict[str, dict[str, int]] = {}
    for (table, verb), rows in counted.items():
        did.setdefault(table, {})[verb] = rows
    ends = sa.select(trail.c.number, trail.c.hash).order_by(trail.c.number.desc()).limit(1)
    newest = connection.execute(ends).first()  # writers wait for one another, so nobody else adds an entry now
    number, before = (newest.number + 1, newest.hash) if newest else (1, "")
    said = (number, now, _acting.get(), json.dumps(did, sort_keys=True))
    values = dict(zip(("number", "at", "who", "did"), said, strict=True))
    connection.execute(trail.insert().values(**values, before=before, hash=_hash(*said, before)))


def _hash(number: int, at: datetime, who: str, did: str, before: str) -> str:
    moment = at.astimezone(UTC).isoformat(timespec="microseconds")
    return hashlib.sha256(json.dumps([number, moment, who, did, before]).encode()).hexdigest()
