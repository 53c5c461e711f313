"""Efforts read from a whiteboard as rows of the table that all stages share."""

from __future__ import annotations

import datetime

import polars as pl

from keelmark.contracts.frames import EFFORT
from keelmark.notation.read import Reading, WorkDone

__all__ = ["effort_rows", "to_efforts_frame"]


def to_efforts_frame(
    reading: Reading, *, athlete_id: str, date: datetime.date, session_id: str, import_id: str, first_order: int = 0
) -> pl.DataFrame:
    """The efforts of a reading as an EFFORT table for one athlete and session."""
    rows = effort_rows(
        reading, athlete_id=athlete_id, date=date, session_id=session_id, import_id=import_id, first_order=first_order
    )
    return EFFORT.build(rows)


def effort_rows(
    reading: Reading, *, athlete_id: str, date: datetime.date, session_id: str, import_id: str, first_order: int = 0
) -> list[dict[str, object]]:
    """The efforts of a reading as plain EFFORT rows, to gather many readings into one table."""
    common: dict[str, object] = {
        "athlete_id": athlete_id,
        "date": date,
        "session_id": session_id,
        "source": "score",
        "import_id": import_id,
    }
    rows = []
    for place, work in enumerate(reading.efforts):
        label = reading.tree.sections[work.section].label
        rows.append(
            {
                **common,
                "block": label or str(work.section + 1),
                "order": first_order + place,
                **_figures(work),
                "effort_s": reading.clocks[work.section] if reading.clocks else None,
                "text_start": work.start,
                "text_end": work.end,
                "text": reading.text[work.start : work.end],
            }
        )
    return rows


def _figures(work: WorkDone) -> dict[str, object]:
    side = {"each": "both", "alternating": "alternating"}.get(work.side)
    return {
        "movement": work.movement,
        "version": work.version,
        "sets": work.sets,
        work.measure: float(work.amount),
        "load_kg": work.load_kg,
        "load_basis": work.load_basis,
        "height_cm": work.height_cm,
        "start_height_cm": work.start_height_cm,
        "side": side,
        "rpe": work.rpe,
        "share_low": work.low / work.amount if work.amount else 1.0,
        "share_high": work.high / work.amount if work.amount else 1.0,
    }
