"""Reading a Parquet table into cells."""

from __future__ import annotations

import io

import polars as pl

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import Cell, CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.source import Source

__all__ = ["read_parquet"]


def read_parquet(source: Source, options: LogOptions) -> CellTable:
    """The table as cells; its column names are the first row, data row n has line n.

    Raises
    ------
    RefusedInput
        When the table is damaged or too large.
    """
    try:
        rows = pl.scan_parquet(io.BytesIO(source.data)).select(pl.len()).collect().item()
        columns = pl.read_parquet_schema(io.BytesIO(source.data))
        if rows > options.max_rows or len(columns) > options.max_columns:
            raise RefusedInput(
                f"the table has {rows:,} rows and {len(columns)} columns",
                where=source.name,
                wanted=f"at most {options.max_rows:,} rows and {options.max_columns} columns",
                remedy="split the table and read the parts one after another",
            )
        frame = pl.read_parquet(io.BytesIO(source.data))
    except (pl.exceptions.PolarsError, OSError) as error:
        raise RefusedInput(
            "the Parquet table cannot be read",
            where=source.name,
            wanted="a whole Parquet file",
            remedy="export it again",
        ) from error
    header: list[Cell] = list(frame.columns)
    body: list[list[Cell]] = [[_cell(value) for value in row] for row in frame.iter_rows()]
    return CellTable(source.name, [header, *body], list(range(len(body) + 1)))


def _cell(value: object) -> Cell:
    if value is None or isinstance(value, Cell):
        return value
    return str(value)
