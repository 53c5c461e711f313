"""Reading a Parquet table into cells."""

from __future__ import annotations

import io
from collections.abc import Mapping

import polars as pl

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import Cell, CellTable
from keelmark.ingest.options import LogOptions
from keelmark.ingest.source import MAX_UNPACKED_BYTES, MEGABYTE, Source

__all__ = ["read_parquet"]

_CALENDAR = {pl.Date: (-719_162, 2_932_896), pl.Datetime: (-719_161, 2_932_895)}
"""From the year 1 to 9999 in days since 1970; a day less at both ends where a time zone may move it."""
_PARTS_OF_DAY = {"ms": 86_400_000, "us": 86_400_000_000, "ns": 86_400_000_000_000}


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
        _refuse_swollen(source, columns)
        frame = pl.read_parquet(io.BytesIO(source.data))
    except RefusedInput:
        raise
    except BaseException as error:
        if isinstance(error, (KeyboardInterrupt, SystemExit, MemoryError)):
            raise
        raise RefusedInput(
            "the Parquet table cannot be read",
            where=source.name,
            wanted="a whole Parquet file",
            remedy="export it again",
        ) from error
    header: list[Cell] = list(frame.columns)
    body: list[list[Cell]] = [[_cell(value) for value in row] for row in zip(*map(_values, frame), strict=True)]
    return CellTable(source.name, [header, *body], list(range(len(body) + 1)))


def _refuse_swollen(source: Source, columns: Mapping[str, pl.DataType]) -> None:
    """Refuse texts that stand once in the file and many times in the table, before they are laid out in memory."""
    texts = [name for name, kind in columns.items() if kind in (pl.String, pl.Binary, pl.Categorical)]
    if not texts:
        return
    lengths = pl.scan_parquet(io.BytesIO(source.data)).select(
        pl.col(texts).cast(pl.String, strict=False).str.len_bytes().cast(pl.UInt64).sum()
    )
    size = sum(value or 0 for value in lengths.collect(engine="streaming").row(0))
    if size > MAX_UNPACKED_BYTES:
        raise RefusedInput(
            f"the table's texts unpack to {size // MEGABYTE:,} MB",
            where=source.name,
            wanted=f"at most {MAX_UNPACKED_BYTES // MEGABYTE:,} MB unpacked",
            remedy="keep the columns that describe the training",
        )


def _values(column: pl.Series) -> list[object]:
    """The values of a column; days beyond every calendar stand as the numbers they are kept by."""
    bounds = _CALENDAR.get(column.dtype.base_type())
    if bounds is None:
        return list(column.to_list())
    numbers = column.to_physical().cast(pl.Int64)
    scale = _PARTS_OF_DAY[column.dtype.time_unit] if isinstance(column.dtype, pl.Datetime) else 1
    fits = numbers.is_between(bounds[0] * scale, bounds[1] * scale)
    days = column.to_frame().select(pl.when(fits).then(pl.first())).to_series().to_list()
    return [day if fit or fit is None else number for day, fit, number in zip(days, fits, numbers, strict=True)]


def _cell(value: object) -> Cell:
    if value is None or isinstance(value, Cell):
        return value
    return str(value)
