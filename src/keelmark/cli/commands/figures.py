"""`keelmark figures`: each athlete's week by channel, with marks, as a table or as JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.options import AsJson, Database, OwnMovements

if TYPE_CHECKING:
    import polars as pl
    from rich.table import Table

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
        season = squad.season()
        frame = season.figures(athlete=athlete, week=week, all_weeks=all_weeks) if season.weeks else None
    if frame is None:
        typer.echo("[]" if as_json else "Nothing is logged yet. Begin with: keelmark ingest FILE")
    elif as_json:
        typer.echo(json.dumps([_plain(row) for row in frame.iter_rows(named=True)], ensure_ascii=False))
    else:
        _print(frame)


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {key: value.isoformat() if hasattr(value, "isoformat") else value for key, value in row.items()}


def _print(frame: pl.DataFrame) -> None:
    from rich.console import Console

    from keelmark.contracts.words import SCOPE_LINE

    console = Console(highlight=False)
    reasons: dict[str, int] = {}
    for (athlete, week), rows in frame.group_by(["name", "week"], maintain_order=True):
        console.print(_table(f"{athlete}, {week}", rows, reasons))
    for reason, number in reasons.items():
        console.print(f"  ({number}) no ratio: {reason}", markup=False)
    console.print(SCOPE_LINE, style="dim")


def _table(title: str, rows: pl.DataFrame, reasons: dict[str, int]) -> Table:
    from rich.table import Table

    from keelmark.contracts.words import PLACE_WORDS

    table = Table(title=title, title_justify="left", title_style="bold")
    for heading in ("kind of work", "amount", "bounds", "own usual range", "place", "7 : 28 days"):
        table.add_column(heading, justify="right" if heading in ("amount", "7 : 28 days") else "left")
    for row in rows.iter_rows(named=True):
        ratio = _short(row["ratio_coupled"])
        if row["gate"]:
            ratio = f"({reasons.setdefault(row['gate'], len(reasons) + 1)})"
        table.add_row(
            row["label"],
            f"{_short(row['value'])} {row['unit']}",
            _span(row["low"], row["high"]),
            _span(row["lower"], row["upper"]),
            PLACE_WORDS[row["place"] or "not_known"],
            ratio,
        )
    return table


def _span(low: float | None, high: float | None) -> str:
    if low is None and high is None:
        return "not known"
    if high is None:
        return f"{_short(low)} or more"
    return f"{_short(low)} to {_short(high)}"


def _short(value: float | None) -> str:
    if value is None:
        return "not known"
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:,.3g}"
