"""What a database says when it cannot do its work, in words that a coach can act on."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from keelmark.contracts.errors import StoreError
from keelmark.store.address import shown

__all__ = ["told_plainly"]

_FAULTS: tuple[tuple[tuple[str, ...], tuple[str, str, str]], ...] = (
    (
        ("database is locked", "database table is locked", "lock timeout"),
        (
            "another program is writing to the store and did not finish in time",
            "a store that is free to write",
            "wait until the other import or backup has ended, then try again",
        ),
    ),
    (
        ("readonly database", "read-only transaction"),
        (
            "the store may only be read",
            "a store that may be written to",
            "ask for the right to write to it, or name another store with --db",
        ),
    ),
    (
        ("disk is full", "disk I/O error", "No space left", "could not extend file"),
        (
            "the disk is full or cannot be written or read",
            "a disk with room for the new rows, that gives back what it was given",
            "make room on the disk and see that it is sound, then do the same again",
        ),
    ),
    (
        ("file is not a database", "malformed", "file is encrypted"),
        (
            "the file is not a database, or it is damaged",
            "a store that keelmark made",
            "name another file, or bring back a backup",
        ),
    ),
    (
        ("unable to open database file",),
        (
            "the file cannot be opened",
            "a file in a folder that may be read and written",
            "check the path and the rights of its folder",
        ),
    ),
    (
        (
            "connection refused",
            "could not connect",
            "connection failed",
            "server closed the connection",
            "consuming input failed",
            "connection is closed",
            "connection is bad",
            "connection reset",
            "broken pipe",
            "terminating connection",
            "connection is lost",
            "failed to resolve host",
        ),
        (
            "the database server does not answer",
            "a server that is up and lets this user in",
            "check that the server is running and that address, user and password are right; see whether it was "
            "stored, then try again",
        ),
    ),
)


@contextmanager
def told_plainly(url: sa.URL) -> Iterator[None]:
    """Turn a database's errors into a StoreError; whatever was begun has been rolled back by then."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as error:
        found, wanted, remedy = _words_for(error)
        raise StoreError(found, where=f"store {shown(url)}", wanted=wanted, remedy=remedy) from error


def _words_for(error: Exception) -> tuple[str, str, str]:
    said = str(error.orig) if isinstance(error, DBAPIError) else str(error)
    for signs, words in _FAULTS:
        if any(sign.lower() in said.lower() for sign in signs):
            return words
    return (
        f"the database refused: {' '.join(said.split())}",
        "rows that fit the store",
        "nothing was stored; keep the file and report this message",
    )
