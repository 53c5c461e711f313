"""Efforts and sessions, and what happens when two imports bring the same work.

Each effort has a fingerprint of the work it describes: athlete, date, session, block, movement and every amount, but
not its place in the session nor where in a file it stood. Two efforts of one import with the same fingerprint are two
pieces of work; the first copy of one import and the first copy of another are the same work. A club that exports its
whole log every week so adds only what is new. All copies are kept, and the one of the earliest import that stands is
current; when that import is undone, the next one's takes its place.

A row whose amounts were corrected is different work: both stand until the earlier import is undone.
"""

from __future__ import annotations

import hashlib

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.frames import EFFORT, SESSION
from keelmark.store import schema as tables
from keelmark.store.rows import insert_frame

__all__ = ["add_efforts", "merged_sessions", "remove_efforts"]

_NOT_WORK = ("order", "import_id", "source", "source_row", "source_line", "text_start", "text_end", "text")
_WORK = [name for name in EFFORT.names if name not in _NOT_WORK]


def add_efforts(connection: sa.Connection, number: int, efforts: pl.DataFrame) -> tuple[int, int]:
    """Store the efforts of an import.

    Returns
    -------
    tuple of int
        How many an earlier import had brought already, and how many sessions this import added to that were begun
        by an earlier one.
    """
    if efforts.is_empty():
        return 0, 0
    marked = efforts.drop("import_id").with_columns(
        pl.Series("fingerprint", _fingerprints(efforts), dtype=pl.Binary), pl.int_range(pl.len()).alias("place")
    )
    marked = marked.with_columns(pl.int_range(pl.len()).over("fingerprint").alias("copy"))
    insert_frame(connection, tables.effort, marked, import_id=number, current=True)
    repeats = _set_aside_repeats(connection, number)
    return repeats, _count_grown_sessions(connection, number)


def remove_efforts(connection: sa.Connection, number: int) -> None:
    """Take an import's efforts and sessions out; copies in later imports come to stand in their place."""
    effort = tables.effort
    connection.execute(effort.delete().where(effort.c.import_id == number))
    connection.execute(tables.session.delete().where(tables.session.c.import_id == number))
    connection.execute(
        effort.update().where(~effort.c.current, ~_brought_earlier(effort.c.import_id)).values(current=True)
    )


def merged_sessions(rows: pl.DataFrame) -> pl.DataFrame:
    """One row per session from those of several imports: of each column the value given last.

    Parameters
    ----------
    rows : SESSION frame
        With repeated session ids, in the order in which the imports came.
    """
    known = [pl.col(name).drop_nulls().last() for name in SESSION.names if name != "session_id"]
    return rows.group_by("session_id", maintain_order=True).agg(known).sort("athlete_id", "date", "session_id")


def _fingerprints(efforts: pl.DataFrame) -> list[bytes]:
    return [
        hashlib.blake2b(repr(work).encode("utf-8", "surrogatepass"), digest_size=16).digest()
        for work in efforts.select(_WORK).iter_rows()
    ]


def _brought_earlier(number: sa.ColumnElement[int]) -> sa.Exists:
    effort, other = tables.effort, tables.effort.alias("other")
    return (
        sa.select(sa.literal(1))
        .select_from(other)
        .where(
            other.c.fingerprint == effort.c.fingerprint,
            other.c.copy == effort.c.copy,
            other.c.import_id < number,
        )
        .correlate(effort)
        .exists()
    )


def _set_aside_repeats(connection: sa.Connection, number: int) -> int:
    effort = tables.effort
    result = connection.execute(
        effort.update().where(effort.c.import_id == number, _brought_earlier(effort.c.import_id)).values(current=False)
    )
    return result.rowcount


def _count_grown_sessions(connection: sa.Connection, number: int) -> int:
    effort, session = tables.effort, tables.session
    added_to = sa.select(effort.c.session_id).where(effort.c.import_id == number, effort.c.current)
    query = sa.select(sa.func.count(sa.distinct(session.c.session_id))).where(
        session.c.import_id < number, session.c.session_id.in_(added_to)
    )
    return int(connection.execute(query).scalar_one())
