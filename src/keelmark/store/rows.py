"""Between frames and database rows."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import Any

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.contracts.schema import FrameSchema

__all__ = ["insert_frame", "refuse_what_cannot_be_kept", "select_frame", "table_columns"]

_CHUNK = 50_000


def select_frame(connection: sa.Connection, query: sa.Select[Any], schema: FrameSchema) -> pl.DataFrame:
    """The rows of a query as a checked frame.

    The driver's own cursor is read column by column in chunks: a million efforts pass without a Python object per
    row outliving its chunk.

    Parameters
    ----------
    query : Select
        Its columns are those of the schema, by name and in order.
    """
    result = connection.execute(query)
    cursor = result.cursor
    assert cursor is not None
    chunks = [schema.empty()]
    while rows := cursor.fetchmany(_CHUNK):
        columns = zip(schema.columns, zip(*rows, strict=True), strict=True)
        chunks.append(pl.DataFrame([_series(column.name, column.dtype, values) for column, values in columns]))
    result.close()
    return schema.check(pl.concat(chunks), where="reading the store")


def insert_frame(connection: sa.Connection, table: sa.Table, frame: pl.DataFrame, **fixed: object) -> None:
    """Write a frame's rows to a table; `fixed` holds the columns that are the same in each.

    The rows go to the driver as they are, so that a large log does not pass through the toolkit cell by cell.
    """
    statement = table.insert().compile(dialect=connection.dialect, column_keys=[*frame.columns, *fixed])
    for chunk in _chunks(_as_kept(frame, connection.dialect.name)):
        rows = chunk.to_dicts()
        for row in rows:
            row.update(fixed)
        connection.exec_driver_sql(str(statement), rows)


def _as_kept(frame: pl.DataFrame, database: str) -> pl.DataFrame:
    lists = [name for name, dtype in frame.schema.items() if isinstance(dtype, pl.List)]
    kept = frame.with_columns(
        pl.Series(name, [None if cell is None else json.dumps(cell) for cell in frame[name].to_list()], pl.String)
        for name in lists
    )
    return kept.with_columns(pl.col(pl.Date).dt.to_string("%Y-%m-%d")) if database == "sqlite" else kept


def refuse_what_cannot_be_kept(frame: pl.DataFrame, *, where: str) -> None:
    """Refuse figures that are no numbers and signs that no database keeps.

    Raises
    ------
    StoreError
        Naming the first such column.
    """
    for name, dtype in frame.schema.items():
        column = frame[name]
        if dtype == pl.Float64 and not column.drop_nulls().is_finite().all():
            odd = next(value for value in column.drop_nulls() if not math.isfinite(value))
            raise StoreError(
                f"the figure '{odd}' in column {name}",
                where=where,
                wanted="a number, or nothing where it is not known",
                remedy="quarantine such rows before storing them",
            )
        if dtype == pl.String and column.str.contains("\x00", literal=True).any():
            raise StoreError(
                f"a sign with code 0 in column {name}",
                where=where,
                wanted="text",
                remedy="quarantine such rows before storing them",
            )


def table_columns(table: sa.Table, schema: FrameSchema) -> list[sa.Column[Any]]:
    """The columns of a table that a frame shows, in the frame's order."""
    return [table.c[name] for name in schema.names]


def _chunks(frame: pl.DataFrame) -> Iterator[pl.DataFrame]:
    for start in range(0, frame.height, _CHUNK):
        yield frame.slice(start, _CHUNK)


def _series(name: str, dtype: Any, values: tuple[Any, ...]) -> pl.Series:
    first = next((value for value in values if value is not None), None)
    if first is None:
        return pl.Series(name, [None] * len(values), dtype=dtype)
    if isinstance(dtype, pl.List):
        return pl.Series(name, [json.loads(v) if isinstance(v, str) else v for v in values], dtype=dtype)
    if dtype == pl.Date and isinstance(first, str):
        return pl.Series(name, values, dtype=pl.String).str.to_date("%Y-%m-%d")
    if isinstance(dtype, pl.Datetime):
        naive = pl.Series(name, values)
        if naive.dtype == pl.String:
            naive = naive.str.to_datetime("%Y-%m-%d %H:%M:%S%.f", time_unit="us")
        return naive.cast(pl.Datetime("us")).dt.replace_time_zone("UTC")
    if dtype == pl.Boolean and isinstance(first, int):
        return (
            pl.Series(name, values, dtype=pl.Int64).cast(pl.Boolean)
            if not isinstance(first, bool)
            else pl.Series(name, values, dtype=pl.Boolean)
        )
    if dtype == pl.String and not isinstance(first, str):
        return pl.Series(name, values).cast(pl.String)
    return pl.Series(name, values, dtype=dtype)
