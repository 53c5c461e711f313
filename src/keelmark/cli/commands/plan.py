"""`keelmark plan`: what a week of whiteboard texts comes to, where it clashes, and versions that fit on one board."""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from keelmark.cli.options import AsJson, Database, OwnMovements
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.text_file import read_text_file

__all__ = ["plan"]


def plan(
    week: Annotated[Path, typer.Argument(help="A text file with days and whiteboard texts; - reads what is piped.")],
    db: Database = None,
    athlete: Annotated[str | None, typer.Option(help="Whose matrix and clashes; else the first athlete's.")] = None,
    versions: Annotated[int, typer.Option(help="Versions of each session at most; 0 looks for none.")] = 3,
    limit: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME:CHANNEL=AMOUNT", help="A limit for this week only, beside those on record."),
    ] = None,
    intend: Annotated[
        list[str] | None,
        typer.Option(metavar="ONE:OTHER=RATIO", help="An intended balance such as vertical_push:vertical_pull=0.5."),
    ] = None,
    sensitivity: Annotated[str, typer.Option(help="How soon a clash is named: few, usual or many.")] = "usual",
    span: Annotated[str, typer.Option(help='Balance over the "week", "4 weeks" or the "season".')] = "week",
    days: Annotated[str, typer.Option(help='Balance with "own" days, "every day", "mwf" or "weekend".')] = "own",
    what_if: Annotated[
        list[str] | None,
        typer.Option(
            "--what-if", metavar="NAME:CHANGE", help='Such as "wren: skip wed", "wren: on mon fri", "wren: B".'
        ),
    ] = None,
    explain: Annotated[
        str | None, typer.Option(metavar="DAY", help="Explain one session, such as mon or fri-2.")
    ] = None,
    calendar: Annotated[Path | None, typer.Option(metavar="FILE", help="Write the week as an iCalendar file.")] = None,
    events: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Name the days of an iCalendar file's events in the squad first."),
    ] = None,
    movements: OwnMovements = None,
    as_json: AsJson = False,
) -> None:
    """Plan a week from its whiteboard texts: matrix, balance, clashes with repairs, everybody's week, versions.

    Works from the text alone while nothing is logged. Ends with 1 when limits cannot all be kept, or text has doubts.
    """
    from keelmark.cli import planning
    from keelmark.service import Squad

    text = sys.stdin.read() if str(week) == "-" else read_text_file(week)
    meant = dict(planning.intended(pair) for pair in intend or [])
    planning.check_choices(sensitivity, span)
    coming = planning.attendance(days)
    with Squad.open(db, own_movements=movements or ()) as squad:
        if events is not None:
            typer.echo(f"{squad.import_events(_bytes(events))} new in the squad's calendar", err=True)
        made = squad.plan(text)
        if not made.week.sessions:
            raise RefusedInput(
                "there is no session in the text",
                where=str(week),
                wanted="whiteboard texts under the names of days",
                remedy="write a day such as Monday above each session",
            )
        figures = planning.PlanFigures(
            plan=made,
            athlete=athlete,
            sensitivity=sensitivity,
            span=span,
            meant=meant,
            days=coming,
            most=versions,
            limits=[planning.agreed_limit(written, made) for written in limit or []],
            session=planning.chosen_session(explain, made) if explain is not None else None,
            asked=[planning.what_if(written, made) for written in what_if or []],
        )
        if calendar is not None:
            calendar.write_bytes(made.calendar(stamp=dt.datetime.now(dt.UTC)))
        if as_json:
            typer.echo(json.dumps(planning.plain(figures), ensure_ascii=False))
        else:
            planning.show(figures)
        if figures.doubts or (figures.programme is not None and figures.programme.conflict):
            raise typer.Exit(1)


def _bytes(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        raise RefusedInput(
            f"the file cannot be read ({error.__class__.__name__})",
            where=str(file),
            wanted="an iCalendar file",
            remedy="check the file's name",
        ) from error
