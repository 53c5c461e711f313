"""What one import brought, whether or not an earlier one had brought it as well, and taking it out."""

from __future__ import annotations

from datetime import datetime

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.frames import DAY_STATE, EFFORT, SESSION
from keelmark.contracts.schema import FrameSchema
from keelmark.store import ledger
from keelmark.store import schema as tables
from keelmark.store.door import Door
from keelmark.store.efforts import remove_efforts
from keelmark.store.putting_back import lay_aside
from keelmark.store.rows import select_frame, table_columns

__all__ = ["BroughtRecords", "take_out"]

_ROWS = (tables.rep_maximum, tables.day_state, tables.calendar_label)
_READ: tuple[tuple[sa.Table, FrameSchema, str], ...] = (
    (tables.effort, EFFORT, "place"),
    (tables.session, SESSION, "session_id"),
    (tables.day_state, DAY_STATE, "date"),
)


class BroughtRecords(Door):
    """The part of a store that tells what single imports brought."""

    def squad_is_listed(self) -> bool:
        """Whether an import that stands says who is in the squad; people left over from an undone one are no list."""
        undone = sa.select(tables.imports.c.import_id).where(tables.imports.c.undone_at.is_not(None))
        query = sa.select(tables.athlete.c.athlete_id).where(tables.athlete.c.import_id.not_in(undone)).limit(1)
        with self._reading() as connection:
            return connection.execute(query).first() is not None

    def brought(self, import_id: str) -> tuple[pl.DataFrame, pl.DataFrame, pl.DataFrame]:
        """Efforts, sessions and day states of one import as they came: EFFORT, SESSION and DAY_STATE frames.

        Raises
        ------
        StoreError
            When there is no such import.
        """
        with self._reading() as connection:
            number = ledger.known(connection, import_id)
            efforts, sessions, states = (
                select_frame(
                    connection,
                    sa.select(*table_columns(table, schema)).where(table.c.import_id == number).order_by(order),
                    schema,
                )
                for table, schema, order in _READ
            )
        return efforts, sessions, states

    def laid_aside(self, athlete_id: str) -> list[tuple[str, str, str]]:
        """Rows of edits by hand that were taken back, of one athlete: import, table, and the row as JSON."""
        aside = tables.taken_back.c
        query = sa.select(aside.import_id, aside.of_table, aside.said).where(aside.athlete_id == athlete_id)
        with self._reading() as connection:
            rows = connection.execute(query.order_by(aside.import_id, aside.place))
            return [(str(row.import_id), row.of_table, row.said) for row in rows]


def take_out(connection: sa.Connection, import_id: str, now: datetime) -> None:
    """Take an import's rows out and mark it as undone; its record, verdicts and bytes stay, of an edit its rows too.

    Raises
    ------
    StoreError
        When there is no such import, or it was undone before.
    """
    number = ledger.stands(connection, import_id)
    lay_aside(connection, number)
    remove_efforts(connection, number)
    for table in _ROWS:
        connection.execute(table.delete().where(table.c.import_id == number))
    ledger.take_back(connection, number, now)
