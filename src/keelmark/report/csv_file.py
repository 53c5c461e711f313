"""Tables as CSV files (RFC 4180) that no spreadsheet takes for formulas, and back again."""

from __future__ import annotations

import io
import json
import re

import polars as pl

from keelmark.contracts.schema import FrameSchema

__all__ = ["GUARD_RULE", "csv_bytes", "guarded", "unguarded"]

GUARD_RULE = (
    "A text cell that a spreadsheet would take for a formula has one apostrophe before it: cells that begin with =, +, "
    "-, @, a tab or a line end, also behind apostrophes. Take that one apostrophe away to have the text as it was. "
    "Numbers, dates and true or false stand as they are."
)
"""How text is made harmless, in words for whoever opens a file."""

_SIGNS = "=+\\-@\t\r\n＝＋－＠"
_FORMULA = re.compile(f"^'*[{_SIGNS}]")
_GUARDED = re.compile(f"^''*[{_SIGNS}]")
_BOM = "\ufeff"


def guarded(text: str) -> str:
    """A text that no spreadsheet carries out, by `GUARD_RULE`."""
    return f"'{text}" if _FORMULA.match(text) else text


def unguarded(text: str) -> str:
    """The text as it was before `guarded`."""
    return text[1:] if _GUARDED.match(text) else text


def csv_bytes(frame: pl.DataFrame, schema: FrameSchema) -> bytes:
    """A table as a CSV file: UTF-8 with its mark, lines end in CR LF, cells are quoted where they must be.

    Scope: lists stand as JSON, moments in UTC as ISO 8601, a null as an empty cell and an empty text as `""`.

    Parameters
    ----------
    frame : DataFrame
        Of the schema.
    schema : FrameSchema
        Its columns, in this order.

    Returns
    -------
    bytes
        The file.

    Raises
    ------
    FrameError
        When the frame is not of the schema.
    """
    told = schema.check(frame, where=f"export of {schema.name}").select(
        _as_text(name, dtype) for name, dtype in frame.select(schema.names).schema.items()
    )
    written = io.StringIO()
    told.write_csv(written, line_terminator="\r\n", quote_style="necessary", float_scientific=False)
    return (_BOM + written.getvalue()).encode()


def _as_text(name: str, dtype: pl.DataType) -> pl.Expr:
    column = pl.col(name)
    if isinstance(dtype, pl.List):
        return column.map_elements(_json_list, return_dtype=pl.String)
    if isinstance(dtype, pl.Datetime):
        return column.dt.strftime("%Y-%m-%dT%H:%M:%S%.6fZ")
    if dtype == pl.Date:
        return column.dt.to_string("%Y-%m-%d")
    if dtype == pl.String or isinstance(dtype, pl.Enum):
        return column.cast(pl.String).map_elements(guarded, return_dtype=pl.String)
    return column


def _json_list(cells: pl.Series) -> str:
    return json.dumps(cells.to_list(), ensure_ascii=False)
