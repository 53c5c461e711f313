"""`keelmark ahead`: amounts that are meant for the squad's weeks ahead, beside what was done."""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from keelmark.cli.options import AsJson, Database
from keelmark.contracts.errors import SettingError

if TYPE_CHECKING:
    import polars as pl

__all__ = ["app"]

app = typer.Typer(
    name="ahead", help="Amounts that are meant for the squad's weeks ahead, beside what was done.", no_args_is_help=True
)


@app.command("list")
def list_ramps(db: Database = None, as_json: AsJson = False) -> None:
    """List what is meant week by week, with what the squad did."""
    from keelmark.service import Squad
    from keelmark.service.ahead import meant_weeks

    with Squad.open(db) as squad:
        ramps = squad.ahead.ramps()
        table = meant_weeks(squad.ahead.meant(), squad.season().weekly)
    if as_json:
        plain = {"ramps": ramps.to_dicts(), "weeks": table.to_dicts()}
        typer.echo(json.dumps(plain, default=str))
        return
    if ramps.is_empty():
        typer.echo("Nothing is meant yet.")
    for row in ramps.iter_rows(named=True):
        lighter = f", every {row['lighter_every']}th week lighter" if row["lighter_every"] else ""
        amount = f"{_amount(row['start'])} {_unit(row['channel'])}".rstrip()
        when = f"the week of {row['monday']}, {amount}"
        if row["weeks"] > 1:
            change = f"{100 * row['change']:+g} % a week{lighter}"
            when = f"{row['weeks']} weeks from {row['monday']}, {amount} in the first, {change}"
        typer.echo(f"{row['ramp_id']:>3}  {_label(row['channel'])}: {when}")
    if not table.is_empty():
        _print(table)


@app.command("keep")
def keep_week(
    week: Annotated[Path, typer.Argument(help="A text file with days and whiteboard texts; - reads what is piped.")],
    monday: Annotated[str | None, typer.Option(help="First day of the week, where the text does not say it.")] = None,
    db: Database = None,
) -> None:
    """Keep a whole planned week as it is meant, to be held against what is done.

    It takes the place of what was meant before for that week. Ends with 1 when parts of the text have doubts.
    """
    from keelmark.contracts.text_file import read_text_file
    from keelmark.service import Squad

    text = sys.stdin.read() if str(week) == "-" else read_text_file(week)
    with Squad.open(db) as squad:
        plan = squad.plan(text, monday=_first_day(monday, "option --monday") if monday else None)
        if plan.monday is None:
            raise SettingError(
                "the text does not say which week it is",
                where="option --monday",
                wanted="the first day of the week, a Monday such as 2026-06-08",
                remedy="write --monday and the day",
            )
        amounts, beside, doubts = plan.middle(), plan.beside_middle(), plan.doubts()
        for remark in plan.remarks:
            typer.echo(remark)
        for session, message, picture in doubts:
            typer.echo(f"{session}: {message}\n{picture}")
        squad.ahead.mean_week(plan.monday, text, amounts, plan.each())
    typer.echo(f"Kept for the week of {plan.monday}, as the athlete in the middle does it on the usual days:")
    for channel, amount in amounts.items():
        typer.echo(f"  {_label(channel)}: {_amount(amount)} {_unit(channel)}".rstrip())
    if beside:
        kinds = ", ".join(_label(channel) for channel in beside)
        typer.echo(f"On the board but not kept, as half of the squad or more does none of it: {kinds}.")
    if doubts:
        raise typer.Exit(1)


@app.command("add")
def add_ramp(
    channel: Annotated[str, typer.Argument(help="Kind of work, such as tonnage.")],
    monday: Annotated[str, typer.Argument(help="First day of the first week, a Monday such as 2026-06-08.")],
    weeks: Annotated[int, typer.Argument(help="How many weeks.")],
    start: Annotated[float | None, typer.Option(help="Amount of the first week; else what is usual now.")] = None,
    change: Annotated[float, typer.Option(help="Change from week to week, in percent.")] = 5.0,
    lighter_every: Annotated[int, typer.Option(help="Weeks from one lighter week to the next; 0 for none.")] = 4,
    db: Database = None,
) -> None:
    """Keep a ramp that is meant for the squad."""
    from keelmark.service import Squad
    from keelmark.service.ahead import usual_amount

    first = _first_day(monday, "argument MONDAY")
    _check_kind(channel)
    with Squad.open(db) as squad:
        amount = start if start is not None else usual_amount(squad.season().weekly, channel)
        if amount is None:
            raise SettingError(
                f"nothing is on record of {channel}",
                where="option --start",
                wanted="an amount of the first week, or weeks on record",
                remedy="give the amount with --start",
            )
        key = squad.ahead.mean(channel, first, weeks, amount, change / 100, lighter_every or None)
    typer.echo(f"Kept as {key}.")


@app.command("drop")
def drop_ramp(ramp: Annotated[str, typer.Argument(help="Its number, as listed.")], db: Database = None) -> None:
    """Take a ramp back; it stays on record."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        squad.ahead.withdraw_ramp(ramp)
    typer.echo("Taken back.")


@app.command("calendar")
def write_calendar(
    file: Annotated[Path, typer.Argument(help="The iCalendar file to write.")],
    db: Database = None,
) -> None:
    """Write named days and meant weeks as an iCalendar file."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        file.write_bytes(squad.ahead.calendar(squad.season().kept.labels, stamp=dt.datetime.now(dt.UTC)))
    typer.echo(f"Written: {file}")


def _print(table: pl.DataFrame) -> None:
    from rich.console import Console
    from rich.table import Table

    shown = Table(title="Week by week", title_justify="left", title_style="bold")
    for name in ("week of", "kind of work", "meant", "done, middle", "middle half", "athletes"):
        shown.add_column(name, justify="left" if name in ("week of", "kind of work") else "right")
    for row in table.iter_rows(named=True):
        done = "" if row["done"] is None else _amount(row["done"])
        half = "" if row["done"] is None else f"{_amount(row['lower'])} to {_amount(row['upper'])}"
        shown.add_row(
            str(row["monday"]), f"{_label(row['channel'])}, {row['unit']}", _amount(row["planned"]), done, half,
            str(row["athletes"] or ""),
        )  # fmt: skip
    Console(highlight=False).print(shown)


def _first_day(written: str, where: str) -> dt.date:
    try:
        return dt.date.fromisoformat(written)
    except ValueError as error:
        raise SettingError(
            f"{written!r} was given",
            where=where,
            wanted="a Monday such as 2026-06-08",
            remedy="write the day as year, month and day",
        ) from error


def _check_kind(channel: str) -> None:
    from keelmark.contracts.channels import CHANNEL_BY_KEY

    if channel not in CHANNEL_BY_KEY:
        raise SettingError(
            f"there is no kind of work “{channel}”",
            where="argument CHANNEL",
            wanted="one of " + ", ".join(CHANNEL_BY_KEY),
            remedy="write one of these names",
        )


def _label(channel: str) -> str:
    from keelmark.contracts.channels import CHANNEL_BY_KEY

    return CHANNEL_BY_KEY[channel].label


def _unit(channel: str) -> str:
    from keelmark.contracts.channels import CHANNEL_BY_KEY

    unit = CHANNEL_BY_KEY[channel].unit
    return "" if unit == "index" else unit


def _amount(value: float) -> str:
    """Three significant digits, written out."""
    return f"{float(f'{value:.3g}'):,.12g}"
