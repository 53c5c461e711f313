"""Backups: one file that holds everything a store keeps, made while others go on working, proven when brought back.

A backup is a ZIP file with one Parquet file per table and `manifest.json`, which names the schema, the number of rows
and a digest of each table's content. With a passphrase the whole file is encrypted in the age format
(https://age-encryption.org/v1), so that it can be opened without keelmark too.
"""

from __future__ import annotations

import hmac
import io
import json
import os
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import polars as pl
import pyrage
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store.address import shown, store_address
from keelmark.store.engine import WRITE, keep_write_ahead_log, make_engine
from keelmark.store.faults import told_plainly
from keelmark.store.migrate import VERSION_TABLE, knows_schema, migrate_within, schema_of
from keelmark.store.store import Store
from keelmark.store.whole_tables import content_digest, kept_tables, read_table, write_table

__all__ = ["Backup", "TableContent", "back_up", "is_encrypted", "move", "read_backup", "restore"]

_FORMAT = "keelmark backup 1"
_MANIFEST = "manifest.json"
_ENCRYPTED = b"age-encryption.org/"
_LARGEST_TABLE = 8 * 1024**3


@dataclass(frozen=True, slots=True)
class TableContent:
    """How many rows a table holds, and the digest of all of them."""

    name: str
    rows: int
    digest: str


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup holds: schema, revision and moment of the store it was made from, and each table's content."""

    schema: str
    revision: int
    made_at: str
    tables: tuple[TableContent, ...]

    @property
    def rows(self) -> int:
        """Rows of all tables together."""
        return sum(table.rows for table in self.tables)


def back_up(store: Store, file: Path, *, passphrase: str | None = None) -> Backup:
    """Write all that a store keeps into one file, as it stood at one moment, and read the file back to prove it.

    Parameters
    ----------
    store : Store
        Others may read and write meanwhile; what they write after the first moment is not in the backup.
    file : Path
        Where the backup goes. It appears whole or not at all; a file that lies there is never replaced.
    passphrase : str, optional
        Encrypts the file, health data included. Who loses it has lost the backup.

    Raises
    ------
    StoreError
        When a file lies there, or it cannot be written.
    """
    if file.exists():
        raise StoreError(
            "a file lies there already",
            where=str(file),
            wanted="a name that is free",
            remedy="give the backup another name, or move the old file away",
        )
    with told_plainly(store._engine.url), _snapshot(store) as connection:
        packed, backup = _packed(connection, store._clock())
    _write_whole(file, pyrage.passphrase.encrypt(packed, passphrase) if passphrase else packed)
    if read_backup(file, passphrase=passphrase) != backup:
        raise StoreError(
            "what was written differs from what the store holds",
            where=str(file),
            wanted="a disk that gives back what it was given",
            remedy="make the backup again on another disk",
        )
    return backup


def read_backup(file: Path, *, passphrase: str | None = None) -> Backup:
    """What a backup holds, after each table's content was compared with its digest.

    Raises
    ------
    StoreError
        When the file is no backup, is damaged, or the passphrase is not the one it was made with.
    """
    with _opened(file, passphrase) as archive:
        backup = _manifest(archive, str(file))
        for content in backup.tables:
            _table_frame(archive, content, str(file))
    return backup


def restore(file: Path, url: str | Path | None, *, passphrase: str | None = None) -> Backup:
    """Bring a backup into an empty database, and compare every table with the backup before it counts.

    Parameters
    ----------
    file : Path
        A backup.
    url : str, Path or None
        An address as `Store.open` takes it; nothing may be kept there yet. A backup of an older schema is brought to
        the present one afterwards.

    Returns
    -------
    Backup
        What was brought back: the rows and digests that were found in the new store.

    Raises
    ------
    StoreError
        When something is kept there already, the backup is damaged or made by a newer keelmark. Nothing is changed.
    """
    with _opened(file, passphrase) as archive:
        backup = _manifest(archive, str(file))
        _bring_to(url, archive, backup, str(file))
    return backup


def move(store: Store, url: str | Path) -> Backup:
    """Copy all that a store keeps into an empty database of any kind, and compare every table with the first.

    The first store stays as it is; whoever wants to be rid of it removes it by hand after looking at the new one.

    Parameters
    ----------
    store : Store
        Only read, as it stands at one moment.
    url : str or Path
        An address as `Store.open` takes it; nothing may be kept there yet.

    Returns
    -------
    Backup
        The rows and digests that both stores hold.

    Raises
    ------
    StoreError
        When something is kept there already. Nothing is changed.
    """
    with told_plainly(store._engine.url), _snapshot(store) as connection:
        packed, backup = _packed(connection, store._clock())
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        _bring_to(url, archive, backup, store.place)
    return backup


# Making one


@contextmanager
def _snapshot(store: Store) -> Iterator[sa.Connection]:
    """A transaction that sees the store as it stood at one moment."""
    engine = store._engine
    level = {"isolation_level": "REPEATABLE READ"} if engine.dialect.name == "postgresql" else {}
    with engine.connect().execution_options(**level) as connection, connection.begin():
        yield connection


def _packed(connection: sa.Connection, now: datetime) -> tuple[bytes, Backup]:
    buffer = io.BytesIO()
    contents = []
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as archive:
        for table in kept_tables(connection):
            frame = read_table(connection, table)
            contents.append(TableContent(table.name, frame.height, content_digest(frame)))
            rows = io.BytesIO()
            frame.write_parquet(rows, compression="zstd")
            archive.writestr(_table_file(table.name), rows.getvalue())
        backup = Backup(
            schema=str(connection.execute(sa.text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar_one()),
            revision=int(connection.execute(sa.text("SELECT revision FROM store_mark")).scalar_one()),
            made_at=now.isoformat(timespec="seconds"),
            tables=tuple(contents),
        )
        archive.writestr(_MANIFEST, json.dumps({"format": _FORMAT, **asdict(backup)}, indent=2))
    return buffer.getvalue(), backup


def _write_whole(file: Path, content: bytes) -> None:
    part = file.with_name(f".{file.name}.part")
    try:
        with part.open("wb") as handle:
            handle.write(content)
            handle.flush()
            os.fsync(handle.fileno())
        part.chmod(0o600)
        part.rename(file)
    except OSError as error:
        raise StoreError(
            f"the backup cannot be written ({error.strerror})",
            where=str(file),
            wanted="a folder that may be written to, with room on its disk",
            remedy="name another place for the backup; the store itself is unchanged",
        ) from error
    finally:
        part.unlink(missing_ok=True)


# Reading one


def _content(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        raise StoreError(
            f"the file cannot be read ({error.strerror})",
            where=str(file),
            wanted="a backup that keelmark made",
            remedy="check the path and your right to read it",
        ) from error


@contextmanager
def _opened(file: Path, passphrase: str | None) -> Iterator[zipfile.ZipFile]:
    content = _content(file)
    try:
        with zipfile.ZipFile(io.BytesIO(_decrypted(content, file, passphrase))) as archive:
            yield archive
    except (
        zipfile.BadZipFile,
        KeyError,
        EOFError,
        OSError,
        RuntimeError,
        ValueError,
        pl.exceptions.PolarsError,
    ) as error:
        raise _damaged(str(file), "it cannot be unpacked") from error


def is_encrypted(file: Path) -> bool:
    """Whether a backup asks for a passphrase.

    Raises
    ------
    StoreError
        When the file cannot be read.
    """
    return _content(file).startswith(_ENCRYPTED)


def _decrypted(content: bytes, file: Path, passphrase: str | None) -> bytes:
    if not content.startswith(_ENCRYPTED):
        return content
    if not passphrase:
        raise StoreError(
            "the backup is encrypted",
            where=str(file),
            wanted="the passphrase it was made with",
            remedy="give the passphrase",
        )
    try:
        return bytes(pyrage.passphrase.decrypt(content, passphrase))
    except pyrage.DecryptError as error:
        raise StoreError(
            "the backup cannot be decrypted",
            where=str(file),
            wanted="the passphrase it was made with, and an undamaged file",
            remedy="check the passphrase; if it is right, the file is damaged: use another backup",
        ) from error


def _manifest(archive: zipfile.ZipFile, where: str) -> Backup:
    try:
        said: dict[str, Any] = json.loads(archive.read(_MANIFEST))
        if said.pop("format") != _FORMAT:
            raise _damaged(where, "it is not of a kind that this keelmark reads")
        tables = tuple(TableContent(**table) for table in said.pop("tables"))
        if not isinstance(said["schema"], str) or len({table.name for table in tables}) < len(tables):
            raise _damaged(where, "its list of contents contradicts itself")
        return Backup(tables=tables, **said)
    except (ValueError, TypeError, AttributeError, KeyError, RecursionError) as error:
        raise _damaged(where, "its list of contents cannot be read") from error


def _table_frame(archive: zipfile.ZipFile, content: TableContent, where: str) -> pl.DataFrame:
    name = _table_file(content.name)
    if archive.getinfo(name).file_size > _LARGEST_TABLE:
        raise _damaged(where, f"table {content.name} claims to be larger than {_LARGEST_TABLE // 1024**3} GB")
    frame = pl.read_parquet(io.BytesIO(archive.read(name)))
    if not _same(frame, content):
        raise _damaged(where, f"table {content.name} is not what its digest says")
    return frame


def _same(frame: pl.DataFrame, content: TableContent) -> bool:
    return frame.height == content.rows and hmac.compare_digest(content_digest(frame), content.digest)


# Bringing one back


def _bring_to(url: str | Path | None, archive: zipfile.ZipFile, backup: Backup, where: str) -> None:
    if not knows_schema(backup.schema):
        raise StoreError(
            f"its schema '{backup.schema}' was made by a newer keelmark",
            where=where,
            wanted="a backup of this keelmark or an older one",
            remedy="bring keelmark up to date, then restore again; nothing was changed",
        )
    address = store_address(url)
    engine = make_engine(address, wait_s=5.0)
    try:
        with told_plainly(address):
            _refuse_kept(engine)
            with engine.connect().execution_options(**WRITE) as connection, connection.begin():
                _bring_back(connection, archive, backup, where)
            keep_write_ahead_log(engine)
    finally:
        engine.dispose()
    Store.open(url).close()  # an older schema is brought to the present one


def _refuse_kept(engine: sa.Engine) -> None:
    if schema_of(engine) is not None:
        raise StoreError(
            "something is kept there already",
            where=f"store {shown(engine.url)}",
            wanted="a place where nothing is kept",
            remedy="name another file or database with --db; nothing was changed",
        )


def _bring_back(connection: sa.Connection, archive: zipfile.ZipFile, backup: Backup, where: str) -> None:
    migrate_within(connection, backup.schema)
    contents: Mapping[str, TableContent] = {content.name: content for content in backup.tables}
    tables = kept_tables(connection)
    if {table.name for table in tables} != set(contents):
        raise _damaged(where, f"its tables are not those of schema '{backup.schema}'")
    for table in reversed(tables):  # what migrations put in gives way to what the backup holds
        connection.execute(table.delete())
    for table in tables:
        write_table(connection, table, _table_frame(archive, contents[table.name], where))
    for table in tables:
        if not _same(read_table(connection, table), contents[table.name]):
            raise StoreError(
                f"table {table.name} does not come back as it was",
                where=where,
                wanted="the same rows in the new store as in the backup",
                remedy="nothing was kept; try another database, and report this message",
            )


def _table_file(name: str) -> str:
    return f"tables/{name}.parquet"


def _damaged(where: str, found: str) -> StoreError:
    return StoreError(
        f"this is no backup, or it is damaged: {found}",
        where=where,
        wanted="a backup that keelmark made",
        remedy="use another backup; nothing was changed",
    )
