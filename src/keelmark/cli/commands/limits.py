"""`keelmark limits`: amounts agreed with athletes, which no version of a planned week passes."""

from __future__ import annotations

import datetime as dt
import json
from typing import Annotated

import typer

from keelmark.cli.options import AsJson, Database
from keelmark.contracts.errors import SettingError

__all__ = ["app"]

app = typer.Typer(
    name="limits", help="Amounts agreed with athletes, which no version of a planned week passes.", no_args_is_help=True
)


@app.command("list")
def list_limits(
    athlete: Annotated[str | None, typer.Option(help="One athlete, by name; else everybody.")] = None,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """List the agreed amounts that stand."""
    from keelmark.contracts.channels import CHANNEL_BY_KEY
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        season = squad.season()
        names = dict(season.athletes.select("athlete_id", "name").iter_rows())
        rows = squad.ahead.limits(squad.plan("").person(athlete).athlete_id if athlete else None).to_dicts()
    if as_json:
        typer.echo(json.dumps([{**row, "name": names.get(row["athlete_id"])} for row in rows], default=str))
        return
    if not rows:
        typer.echo("Nothing is agreed.")
    for row in rows:
        channel = CHANNEL_BY_KEY[row["channel"]]
        until = f"until {row['date_to']}" if row["date_to"] else "until further notice"
        typer.echo(
            f"{row['limit_id']:>3}  {names.get(row['athlete_id'], row['athlete_id'])}: {channel.label.lower()} at most "
            f"{row['most']:g} {channel.unit} a week, from {row['date_from']} {until}, "
            f"agreed with {row['agreed_with']}"
        )


@app.command("add")
def add_limit(
    athlete: Annotated[str, typer.Argument(help="Who, by name.")],
    channel: Annotated[str, typer.Argument(help="Kind of work, such as jump_contacts.")],
    most: Annotated[
        float, typer.Argument(help="Amount of a week that is not passed, in the unit of the kind of work.")
    ],
    agreed_with: Annotated[str, typer.Option("--with", help="With whom it was agreed.")],
    since: Annotated[str | None, typer.Option("--from", help="First day, such as 2026-06-08; else today.")] = None,
    until: Annotated[str | None, typer.Option(help="Last day; open when left out.")] = None,
    db: Database = None,
) -> None:
    """Keep an amount that was agreed with an athlete."""
    from keelmark.service import Squad

    first = _day(since, "--from") if since else dt.date.today()
    last = _day(until, "--until") if until else None
    with Squad.open(db) as squad:
        key = squad.ahead.agree(
            squad.plan("").person(athlete).athlete_id,
            channel,
            most,
            agreed_with=agreed_with,
            date_from=first,
            date_to=last,
        )
    typer.echo(f"Kept as {key}.")


@app.command("drop")
def drop_limit(
    limit: Annotated[str, typer.Argument(help="Its number, as listed.")],
    db: Database = None,
) -> None:
    """Take an agreed amount back; it stays on record."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        squad.ahead.withdraw_limit(limit)
    typer.echo("Taken back.")


def _day(written: str, option: str) -> dt.date:
    try:
        return dt.date.fromisoformat(written)
    except ValueError as error:
        raise SettingError(
            f"{written!r} was given", where=f"option {option}", wanted="a day such as 2026-06-08",
            remedy="write the day as year, month and day",
        ) from error  # fmt: skip
