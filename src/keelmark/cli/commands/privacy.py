"""`keelmark privacy`: what people agreed to, who agrees for those under age, and what is past its time."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict
from typing import Annotated

import typer

from keelmark.cli.options import AsJson, Database
from keelmark.contracts.errors import SettingError

__all__ = ["app"]

app = typer.Typer(no_args_is_help=True, help="What athletes agreed to, and how long anything is kept.")
_Name = Annotated[str, typer.Argument(metavar="NAME", help="First name or key, as it stands in the roster.")]
_Purpose = Annotated[str, typer.Option("--purpose", help="answers or question; see `keelmark privacy show`.")]
_By = Annotated[str, typer.Option("--by", metavar="WHO", help="Who says it: the athlete, or the guardian by name.")]


@app.command("show")
def show(name: _Name, db: Database = None, as_json: AsJson = False) -> None:
    """Where somebody stands on each purpose, and who agrees for them if they are under age."""
    from keelmark.service import Squad
    from keelmark.service.agreeing import PURPOSES

    with Squad.open(db) as squad:
        athlete = squad.season().athlete_key(name)
        stands, guardian = squad.agreements(athlete), squad.guardian(athlete)
    if as_json:
        told = {"agreements": [asdict(one) for one in stands], "guardian": asdict(guardian) if guardian else None}
        typer.echo(json.dumps(told, default=str, ensure_ascii=False))
        return
    for one in stands:
        when = f" on {one.on} by {one.given_by}" if one.on else ""
        typer.echo(f"{one.purpose}: {one.state}{when} ({PURPOSES[one.purpose]})")
    if guardian:
        typer.echo(f"Under age: {guardian.name} agrees, up to {guardian.until}.")


@app.command("agree")
def agree(
    name: _Name,
    purpose: _Purpose,
    by: _By,
    on: Annotated[str | None, typer.Option("--on", metavar="DAY", help="When it was said; else today.")] = None,
    db: Database = None,
) -> None:
    """Record that somebody agreed to a purpose."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        squad.agree(squad.season().athlete_key(name), purpose, given_by=by, given_on=_day(on) if on else None)
    typer.echo(f"{name} agrees: {purpose}.")


@app.command("no")
def say_no(name: _Name, purpose: _Purpose, by: _By, db: Database = None) -> None:
    """Take an agreement back, or say no; what was shown because of it is gone at once."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        squad.say_no(squad.season().athlete_key(name), purpose, given_by=by)
    typer.echo(f"{name} does not agree: {purpose}. Nothing shows or counts it any longer.")


@app.command("guardian")
def guardian(
    name: _Name,
    who: Annotated[str, typer.Argument(metavar="GUARDIAN", help="Who agrees for them.")],
    until: Annotated[str, typer.Option("--until", metavar="DAY", help="The last day before they come of age.")],
    db: Database = None,
) -> None:
    """Record who agrees for somebody under age."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        squad.note_guardian(squad.season().athlete_key(name), who, _day(until))
    typer.echo(f"{who} agrees for {name}, up to {until}.")


@app.command("tidy")
def tidy(
    remove: Annotated[bool, typer.Option("--remove", help="Remove it; without this it is only counted.")] = False,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Count what is older than the squad's settings keep it, or remove it."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        past = squad.remove_past() if remove else squad.past_its_time()
    if as_json:
        typer.echo(json.dumps({**asdict(past), "removed": remove}, ensure_ascii=False))
        return
    did = "removed" if remove else "past their time"
    for table, rows in past.rows.items():
        typer.echo(f"{table.replace('_', ' ')}: {rows:,} rows {did}")
    typer.echo(f"people who left: {len(past.people):,} {'erased' if remove else did}")
    if not past.rows and not past.people:
        typer.echo("The settings keep_answers, keep_looks and keep_left say how many months each is kept; 0 is no end.")


def _day(written: str) -> dt.date:
    try:
        return dt.date.fromisoformat(written)
    except ValueError as error:
        raise SettingError(
            f"{written!r} is no day", where="option --on or --until", wanted="a day such as 2026-03-09",
            remedy="write year, month and day",
        ) from error  # fmt: skip
