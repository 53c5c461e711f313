"""Connections: how transactions start and what SQLite is asked to keep."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.pool import QueuePool

from keelmark.contracts.errors import StoreError
from keelmark.store.address import shown

__all__ = ["WRITE", "keep_write_ahead_log", "make_engine", "wait_at_most"]

WRITE = {"keelmark_write": True}
_WAIT_MS = 5_000


def make_engine(url: sa.URL) -> sa.Engine:
    """An engine for the address; a SQLite file's folder is made when it is missing.

    Raises
    ------
    StoreError
        When the driver is not installed or the folder cannot be made.
    """
    if url.get_backend_name() == "sqlite":
        return _sqlite_engine(url)
    try:
        return sa.create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": 10})
    except ModuleNotFoundError as error:
        raise StoreError(
            f"the driver '{error.name}' is not installed",
            where=f"address {shown(url)}",
            wanted="a driver for PostgreSQL",
            remedy="install keelmark with its postgres extra: pip install 'keelmark[postgres]'",
        ) from error


def keep_write_ahead_log(engine: sa.Engine) -> None:
    """Let SQLite write changes to a log beside the file first, so that readers and a writer do not wait for another."""
    if engine.dialect.name == "sqlite":
        connection = engine.raw_connection()
        try:
            connection.cursor().execute("PRAGMA journal_mode = WAL")
        finally:
            connection.close()


def wait_at_most(engine: sa.Engine, milliseconds: int) -> None:
    """How long a write waits for another program's write to end; for SQLite only."""
    engine.update_execution_options(keelmark_wait_ms=milliseconds)


def _sqlite_engine(url: sa.URL) -> sa.Engine:
    in_memory = not url.database or url.database == ":memory:"
    if not in_memory and "uri" not in url.query:
        _make_folder(Path(str(url.database)).parent)
    # A database in memory lives as long as its one connection; others wait for it.
    options: dict[str, Any] = {"poolclass": QueuePool, "pool_size": 1, "max_overflow": 0} if in_memory else {}
    engine = sa.create_engine(url, connect_args={"check_same_thread": False}, **options)
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"the folder cannot be made ({error.strerror})",
            where=str(folder),
            wanted="a folder that may be written to",
            remedy="name another place for the store with --db or KEELMARK_DB",
        ) from error


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    # Python's driver starts no transaction of its own, so that table changes roll back with the rest.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {_WAIT_MS}")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.close()


def _begin_sqlite(connection: sa.Connection) -> None:
    options = connection.get_execution_options()
    if "keelmark_wait_ms" in options:
        connection.exec_driver_sql(f"PRAGMA busy_timeout = {int(options['keelmark_wait_ms'])}")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get("keelmark_write") else "BEGIN")
