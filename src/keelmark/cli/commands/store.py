"""`keelmark store`: keeping what is kept: backups, bringing them back, looking it over, moving to another database."""

from __future__ import annotations

import json
import os
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from keelmark.cli.options import AsJson, Database
from keelmark.cli.progress import told

if TYPE_CHECKING:
    from keelmark.store import Backup, Verdict

__all__ = ["app"]

PASSPHRASE_VARIABLE = "KEELMARK_PASSPHRASE"
app = typer.Typer(no_args_is_help=True, help="Keep the store safe: back it up, bring it back, look it over, move it.")
_EncryptedBackup = Annotated[Path, typer.Argument(metavar="FILE", help="A backup that keelmark made.")]


@app.command("backup")
def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where the backup goes; never over an existing file.")],
    encrypt: Annotated[
        bool, typer.Option("--encrypt", help="Ask for a passphrase (or take KEELMARK_PASSPHRASE) and encrypt the file.")
    ] = False,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Write everything that is kept into one file, while others go on working, and read it back to prove it."""
    from keelmark.store import Store, back_up

    passphrase = _passphrase(twice=True) if encrypt else None
    with told(as_json) as tell, Store.open(db) as store:
        tell("Writing and reading back")
        made = back_up(store, file, passphrase=passphrase)
    _show(made, f"{file}, readable by its owner only{', encrypted' if encrypt else ''}", as_json)


@app.command("restore")
def restore(file: _EncryptedBackup, db: Database = None, as_json: AsJson = False) -> None:
    """Bring a backup into a place where nothing is kept, and compare every table before it counts."""
    from keelmark.store import restore as bring_back

    passphrase = _passphrase(twice=False) if _is_encrypted(file) else None
    with told(as_json) as tell:
        tell("Bringing back and comparing")
        brought = bring_back(file, db, passphrase=passphrase)
    _show(brought, "the new store, where every table was compared with the backup", as_json)


@app.command("verify")
def verify(db: Database = None, as_json: AsJson = False) -> None:
    """Read the whole store and compare it with what it promises; exit code 1 when something is wrong."""
    from keelmark.store import Store
    from keelmark.store import verify as look_over

    with told(as_json) as tell, Store.open(db) as store:
        tell("Reading the whole store")
        verdicts = look_over(store)
    if as_json:
        typer.echo(json.dumps([asdict(verdict) for verdict in verdicts], ensure_ascii=False))
    else:
        _show_verdicts(verdicts)
    if any(verdict.faults for verdict in verdicts):
        raise typer.Exit(1)


@app.command("move")
def move(
    to: Annotated[str, typer.Option("--to", metavar="URL", help="An empty database or a new file.")],
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Copy everything into another database, SQLite or PostgreSQL, and prove that both hold the same."""
    from keelmark.store import Store
    from keelmark.store import move as copy_over

    with told(as_json) as tell, Store.open(db) as store:
        tell("Copying and comparing")
        moved = copy_over(store, to)
    _show(moved, "the new store, table by table equal to the old one, which stays as it is", as_json)


@app.command("grant")
def grant(
    role: Annotated[str, typer.Argument(metavar="ROLE", help="Role of the PostgreSQL database that serves the pages.")],
    db: Database = None,
) -> None:
    """Give a role of the database the rights that serving needs, and no others. Run it as the tables' owner."""
    from keelmark.store.grants import grant_rows

    for statement in grant_rows(db, role):
        typer.echo(statement)


@app.command("trail")
def trail(
    last: Annotated[int, typer.Option("--last", min=1, help="How many of the newest entries to show.")] = 30,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Who changed how much of what and when; `verify` says whether anybody tampered with it."""
    from keelmark.store import Store

    with Store.open(db) as store:
        entries = store.trail(last)
    if as_json:
        typer.echo(json.dumps([asdict(entry) for entry in entries], default=str))
        return
    from rich.console import Console
    from rich.table import Table

    table = Table("number", "when (UTC)", "who", "what", "hash")
    for entry in entries:
        table.add_row(str(entry.number), f"{entry.at:%Y-%m-%d %H:%M:%S}", entry.who, _did(entry.did), entry.hash[:12])
    Console().print(table)


def _did(did: dict[str, dict[str, int]]) -> str:
    return "; ".join(f"{name}: {rows:,} {verb}" for name, verbs in did.items() for verb, rows in verbs.items())


def _show(held: Backup, where: str, as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps(asdict(held)))
        return
    from rich.console import Console
    from rich.table import Table

    table = Table("table", "rows", "SHA-256 of its content")
    for content in held.tables:
        table.add_row(content.name, f"{content.rows:,}", f"{content.digest[:16]} …")
    console = Console(highlight=False)
    console.print(table)
    console.print(f"{held.rows:,} rows in {len(held.tables)} tables are in {where}.", markup=False, soft_wrap=True)


def _show_verdicts(verdicts: list[Verdict]) -> None:
    for verdict in verdicts:
        typer.echo(f"{'wrong' if verdict.faults else 'ok':<6}{verdict.looked_at}: {verdict.count:,} looked at")
        for fault in verdict.faults:
            typer.echo(f"      {fault}")
    if any(verdict.faults for verdict in verdicts):
        typer.echo("Keep the file as it is, bring back the newest backup beside it, and compare.")


def _is_encrypted(file: Path) -> bool:
    from keelmark.store import is_encrypted

    return is_encrypted(file)


def _passphrase(*, twice: bool) -> str:
    given = os.environ.get(PASSPHRASE_VARIABLE)
    return given or str(typer.prompt("Passphrase", hide_input=True, confirmation_prompt=twice, err=True))
