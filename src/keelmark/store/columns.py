"""Database columns made from the frames' own schemas, so that a name and a type are stated once."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import polars as pl
import sqlalchemy as sa
from sqlalchemy.engine import Dialect

from keelmark.contracts.schema import FrameSchema

__all__ = ["Instant", "frame_columns"]


class Instant(sa.types.TypeDecorator[datetime]):
    """A moment in UTC, kept without zone in the database and handed out with it."""

    impl = sa.DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        return None if value is None else value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        return None if value is None else value.replace(tzinfo=UTC)


def frame_columns(schema: FrameSchema, *, leave_out: tuple[str, ...] = ()) -> list[sa.Column[Any]]:
    """The columns of a table that keeps the rows of a frame.

    Parameters
    ----------
    schema : FrameSchema
        The frame; a column that may be empty there may be null in the database.
    leave_out : tuple of str
        Columns that the table states itself, keys mostly.
    """
    return [
        sa.Column(column.name, _database_type(column.dtype), nullable=column.optional)
        for column in schema.columns
        if column.name not in leave_out
    ]


def _database_type(dtype: pl.DataType | type[pl.DataType]) -> sa.types.TypeEngine[Any]:
    if dtype in (pl.Int32, pl.Int64):
        return sa.BigInteger()
    if dtype == pl.Float64:
        return sa.Double()
    if dtype == pl.Date:
        return sa.Date()
    if dtype == pl.Boolean:
        return sa.Boolean()
    if isinstance(dtype, pl.Datetime):
        return Instant()
    if isinstance(dtype, pl.List):
        return sa.JSON()
    return sa.Text()
