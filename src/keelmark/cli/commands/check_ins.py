"""`keelmark check-ins`: bring answers that were given elsewhere."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from keelmark.cli.options import Database

__all__ = ["check_ins"]


def check_ins(
    file: Annotated[
        Path, typer.Argument(help="A CSV file: week, name, area, taking_part, amount, performance, symptoms.")
    ],
    db: Database = None,
) -> None:
    """Bring weekly answers that were given elsewhere, whole or not at all.

    Options are numbers from 0 (the least) to 3, as the Check-ins page lists them; a cell is empty where nothing is
    asked. Who is well has 0 under taking_part and nothing else. No answer changes a figure or a plan.
    """
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        kept = squad.import_check_ins(file)
        place = squad.place
    if kept:
        typer.echo(f"{kept} {'check-in' if kept == 1 else 'check-ins'} kept in {place}")
    else:
        typer.echo("Every answer of this file was kept before; nothing was kept again.")
