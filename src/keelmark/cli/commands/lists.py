"""`keelmark roster`, `days` and `labels`: bring the lists that stand beside a log."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.options import Database

if TYPE_CHECKING:
    from keelmark.service import Squad
    from keelmark.store import ImportOutcome

__all__ = ["days", "labels", "roster"]

ListFile = Annotated[Path, typer.Argument(help="A list: CSV, XLSX or Parquet.")]


def roster(file: ListFile, db: Database = None) -> None:
    """Bring a list of people: name, and perhaps group, sex, body mass, stature, standard, maxima."""
    _bring(db, lambda squad: squad.import_roster(file))


def days(file: ListFile, db: Database = None) -> None:
    """Bring what is known of days without training: athlete or all, date or from and to, state."""
    _bring(db, lambda squad: squad.import_days(file))


def labels(file: ListFile, db: Database = None) -> None:
    """Bring calendar labels: from, to, and what the stretch is called; perhaps the training group it is for."""
    _bring(db, lambda squad: squad.import_labels(file))


def _bring(db: str | None, bring: Callable[[Squad], ImportOutcome]) -> None:
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        outcome = bring(squad)
        rows = squad.import_rows(outcome.import_id)
        place = squad.place
    if outcome.repeated:
        typer.echo(f"This file was stored before as import {outcome.import_id}; nothing was stored again.")
    else:
        typer.echo(f"Stored as import {outcome.import_id} in {place}")
    quarantined: list[dict[str, Any]] = rows.filter(rows["verdict"].cast(str) == "quarantined").to_dicts()
    for row in quarantined:
        typer.echo(f"row {row['row']} set aside: {', '.join(row['reasons'])}. What to do: {row['remedy']}.")
    if quarantined:
        raise typer.Exit(1)
