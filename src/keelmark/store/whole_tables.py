"""Whole tables as frames, whatever the database and whatever the schema: what backups and moves are made of."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import polars as pl
import sqlalchemy as sa

from keelmark.store.migrate import VERSION_TABLE

__all__ = ["content_digest", "kept_tables", "read_table", "write_table"]

_CHUNK = 50_000
_KINDS: tuple[tuple[type[sa.types.TypeEngine[Any]], pl.DataType], ...] = (
    (sa.Boolean, pl.Boolean()),
    (sa.Integer, pl.Int64()),
    (sa.Float, pl.Float64()),
    (sa.Date, pl.Date()),
    (sa.DateTime, pl.Datetime("us")),
    (sa.LargeBinary, pl.Binary()),
    (sa.JSON, pl.String()),
    (sa.String, pl.String()),
)


def kept_tables(connection: sa.Connection) -> list[sa.Table]:
    """The tables of a store as the database itself describes them, each after those that it points to."""
    found = sa.MetaData()
    found.reflect(connection)
    return [table for table in found.sorted_tables if table.name != VERSION_TABLE]


def read_table(connection: sa.Connection, table: sa.Table) -> pl.DataFrame:
    """All rows of a table, by its primary key; lists and objects stand as JSON text.

    Parameters
    ----------
    table : Table
        As `kept_tables` gives it.
    """
    shape = {column.name: _frame_type(column) for column in table.columns}
    chunks = [pl.DataFrame(schema=shape)]
    for rows in connection.execute(sa.select(table)).partitions(_CHUNK):
        columns = zip(table.columns, zip(*rows, strict=True), strict=True)
        chunks.append(
            pl.DataFrame([pl.Series(c.name, _plain(c, values), dtype=shape[c.name]) for c, values in columns])
        )
    return pl.concat(chunks).sort(_key(table))


def write_table(connection: sa.Connection, table: sa.Table, frame: pl.DataFrame) -> None:
    """Put rows that `read_table` gave into an empty table of the same columns."""
    lists = [column.name for column in table.columns if isinstance(column.type, sa.JSON)]
    for chunk in frame.iter_slices(_CHUNK):
        rows = chunk.to_dicts()
        for row in rows:
            row.update({name: json.loads(row[name]) for name in lists if row[name] is not None})
        connection.execute(table.insert(), rows)


def content_digest(frame: pl.DataFrame) -> str:
    """SHA-256 over the rows of a table, the same for the same content in any kind of database."""
    binary = [name for name, dtype in frame.schema.items() if dtype == pl.Binary]
    text = frame.select(sorted(frame.columns)).with_columns(pl.col(binary).bin.encode("hex") if binary else [])
    digest = hashlib.sha256()
    for chunk in _chunks(text):
        buffer = io.BytesIO()
        chunk.write_csv(buffer, quote_style="non_numeric", include_header=False)
        digest.update(buffer.getbuffer())
    return digest.hexdigest()


def _chunks(frame: pl.DataFrame) -> Iterator[pl.DataFrame]:
    return frame.iter_slices(_CHUNK) if frame.height else iter(())


def _key(table: sa.Table) -> list[str]:
    return [column.name for column in table.primary_key.columns] or [column.name for column in table.columns]


def _frame_type(column: sa.Column[Any]) -> pl.DataType:
    return next(dtype for kind, dtype in _KINDS if isinstance(column.type, kind))


def _plain(column: sa.Column[Any], values: Sequence[Any]) -> Sequence[Any]:
    if isinstance(column.type, sa.JSON):
        return _each(values, lambda value: json.dumps(value, sort_keys=True, ensure_ascii=False))
    if isinstance(column.type, sa.LargeBinary):
        return _each(values, bytes)
    return values


def _each(values: Sequence[Any], change: Callable[[Any], Any]) -> list[Any]:
    return [None if value is None else change(value) for value in values]
