"""Reading calendar labels: stretches of days in which something else than usual is expected."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import polars as pl

from keelmark.contracts.records import CALENDAR_LABEL
from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell, as_text
from keelmark.ingest.columns import Column, parse_column
from keelmark.ingest.duplicates import find_duplicates
from keelmark.ingest.evidence import date_rule
from keelmark.ingest.header import Header
from keelmark.ingest.names import column_names
from keelmark.ingest.opened import open_file
from keelmark.ingest.options import LogOptions
from keelmark.ingest.periods import period_days, period_findings
from keelmark.ingest.reasons import Finding
from keelmark.ingest.values.dates import parse_date
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.verdicts import VERDICTS, verdict_rows

__all__ = ["LabelReading", "read_labels"]

REQUIRED = (("first", "last", "label"), ("date", "label"))


@dataclass(frozen=True, slots=True)
class LabelReading:
    """The CALENDAR_LABEL table of a file, and the verdict on every row; label_id is the row's number in the file."""

    file: str
    sha256: str
    labels: pl.DataFrame
    rows: pl.DataFrame

    @property
    def counts(self) -> dict[str, int]:
        """Rows read and how many ended in each way."""
        found = Counter(self.rows["verdict"].to_list())
        return {"rows": self.rows.height, **{verdict: found[verdict] for verdict in VERDICTS}}


def read_labels(
    path: Path | str, *, mapping: Path | str | None = None, options: LogOptions | None = None
) -> LabelReading:
    """Read calendar labels from CSV, XLSX or Parquet.

    A row names a day or a first and last day, what the stretch is called, and perhaps the training group it is for.

    Parameters
    ----------
    path : path
        The file.
    mapping : path, optional
        A TOML file that says which column means what.
    options : LogOptions, optional
        Orders that the file leaves open.

    Raises
    ------
    RefusedInput
        When the file cannot be used at all.
    """
    options = options or LogOptions()
    opened = open_file(path, column_names("labels"), REQUIRED, options, mapping)
    source, header, body = opened.source, opened.header, opened.body
    columns = {kind: _column(kind, header, body, options) for kind in header.columns}
    findings = {at: found for at in range(len(body.data)) if (found := _findings(columns, at, options))}
    kept = [at for at in range(len(body.data)) if at not in findings]
    duplicates = find_duplicates(
        (index, body.rows[index], body.texts[index]) for index in (body.data[at] for at in kept)
    )
    accepted = [at for at in kept if body.data[at] not in duplicates]
    labels = CALENDAR_LABEL.build([_label(columns, at, body) for at in accepted])
    return LabelReading(source.name, source.sha256, labels, verdict_rows(body, set(kept), findings, duplicates, {}))


def _column(kind: str, header: Header, body: Body, options: LogOptions) -> Column:
    use = header.columns[kind]
    cells = [body.rows[index][use.index] for index in body.data]
    if kind in ("label", "group"):
        return parse_column(kind, use.title, cells, _words)
    return parse_column(kind, use.title, cells, partial(parse_date, rule=date_rule(header, body, options, kind)))


def _words(cell: Cell) -> Parsed[str]:
    return Parsed(" ".join(as_text(cell).split()) or None)


def _findings(columns: dict[str, Column], position: int, options: LogOptions) -> list[Finding]:
    found = period_findings(columns, position, options)
    if columns["label"].values[position] is None:
        found = [*found, Finding(position, "missing_label", columns["label"].title)]
    return found


def _label(columns: dict[str, Column], position: int, body: Body) -> dict[str, object]:
    first, last = period_days(columns, position)
    return {
        "label_id": str(body.numbers[body.data[position]]),
        "date_from": first,
        "date_to": last,
        "label": columns["label"].values[position],
        "group": columns["group"].values[position] if "group" in columns else None,
    }
