"""The verdict on every row below the header: exactly one of five."""

from __future__ import annotations

from typing import Any

import polars as pl

from keelmark.contracts.records import IMPORT_ROW, VERDICTS
from keelmark.ingest.body import Body
from keelmark.ingest.duplicates import DuplicateKind
from keelmark.ingest.reasons import REASONS, Finding, message, remedy

__all__ = ["ROWS_SCHEMA", "VERDICTS", "repairable", "verdict_rows"]

ROWS_SCHEMA = IMPORT_ROW.polars


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
    verdicts: list[str | None] = [None] * count
    firsts: list[int | None] = [None] * count
    kinds: list[str | None] = [None] * count
    told: list[dict[str, Any]] = []
    for indices, verdict in ((body.blank, "blank"), (body.other, "other")):
        for index in indices:
            verdicts[index] = verdict
    for index, finding in body.broken.items():
        verdicts[index] = "quarantined"
        told.append(_reasons(body, index, [finding]))
    for position, index in enumerate(body.data):
        if position not in kept:
            verdicts[index] = "quarantined"
            told.append(_reasons(body, index, findings[position]))
        elif index in duplicates:
            verdicts[index] = "duplicate"
            first, kinds[index] = duplicates[index]
            firsts[index] = body.numbers[first]
        else:
            verdicts[index] = "accepted"
            if position in notes:
                told.append({"index": index, "notes": notes[position]})
    table = {
        "index": range(count),
        "row": body.numbers,
        "line": body.lines,
        "verdict": verdicts,
        "of_row": firsts,
        "duplicate_kind": kinds,
        "cells": body.texts,
    }
    rows = pl.DataFrame(table, schema={"index": pl.Int64, **{name: ROWS_SCHEMA[name] for name in list(table)[1:]}})
    sparse = [name for name in ROWS_SCHEMA if name not in table]
    details = pl.DataFrame(told, schema={"index": pl.Int64, **{name: ROWS_SCHEMA[name] for name in sparse}})
    lists = [name for name in sparse if ROWS_SCHEMA[name] == pl.List(pl.String)]
    return (
        rows.join(details, on="index", how="left", maintain_order="left")
        .with_columns(pl.col(lists).fill_null(pl.lit([], dtype=pl.List(pl.String))))
        .select(ROWS_SCHEMA.names())
    )


def _reasons(body: Body, index: int, findings: list[Finding]) -> dict[str, Any]:
    row, line = body.numbers[index], body.lines[index]
    return {
        "index": index,
        "reasons": list(dict.fromkeys(finding.code for finding in findings)),
        "columns": list(dict.fromkeys(finding.column for finding in findings if finding.column)),
        "messages": [message(finding, row=row, line=line) for finding in findings],
        "remedy": "; ".join(dict.fromkeys(remedy(finding) for finding in findings)),
        "repairable": repairable(findings),
    }


def repairable(findings: list[Finding]) -> bool:
    """True when every finding has a repair that needs no guess."""
    return all(REASONS[finding.code].repairable and finding.hint for finding in findings)
