"""Imports: what came in, whether it still stands, and the bytes it came as."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store import schema as tables

__all__ = [
    "ImportOutcome",
    "content_key",
    "enter",
    "keep_original",
    "known",
    "standing",
    "stands",
    "take_back",
    "write_counts",
]


@dataclass(frozen=True, slots=True)
class ImportOutcome:
    """What became of a save.

    `repeated` says that the same content already stood and nothing was stored; `counts` are then those of the first
    time. `already_stored` counts efforts that an earlier import had brought; `grown_sessions` the sessions that an
    earlier import had begun and this one added to.
    """

    import_id: str
    repeated: bool
    counts: dict[str, object]
    efforts: int
    already_stored: int
    grown_sessions: int


def content_key(kind: str, sha256: str, options: Mapping[str, object] | None) -> str:
    """One key for the same bytes read in the same way."""
    read_as = json.dumps([kind, sha256, options or {}], sort_keys=True, default=str)
    return hashlib.sha256(read_as.encode()).hexdigest()


def standing(connection: sa.Connection, key: str) -> sa.Row[int, str] | None:
    """The import that brought this content and has not been undone."""
    ledger = tables.imports.c
    query = sa.select(ledger.import_id, ledger.counts).where(ledger.content_key == key, ledger.undone_at.is_(None))
    return connection.execute(query).first()


def enter(
    connection: sa.Connection, kind: str, file: str, now: datetime, *, sha256: str | None = None, key: str | None = None
) -> int:
    """Write a new import into the ledger and give its number."""
    number = (connection.execute(sa.select(sa.func.max(tables.imports.c.import_id))).scalar() or 0) + 1
    connection.execute(
        tables.imports.insert().values(
            import_id=number, kind=kind, file=file, sha256=sha256, content_key=key, counts="{}", created_at=now
        )
    )
    return number


def keep_original(connection: sa.Connection, sha256: str, original: bytes) -> None:
    """Keep the bytes as they came, once per content.

    Raises
    ------
    StoreError
        When the bytes are not those that were read.
    """
    if hashlib.sha256(original).hexdigest() != sha256:
        raise StoreError(
            "the bytes of the file are not those that were read",
            where=f"file with hash {sha256[:12]}",
            wanted="the bytes that the rows came from",
            remedy="the file changed while it was read; read it again",
        )
    kept = connection.execute(sa.select(tables.original.c.size).where(tables.original.c.sha256 == sha256)).first()
    if kept is None:
        packed = zlib.compress(original, 6)
        connection.execute(tables.original.insert().values(sha256=sha256, size=len(original), packed=packed))


def write_counts(connection: sa.Connection, number: int, counts: Mapping[str, object]) -> None:
    """Write what an import held and what of it was stored."""
    text = json.dumps(dict(counts), sort_keys=True)
    connection.execute(tables.imports.update().where(tables.imports.c.import_id == number).values(counts=text))


def known(connection: sa.Connection, import_id: str) -> int:
    """The number of an import, standing or undone.

    Raises
    ------
    StoreError
        When there is none of that key.
    """
    ledger = tables.imports.c.import_id
    number = int(import_id) if import_id.isdecimal() and len(import_id) < 10 else 0
    if connection.execute(sa.select(ledger).where(ledger == number)).first() is None:
        raise StoreError(
            f"there is no import '{import_id}'",
            where="imports",
            wanted="the key of an import",
            remedy="look the key up in the list of imports",
        )
    return number


def stands(connection: sa.Connection, import_id: str) -> int:
    """The number of an import that can be undone.

    Raises
    ------
    StoreError
        When there is none of that key, or it has been undone before.
    """
    number = known(connection, import_id)
    ledger = tables.imports.c
    found = connection.execute(sa.select(ledger.undone_at, ledger.kind).where(ledger.import_id == number)).one()
    if found.undone_at is not None:
        again = f"keelmark redo {number}" if found.kind == "hand" else "import the file again"
        raise StoreError(
            f"import '{import_id}' was undone on {found.undone_at:%Y-%m-%d %H:%M} UTC",
            where="imports",
            wanted="an import that still stands",
            remedy=f"nothing needs to be done; to have its rows again, {again}",
        )
    return number


def take_back(connection: sa.Connection, number: int, now: datetime) -> None:
    """Mark an import as undone; its record, its verdicts and its original bytes stay."""
    connection.execute(tables.imports.update().where(tables.imports.c.import_id == number).values(undone_at=now))
