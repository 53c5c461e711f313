"""`keelmark athlete`: everything of one athlete to take away, and erasing somebody who asks for it."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from keelmark.cli.new_file import write_new_file
from keelmark.cli.options import AsJson, Database
from keelmark.cli.progress import told

if TYPE_CHECKING:
    from keelmark.store.erasing import Erased

__all__ = ["app"]

app = typer.Typer(no_args_is_help=True, help="One athlete's own data: take all of it away, or have it erased.")
_Name = Annotated[str, typer.Argument(metavar="NAME", help="First name or key, as it stands in the roster.")]


@app.command("export")
def export(
    name: _Name,
    to: Annotated[Path, typer.Option("--to", metavar="FILE", help="The ZIP file; never over an existing file.")],
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Write all that is kept of one athlete into a ZIP file: tables as CSV, what their columns mean, a README."""
    from keelmark.service import Squad

    with told(as_json) as tell, Squad.open(db) as squad:
        tell("Gathering every table")
        athlete_id = squad.season().athlete_key(name)
        content = squad.athlete_archive(athlete_id)
    write_new_file(to, content)
    if as_json:
        typer.echo(json.dumps({"athlete": athlete_id, "file": str(to), "bytes": len(content)}))
    else:
        typer.echo(f"{to} holds everything kept of {athlete_id}, readable by its owner only. Hand it to nobody else.")


@app.command("erase")
def erase(
    name: _Name,
    sure: Annotated[
        str | None,
        typer.Option("--sure", metavar="NAME", help="The first name once more, so that nobody is asked for it."),
    ] = None,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Remove everything that is kept of one athlete, search every table for what is left, and say what was removed."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        athlete_id = squad.season().athlete_key(name)
        typed = sure if sure is not None else typer.prompt("Everything of theirs goes. Type the first name", err=True)
        with told(as_json) as tell:
            tell("Erasing, and searching every table")
            done = squad.erase_athlete(athlete_id, str(typed))
    if as_json:
        typer.echo(json.dumps(asdict(done), ensure_ascii=False))
        return
    for line in _in_words(done):
        typer.echo(line)


@app.command("tidy")
def tidy(db: Database = None) -> None:
    """Write the store's file anew, so that nothing removed stays in its free pages."""
    from keelmark.store import Store

    with Store.open(db) as store:
        done = store.write_anew()
    typer.echo("The file is written anew." if done else "Another program has the file open: close it, then try again.")
    if not done:
        raise typer.Exit(1)


def _in_words(done: Erased) -> list[str]:
    from keelmark.report.erasure_words import erasure_lines

    return erasure_lines(asdict(done))
