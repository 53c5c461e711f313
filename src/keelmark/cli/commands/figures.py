"""`keelmark figures`: each athlete's week by channel, with marks, as a table or as JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.options import AsJson, Database, OwnMovements
from keelmark.contracts.rounding import place_of, told, told_alone, told_at, told_at_least

if TYPE_CHECKING:
    import polars as pl
    from rich.table import Table

__all__ = ["figures"]

_COUNTED = ("rep", "contact", "strike", "cycle")


def figures(
    source: Annotated[
        str | None, typer.Argument(metavar="IN", help="Folder of parts written by `keelmark parts`; then OUT too.")
    ] = None,
    target: Annotated[
        str | None, typer.Argument(metavar="OUT", help="Folder to write the figures of all parts to.")
    ] = None,
    athlete: Annotated[str | None, typer.Option(help="One athlete, by name; else everybody.")] = None,
    week: Annotated[str | None, typer.Option(help="One ISO week such as 2026-W10; else the last one.")] = None,
    all_weeks: Annotated[bool, typer.Option("--all-weeks", help="Every week instead of one.")] = False,
    db: Database = None,
    movements: OwnMovements = None,
    engine: Annotated[
        str, typer.Option(help="For parts: local for threads of this machine, dask for a Dask cluster.")
    ] = "local",
    scheduler: Annotated[
        str | None, typer.Option(metavar="ADDRESS", help="A running Dask scheduler, such as tcp://host:8786.")
    ] = None,
    workers: Annotated[int | None, typer.Option(min=1, help="For parts: how many work at once.")] = None,
    plain: Annotated[bool, typer.Option("--plain", help="For parts: amounts and ratios without bounds, fast.")] = False,
    as_json: AsJson = False,
) -> None:
    """Print weekly figures: amount, bounds, own usual range, place, and why a ratio is withheld.

    With IN and OUT, work out the parts of a large log instead, here or on many machines.
    """
    if source is not None:
        from keelmark.cli.commands.parts import figures_of_parts

        figures_of_parts(source, target, engine, scheduler, workers, plain, movements, as_json)
        return
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
            *_amount(row),
            PLACE_WORDS[row["place"] or "not_known"],
            ratio,
        )
    return table


def _amount(row: dict[str, Any]) -> tuple[str, str, str]:
    """Amount with unit, bounds and own usual range, each with as many digits as the interval leaves."""
    value, low, high = row["value"], row["low"], row["high"]
    marks = [row["lower"], row["upper"]]
    whole = row["unit"] in _COUNTED
    if value is None:
        known = "not known" if low is None else f"{told_at_least(low, whole=whole)} or more"
        return "not known", known, _range(marks, None, whole)
    beside = [mark for mark in marks if mark is not None]
    text = told(value, low, high, whole=whole, beside=beside)
    bounds = f"{text.low} or more" if text.high is None else f"{text.low} to {text.high}"
    if low == high:
        bounds = "exact"
    return f"{text.value} {row['unit']}", bounds, _range(marks, place_of(value, low, high, beside), whole)


def _range(marks: list[float | None], place: int | None, whole: bool) -> str:
    least, most = (None if mark is None else _mark(mark, place, whole) for mark in marks)
    if most is None:
        return "not known" if least is None else f"{least} or more"
    return f"up to {most}" if least is None else f"{least} to {most}"


def _mark(mark: float, place: int | None, whole: bool) -> str:
    if whole:
        place = max(place or 0, 0)
        return told_at(round(mark), place)
    return told_alone(mark) if place is None else told_at(mark, place)


def _short(value: float | None) -> str:
    if value is None:
        return "not known"
    return told_alone(value)
