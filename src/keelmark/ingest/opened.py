"""The first steps of every reading: the file, its tables, the header and the rows below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.body import Body, read_body
from keelmark.ingest.header import Header, find_header
from keelmark.ingest.mapping import read_mapping
from keelmark.ingest.names import ColumnNames
from keelmark.ingest.options import LogOptions
from keelmark.ingest.source import Source, read_source
from keelmark.ingest.tables import open_tables

__all__ = ["OpenedFile", "open_file"]


@dataclass(frozen=True, slots=True)
class OpenedFile:
    """A file with its columns named and its rows sorted, and how it is written."""

    source: Source
    form: dict[str, str]
    header: Header
    body: Body


def open_file(
    path: Path | str,
    names: ColumnNames,
    required: Sequence[tuple[str, ...]],
    options: LogOptions,
    mapping: Path | str | None = None,
    *,
    rows_needed: bool = False,
) -> OpenedFile:
    """Read a file up to its rows.

    Parameters
    ----------
    path : path
        CSV, XLSX or Parquet.
    names : ColumnNames
        The names that each kind of column may have.
    required : sequence of tuple of str
        Kinds of columns of which one set must be there.
    options : LogOptions
        How to read what the file leaves open.
    mapping : path, optional
        A TOML file that says which column means what.
    rows_needed : bool
        Refuse a header without a row.

    Raises
    ------
    RefusedInput
        When the file cannot be used at all.
    """
    by_hand = read_mapping(Path(mapping), names.kinds()) if mapping is not None else None
    source = read_source(Path(path), options.max_bytes)
    tables, form = open_tables(source, options)
    header = find_header(tables, names, required, where=source.name, mapping=by_hand)
    body = read_body(header)
    if rows_needed and not body.rows:
        raise RefusedInput(
            "there is a header but no row below it",
            where=source.name,
            wanted="at least one row",
            remedy="save the table again and check that the rows are in it",
        )
    return OpenedFile(source, form, header, body)
