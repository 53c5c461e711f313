"""The verdict on every row below the header: exactly one of five."""

from __future__ import annotations

from typing import Any

import polars as pl

from keelmark.ingest.body import Body, row_text
from keelmark.ingest.duplicates import DuplicateKind
from keelmark.ingest.reasons import REASONS, Finding, message, remedy

__all__ = ["ROWS_SCHEMA", "VERDICTS", "repairable", "verdict_rows"]

VERDICTS = ("accepted", "duplicate", "blank", "other", "quarantined")
ROWS_SCHEMA = pl.Schema(
    [
        ("row", pl.Int64),
        ("line", pl.Int64),
        ("verdict", pl.Enum(VERDICTS)),
        ("of_row", pl.Int64),
        ("duplicate_kind", pl.Enum(["exact", "normalised"])),
        ("reasons", pl.List(pl.String)),
        ("columns", pl.List(pl.String)),
        ("messages", pl.List(pl.String)),
        ("remedy", pl.String),
        ("repairable", pl.Boolean),
        ("notes", pl.List(pl.String)),
        ("cells", pl.String),
    ]
)


def verdict_rows(
    body: Body,
    kept: set[int],
    findings: dict[int, list[Finding]],
    duplicates: dict[int, tuple[int, DuplicateKind]],
    notes: dict[int, list[str]],
) -> pl.DataFrame:
    """One row for each row below the header.

    Parameters
    ----------
    body : Body
        The rows, sorted into data, blank, other and broken.
    kept : set of int
        Positions among the data rows that are not quarantined.
    findings : dict
        Findings by position among the data rows.
    duplicates : dict
        Index of a repeated row to the index of the first one and how alike they are.
    notes : dict
        Codes told beside accepted rows, by position.
    """
    count = len(body.rows)
    table: dict[str, list[Any]] = {name: [None] * count for name in ROWS_SCHEMA}
    table["row"], table["line"] = body.numbers, body.lines
    table["cells"] = [row_text(row) for row in body.rows]
    table["reasons"] = [[] for _ in range(count)]
    table["columns"] = [[] for _ in range(count)]
    table["messages"] = [[] for _ in range(count)]
    table["notes"] = [[] for _ in range(count)]
    for indices, verdict in ((body.blank, "blank"), (body.other, "other")):
        for index in indices:
            table["verdict"][index] = verdict
    for index, finding in body.broken.items():
        _quarantine(table, body, index, [finding])
    for position, index in enumerate(body.data):
        if position not in kept:
            _quarantine(table, body, index, findings[position])
        elif index in duplicates:
            first, kind = duplicates[index]
            table["verdict"][index], table["of_row"][index] = "duplicate", body.numbers[first]
            table["duplicate_kind"][index] = kind
        else:
            table["verdict"][index] = "accepted"
            table["notes"][index] = notes.get(position, [])
    return pl.DataFrame(table, schema=ROWS_SCHEMA)


def _quarantine(table: dict[str, list[Any]], body: Body, index: int, findings: list[Finding]) -> None:
    row, line = body.numbers[index], body.lines[index]
    table["verdict"][index] = "quarantined"
    table["reasons"][index] = list(dict.fromkeys(finding.code for finding in findings))
    table["columns"][index] = list(dict.fromkeys(finding.column for finding in findings if finding.column))
    table["messages"][index] = [message(finding, row=row, line=line) for finding in findings]
    table["remedy"][index] = "; ".join(dict.fromkeys(remedy(finding) for finding in findings))
    table["repairable"][index] = repairable(findings)


def repairable(findings: list[Finding]) -> bool:
    """True when every finding has a repair that needs no guess."""
    return all(REASONS[finding.code].repairable and finding.hint for finding in findings)
