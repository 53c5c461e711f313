"""Where the command line begins: its commands, and what happens when one of them fails.

Heavy libraries are imported by the command that needs them, when it runs, so that `--help` answers at once.
"""

from __future__ import annotations

import os
import sys

import typer
from rich.console import Console

from keelmark.cli.commands import (
    accounts,
    ahead,
    athlete,
    audit,
    brief,
    check_ins,
    decisions,
    demo,
    figures,
    handover,
    imports,
    ingest,
    limits,
    lists,
    parts,
    plan,
    privacy,
    read,
    serve,
    store,
    whiteboards,
)
from keelmark.contracts.errors import KeelmarkError

__all__ = ["main"]

app = typer.Typer(
    name="keelmark",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="What each athlete's back, hips, hands and tendons did, against that athlete's own marks.",
    epilog="Exit codes: 0 done, 1 done with quarantined rows, 2 refused and nothing changed, 3 keelmark itself failed.",
)
app.command("demo")(demo.demo)
app.command("serve")(serve.serve)
app.command("ingest")(ingest.ingest)
app.command("roster")(lists.roster)
app.command("days")(lists.days)
app.command("labels")(lists.labels)
app.command("check-ins")(check_ins.check_ins)
app.command("imports")(imports.imports)
app.command("undo")(imports.undo)
app.command("redo")(imports.redo)
app.command("whiteboards")(whiteboards.whiteboards)
app.command("figures")(figures.figures)
app.command("parts")(parts.parts)
app.command("audit")(audit.audit)
app.command("read")(read.read)
app.command("plan")(plan.plan)
app.command("brief")(brief.brief)
app.command("handover")(handover.handover)
app.add_typer(athlete.app, name="athlete")
app.add_typer(accounts.app, name="accounts")
app.add_typer(limits.app, name="limits")
app.add_typer(ahead.app, name="ahead")
app.add_typer(decisions.app, name="decisions")
app.add_typer(store.app, name="store")
app.add_typer(privacy.app, name="privacy")


@app.callback(invoke_without_command=True)
def _top(version: bool = typer.Option(False, "--version", help="Print the version and leave.")) -> None:
    if version:
        from keelmark import __version__

        typer.echo(__version__)
        raise typer.Exit


def main() -> None:
    """Run the command line; an error raised on purpose is told in four parts and ends with exit code 2."""
    try:
        app()
    except KeelmarkError as error:
        tell(error)
        sys.exit(2)
    except Exception as error:
        if os.environ.get("KEELMARK_TRACEBACK"):
            raise
        _tell_failure(error)
        sys.exit(3)


def _tell_failure(error: Exception) -> None:
    """Keep where keelmark itself failed, without anything personal, and say under which number."""
    import logging
    import secrets

    from keelmark.cli.event_log import begin_log

    try:
        place = begin_log()
    except KeelmarkError as refusal:
        tell(refusal)
        place = begin_log()  # the file is there; what was refused is the log service beside it
    number = secrets.token_hex(4)
    logging.getLogger("keelmark.cli").error("A command failed, reference %s", number, exc_info=error)
    typer.echo(f"Something went wrong inside keelmark ({type(error).__name__}), reference {number}.", err=True)
    typer.echo("What was stored before is unchanged. The log names the place and nobody's data:", err=True)
    typer.echo(f"  {place}", err=True)
    typer.echo("Set KEELMARK_TRACEBACK=1 and run it again to see the details.", err=True)


def tell(error: KeelmarkError) -> None:
    """Print an error so that it can be acted on."""
    console = Console(stderr=True, highlight=False, soft_wrap=True)
    console.print(f"[bold]Refused.[/bold] {error.where}", markup=True)
    console.print(f"  found:  {error.found}", markup=False)
    console.print(f"  wanted: {error.wanted}", markup=False)
    console.print(f"  do:     {error.remedy}", markup=False)
