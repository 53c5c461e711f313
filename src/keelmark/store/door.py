"""Opening a store, and reading and writing it one transaction at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.schema import FrameSchema
from keelmark.store import schema as tables
from keelmark.store.address import shown, store_address
from keelmark.store.engine import WRITE, keep_write_ahead_log, make_engine
from keelmark.store.faults import told_plainly
from keelmark.store.last_moment import last_moment
from keelmark.store.migrate import migrate, newest_schema, schema_of
from keelmark.store.rows import select_frame
from keelmark.store.trail import TrailEntry, trail_entries, written_down

__all__ = ["Door"]


def _now() -> datetime:
    return datetime.now(UTC)


class Door:
    """A database that is open: connections, transactions and the count of writes."""

    def __init__(self, engine: sa.Engine, clock: Callable[[], datetime] = _now) -> None:
        self._engine = engine
        self._clock = clock

    @classmethod
    def open(cls, url: str | Path | None = None, *, wait_s: float = 5.0, clock: Callable[[], datetime] = _now) -> Self:
        """Open a store, make it when there is none, and bring an older one to the present schema.

        Parameters
        ----------
        url : str, Path or None
            A file, any SQLAlchemy address of SQLite or PostgreSQL, or None for the environment variable KEELMARK_DB
            and then `squad.db` in the platform's data folder.
        wait_s : float
            How long a write waits for another program's write to end, in seconds.
        clock : function
            Gives the present moment, with its zone.

        Raises
        ------
        StoreError
            When it cannot be opened, belongs to another program or to a newer keelmark; it is then unchanged.
        """
        address = store_address(url)
        engine = make_engine(address, wait_s)
        try:
            with told_plainly(address):
                if schema_of(engine) != newest_schema():
                    keep_write_ahead_log(engine)
                    migrate(engine)
        except BaseException:
            engine.dispose()
            raise
        return cls(engine, clock)

    def close(self) -> None:
        """Let go of all connections."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def place(self) -> str:
        """Where the store lies, fit to be shown."""
        return shown(self._engine.url)

    @property
    def revision(self) -> int:
        """A number that grows with each write, for caches."""
        with self._reading() as connection:
            return int(connection.execute(sa.select(tables.store_mark.c.revision)).scalar_one())

    def trail(self, last: int | None = None) -> list[TrailEntry]:
        """Who changed how much of what and when, oldest first; with `last` only that many of the newest."""
        with self._reading() as connection:
            return trail_entries(connection, last)

    @contextmanager
    def _reading(self) -> Iterator[sa.Connection]:
        with told_plainly(self._engine.url), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[sa.Connection]:
        # Raising the revision first makes writers wait for one another on every kind of database.
        mark = tables.store_mark
        with (
            told_plainly(self._engine.url),
            self._engine.connect().execution_options(**WRITE) as connection,
            connection.begin(),
        ):
            connection.execute(mark.update().values(revision=mark.c.revision + 1))
            with written_down(connection, self._clock):
                yield connection
            last_moment()

    def _frame(self, query: sa.Select[Any], schema: FrameSchema) -> pl.DataFrame:
        with self._reading() as connection:
            return select_frame(connection, query, schema)

    def _append(self, connection: sa.Connection, table: sa.Table, said: Mapping[str, object]) -> str:
        key = table.primary_key.columns[0]
        number = (connection.execute(sa.select(sa.func.max(key))).scalar() or 0) + 1
        connection.execute(table.insert().values({key.name: number, "created_at": self._clock(), **said}))
        return str(number)
