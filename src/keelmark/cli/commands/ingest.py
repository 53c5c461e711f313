"""`keelmark ingest`: bring a club log into the store."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from keelmark.cli.options import AsJson, Database, OwnMovements
from keelmark.cli.progress import told

if TYPE_CHECKING:
    from keelmark.service import Brought, BroughtWhiteboards

__all__ = ["ingest"]

SHOWN_ROWS = 20


def ingest(
    file: Annotated[Path, typer.Argument(help="A log, or with --whiteboard a score sheet: CSV, XLSX or Parquet.")],
    whiteboard: Annotated[
        Path | None,
        typer.Option(
            metavar="TEXTS", help="Whiteboard texts: a folder of text files, one file with dates, or a table."
        ),
    ] = None,
    roster: Annotated[
        Path | None, typer.Option(help="People of the squad, CSV or XLSX; names not in it are quarantined.")
    ] = None,
    mapping: Annotated[Path | None, typer.Option(help="A TOML file that says which column means what.")] = None,
    quiet_days: Annotated[
        str | None, typer.Option(help="What a day without a record means from now on: unlogged or rest.")
    ] = None,
    sheet: Annotated[str | None, typer.Option(help="Sheet of a workbook, where several could be meant.")] = None,
    athlete: Annotated[str | None, typer.Option(help="Whose log it is, where no column says so.")] = None,
    load_unit: Annotated[Literal["kg", "lb"], typer.Option(help="Unit of loads that state none.")] = "kg",
    height_unit: Annotated[Literal["cm", "in"] | None, typer.Option(help="Unit of heights that state none.")] = None,
    day_first: Annotated[
        bool | None, typer.Option("--day-first/--month-first", help="Order of dates such as 03/04/2026.")
    ] = None,
    decimal: Annotated[
        Literal["comma", "point"] | None, typer.Option(help="Decimal mark, where the file leaves it open.")
    ] = None,
    identical_rows: Annotated[
        Literal["duplicate", "separate"],
        typer.Option(help="Rows that say the same: one row written twice, or sets of their own."),
    ] = "duplicate",
    rep_ranges: Annotated[
        Literal["quarantine", "midpoint"],
        typer.Option(help="Reps such as 8-10: set aside, or the middle with both ends as bounds."),
    ] = "quarantine",
    fill_down_dates: Annotated[
        bool, typer.Option("--fill-down-dates", help="An empty date repeats the date above it.")
    ] = False,
    accept_repairs: Annotated[
        bool, typer.Option("--accept-repairs", help="Convert pounds in a kg column and fill in missing years.")
    ] = False,
    db: Database = None,
    movements: OwnMovements = None,
    as_json: AsJson = False,
) -> None:
    """Read a club log, or a score sheet with its whiteboard texts, and store it, whole or not at all.

    Every row ends as accepted, duplicate, blank, quarantined (with its reason and what to do) or another kind of line.
    """
    from keelmark.ingest import LogOptions
    from keelmark.service import Squad

    with told(quiet=as_json) as progress, Squad.open(db, own_movements=movements or ()) as squad:
        options = LogOptions(
            sheet=sheet,
            athlete=athlete,
            load_unit=load_unit,
            height_unit=height_unit,
            day_first=day_first,
            decimal=decimal,
            identical_rows=identical_rows,
            rep_ranges=rep_ranges,
            fill_down_dates=fill_down_dates,
            accept_repairs=accept_repairs,
        )
        if quiet_days is not None:
            squad.check_setting("quiet_days", quiet_days)
        brought: Brought | BroughtWhiteboards
        found = {"roster": roster, "mapping": mapping}
        if whiteboard is None:
            brought = squad.import_log(file, options=options, progress=progress, **found)
        else:
            brought = squad.import_whiteboards(file, whiteboard, options=options, progress=progress, **found)
        if quiet_days is not None:
            squad.set_setting("quiet_days", quiet_days)
        asks_about_quiet_days = quiet_days is None and squad.settings()["quiet_days"] == "unlogged"
        place = squad.place
    if as_json:
        typer.echo(json.dumps(brought.as_json(), ensure_ascii=False))
    else:
        _tell(brought, place, asks_about_quiet_days)
    if brought.reading.counts["quarantined"]:
        raise typer.Exit(1)


def _tell(brought: Brought | BroughtWhiteboards, place: str, asks_about_quiet_days: bool) -> None:
    from rich.console import Console
    from rich.table import Table

    from keelmark.ingest import counted

    console = Console(highlight=False)
    counts: dict[str, Any] = brought.reading.counts
    console.print(f"{brought.reading.file}: {counted(counts['rows'], 'row')} read", style="bold", markup=False)
    for verdict in ("accepted", "duplicate", "blank", "other", "quarantined"):
        console.print(f"  {counts[verdict]:>7}  {verdict}", markup=False)
    for warning in brought.reading.warnings:
        console.print(f"  note: {warning}", markup=False)
    quarantined = [row for row in brought.reading.rows.iter_rows(named=True) if row["verdict"] == "quarantined"]
    if quarantined:
        table = Table("row", "line", "reasons", "what to do", title="Quarantined, kept with their cells")
        for row in quarantined[:SHOWN_ROWS]:
            line = "" if row["line"] is None else str(row["line"])
            table.add_row(str(row["row"]), line, ", ".join(row["reasons"]), row["remedy"])
        console.print(table)
        if len(quarantined) > SHOWN_ROWS:
            console.print(f"and {len(quarantined) - SHOWN_ROWS} more: --json lists all of them, and the Log page too")
    outcome = brought.outcome
    if outcome.repeated:
        console.print(f"This file was stored before as import {outcome.import_id}; nothing was stored again.")
    else:
        efforts = counted(outcome.efforts, "effort")
        console.print(f"Stored {efforts} as import {outcome.import_id} in {place}", markup=False)
        if outcome.already_stored:
            console.print(f"{counted(outcome.already_stored, 'effort')} had come with an earlier import: counted once.")
    if asks_about_quiet_days:
        console.print(
            "Days without a record count as not known. If in your club no row means no training, "
            "run this again with --quiet-days rest.",
            style="dim",
        )
