"""`keelmark figures`: each athlete's week by channel, with marks, as a table or as JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.options import AsJson, Database, OwnMovements

if TYPE_CHECKING:
    import polars as pl

__all__ = ["figures"]


def figures(
    athlete: Annotated[str | None, typer.Option(help="One athlete, by name; else everybody.")] = None,
    week: Annotated[str | None, typer.Option(help="One ISO week such as 2026-W10; else the last one.")] = None,
    all_weeks: Annotated[bool, typer.Option("--all-weeks", help="Every week instead of one.")] = False,
    db: Database = None,
    movements: OwnMovements = None,
    as_json: AsJson = False,
) -> None:
    """Print weekly figures: amount, bounds, own usual range, place, and why a ratio is withheld."""
    from keelmark.service import Squad

    with Squad.open(db, own_movements=movements or ()) as squad:
        frame = squad.season().figures(athlete=athlete, week=week, all_weeks=all_weeks)
    if as_json:
        typer.echo(json.dumps([_plain(row) for row in frame.iter_rows(named=True)], ensure_ascii=False))
    else:
        _print(frame)


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {key: value.isoformat() if hasattr(value, "isoformat") else value for key, value in row.items()}


def _print(frame: pl.DataFrame) -> None:
    from rich.console import Console
    from rich.table import Table

    from keelmark.contracts.words import PLACE_WORDS, SCOPE_LINE

    console = Console()
    for (athlete, week), rows in frame.group_by(["name", "week"], maintain_order=True):
        table = Table(title=f"{athlete}, {week}", title_justify="left", title_style="bold")
        for heading in ("channel", "amount", "from", "to", "unit", "usual range", "place", "not shown because"):
            table.add_column(heading, justify="right" if heading in ("amount", "from", "to") else "left")
        for row in rows.iter_rows(named=True):
            usual = "" if row["upper"] is None else f"{_short(row['lower'])} to {_short(row['upper'])}"
            table.add_row(
                row["label"],
                _short(row["value"]),
                _short(row["low"]),
                _short(row["high"]),
                row["unit"],
                usual,
                PLACE_WORDS[row["place"] or "not_known"],
                row["gate"] or "",
            )
        console.print(table)
    console.print(SCOPE_LINE, style="dim")


def _short(value: float | None) -> str:
    if value is None:
        return "not known"
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:,.3g}"
