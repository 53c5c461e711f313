"""What the last whiteboard brought: each athlete's result and work, and the way back."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import html

from keelmark_dash import ids
from keelmark_dash.parts.table import table
from keelmark_dash.shown_as import movement_words
from keelmark_dash.words import amount, count, day_words

__all__ = ["UNDO", "last_whiteboard", "stored_session", "work_words"]

UNDO = "wb-undo"
_UNITS = (("reps", "rep"), ("distance_m", "m"), ("duration_s", "s"), ("calories", "kcal"))
_SHOWN = 40


def last_whiteboard(imports: pl.DataFrame) -> dict[str, Any] | None:
    """The newest import of a whiteboard that stands, or None."""
    standing = imports.filter(pl.col("kind") == "whiteboard", pl.col("undone_at").is_null())
    return standing.row(-1, named=True) if standing.height else None


def stored_session(
    brought: dict[str, Any], efforts: pl.DataFrame, sessions: pl.DataFrame, names: dict[str, str]
) -> html.Details:
    """The last import of a whiteboard, opened by pressing on it: a line for each athlete and session."""
    mine = sessions.filter(pl.col("import_id") == brought["import_id"]).sort(
        "date", "athlete_id", descending=[True, False]
    )
    done = efforts.filter(pl.col("import_id") == brought["import_id"])
    heads = [("Athlete", "text"), ("Day", "text"), ("Result", "text"), ("Work stored", "words")]
    body = [
        [names.get(row["athlete_id"], row["athlete_id"]), day_words(row["date"]), row["result"] or "",
         work_words(done.filter(pl.col("session_id") == row["session_id"]))]
        for row in mine.head(_SHOWN).iter_rows(named=True)
    ]  # fmt: skip
    more = (
        [html.P(f"The latest {_SHOWN} of {mine.height} are shown.", className="soft")] if mine.height > _SHOWN else []
    )
    summary = f"{count(done.height, 'effort')} of {count(mine['athlete_id'].n_unique(), 'athlete')}"
    button = dmc.Button("Take it back", id=ids.each(ids.LOG, UNDO, brought["import_id"]), variant="default")
    return html.Details(
        [
            html.Summary([html.Strong("Stored last: "), f"{brought['file']}, {summary}"]),
            table("What was stored last", heads, body, hide_caption=True, stack=True),
            *more,
            html.Div(button, className="answers"),
        ],
        className="wb-stored",
    )


def work_words(rows: pl.DataFrame) -> str:
    """Totals by movement, in the order of the session: `50 reps of back squat at 105 kg`."""
    told = []
    for (movement,), own in rows.sort("order").group_by(["movement"], maintain_order=True):
        key, unit = next(((key, unit) for key, unit in _UNITS if own[key].null_count() < own.height), ("", ""))
        known = amount(float((own[key] * own["sets"]).sum()), unit) if key else "an unknown amount"
        loads = own["load_kg"].drop_nulls().unique().sort()
        at = f" at {amount(loads[0], 'kg')}" if loads.len() == 1 else ""
        told.append(f"{known} of {movement_words(str(movement))}{at}")
    return ", ".join(told) or "no work that could be read"
