"""The last audit as a sheet to take away: one row for each number of its tables."""

from __future__ import annotations

from typing import Any

import polars as pl

from keelmark.contracts.schema import Column, FrameSchema
from keelmark.report import Sheet
from keelmark_dash.page import Visit

__all__ = ["audit_sheet"]

_CASES = ("frequency", "rule", "change", "extent", "name", "said")
"""Columns that say which case a row of a table is; with `scatter` where the table is sorted by it."""
_AUDIT = FrameSchema(
    "Audit",
    "how often each rule spoke in drawn seasons in which nothing changes, and of changes planted in them",
    (
        Column("table", pl.String, "", "table of the audit"),
        Column("squad", pl.String, "", "own, or the made-up reference"),
        Column("case", pl.String, "", "which row of the table", optional=True),
        Column("figure", pl.String, "", "what was counted or worked out"),
        Column("value", pl.Float64, "of the figure", "how much", optional=True),
    ),
)


def audit_sheet(here: Visit) -> Sheet:
    """Every number of the last audit while the figures are the same; no row where there is none."""
    report = here.squad.kept_audit()
    tables = ("quiet", "notices", "planted", "steadiness", "named", "ramps")
    rows = [] if report is None else [row for name in tables for row in _rows(name, getattr(report.audit, name))]
    return Sheet("audit", _AUDIT, pl.DataFrame(rows, schema=_AUDIT.polars))


def _rows(table: str, frame: pl.DataFrame) -> list[dict[str, Any]]:
    cases = [name for name in (*_CASES, *(["scatter"] if table == "steadiness" else [])) if name in frame.columns]
    figures = [name for name in frame.columns if name not in ("squad", *cases)]
    return [
        {
            "table": table,
            "squad": row["squad"],
            "case": ", ".join(f"{name} {row[name]}" for name in cases),
            "figure": name,
            "value": row[name],
        }
        for row in frame.iter_rows(named=True)
        for name in figures
    ]
