"""Connections: how transactions start and what SQLite is asked to keep."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.pool import QueuePool

from keelmark.contracts.errors import StoreError
from keelmark.store.address import shown

__all__ = ["WRITE", "keep_write_ahead_log", "make_engine"]

WRITE = {"keelmark_write": True}
_CACHE_KB = 64 * 1024


def make_engine(url: sa.URL, wait_s: float) -> sa.Engine:
    """An engine for the address; a SQLite file's folder is made when it is missing.

    Parameters
    ----------
    url : URL
        Where the database lies.
    wait_s : float
        How long a write waits for another program's write to end, in seconds.

    Raises
    ------
    StoreError
        When the driver is not installed or the folder cannot be made.
    """
    wait_ms = round(1000 * wait_s)
    if url.get_backend_name() == "sqlite":
        return _sqlite_engine(url, wait_ms)
    server = {"connect_timeout": 10, "options": f"-c lock_timeout={wait_ms}"}
    try:
        return sa.create_engine(url, pool_pre_ping=True, connect_args=server)
    except ModuleNotFoundError as error:
        raise StoreError(
            f"the driver '{error.name}' is not installed",
            where=f"address {shown(url)}",
            wanted="a driver for PostgreSQL",
            remedy="install keelmark with its postgresql extra: pip install 'keelmark[postgresql]'",
        ) from error


def keep_write_ahead_log(engine: sa.Engine) -> None:
    """Let SQLite write changes to a log beside the file first, so that readers and a writer do not wait for another."""
    if engine.dialect.name == "sqlite":
        connection = engine.raw_connection()
        try:
            connection.cursor().execute("PRAGMA journal_mode = WAL")
        finally:
            connection.close()


def _sqlite_engine(url: sa.URL, wait_ms: int) -> sa.Engine:
    in_memory = not url.database or url.database == ":memory:"
    if not in_memory and "uri" not in url.query:
        _make_folder(Path(str(url.database)).parent)
        _keep_private(Path(str(url.database)))
    # A database in memory lives as long as its one connection; others wait for it.
    options: dict[str, Any] = {"poolclass": QueuePool, "pool_size": 1, "max_overflow": 0} if in_memory else {}
    engine = sa.create_engine(
        url, paramstyle="named", connect_args={"check_same_thread": False, "timeout": wait_ms / 1000}, **options
    )
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


def _keep_private(file: Path) -> None:
    # A new store is its owner's alone from its first byte; SQLite gives its log files the same rights.
    with contextlib.suppress(OSError):
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    # Python's driver starts no transaction of its own, so that table changes roll back with the rest.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute(f"PRAGMA cache_size = -{_CACHE_KB}")
    cursor.close()


def _begin_sqlite(connection: sa.Connection) -> None:
    writing = connection.get_execution_options().get("keelmark_write")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")
