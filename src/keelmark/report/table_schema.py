"""A table's columns as a Frictionless Table Schema: names, types, units, meaning and what a cell may hold.

Table Schema, Frictionless Data, version 1 (https://specs.frictionlessdata.io/table-schema/). `unit` is our own
addition, which the standard allows for.
"""

from __future__ import annotations

import re
from typing import Any

import polars as pl

from keelmark.contracts.schema import Column, FrameSchema
from keelmark.contracts.stamp import stamp
from keelmark.report.csv_file import GUARD_RULE

__all__ = ["table_schema"]

_BOUNDS = re.compile(r"^(-?\d+(?:\.\d+)?) to (-?\d+(?:\.\d+)?)$")
_TYPES: tuple[tuple[type[pl.DataType], str], ...] = (
    (pl.Boolean, "boolean"),
    (pl.Date, "date"),
    (pl.Datetime, "datetime"),
    (pl.List, "array"),
    (pl.Float64, "number"),
    (pl.Int32, "integer"),
    (pl.Int64, "integer"),
)


def table_schema(schema: FrameSchema, *, key: tuple[str, ...] = ()) -> dict[str, Any]:
    """The Table Schema of a frame's CSV file.

    Parameters
    ----------
    schema : FrameSchema
        Its columns; a column that may not be empty is required, an `Enum` lists its values, and a unit such as
        `0 to 10` bounds its numbers.
    key : tuple of str
        Columns that name a row, where there are such.

    Returns
    -------
    dict
        As JSON can say it.
    """
    told: dict[str, Any] = {
        "title": schema.name,
        "description": f"{schema.meaning[:1].upper()}{schema.meaning[1:]}. {GUARD_RULE}",
        "fields": [_field(column) for column in schema.columns],
        "missingValues": [""],
        "createdBy": stamp(),
    }
    if key:
        told["primaryKey"] = list(key)
    return told


def _field(column: Column) -> dict[str, Any]:
    kind = next((name for dtype, name in _TYPES if column.dtype == dtype or isinstance(column.dtype, dtype)), "string")
    field: dict[str, Any] = {"name": column.name, "type": kind, "description": column.meaning}
    if kind == "boolean":
        field |= {"trueValues": ["true"], "falseValues": ["false"]}
    if column.unit:
        field["unit"] = column.unit
    constraints = _constraints(column, kind)
    if constraints:
        field["constraints"] = constraints
    return field


def _constraints(column: Column, kind: str) -> dict[str, Any]:
    found: dict[str, Any] = {} if column.optional else {"required": True}
    if isinstance(column.dtype, pl.Enum):
        found["enum"] = column.dtype.categories.to_list()
    bounds = _BOUNDS.match(column.unit)
    if bounds and kind in ("number", "integer"):
        found |= {"minimum": float(bounds[1]), "maximum": float(bounds[2])}
    return found
