"""`keelmark whiteboards`: which stored whiteboards read otherwise today, and reading them again."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.options import AsJson, Database

if TYPE_CHECKING:
    import polars as pl

    from keelmark.service import ChangedSession

__all__ = ["whiteboards"]

_FIGURES = ("sets", "reps", "distance_m", "duration_s", "calories", "load_kg", "height_cm")


def whiteboards(
    read_again: Annotated[bool, typer.Option("--read-again", help="Store today's reading in their place.")] = False,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Tell which stored whiteboards read otherwise with the body masses, maxima and movements known today.

    Nothing changes without --read-again; `keelmark undo` restores the former reading.
    """
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        changed = squad.changed_whiteboards()
        names = dict(squad.season().athletes.select("athlete_id", "name").iter_rows()) if changed else {}
        outcome = squad.read_whiteboards_again() if read_again and changed else None
    if as_json:
        stored = outcome.import_id if outcome else None
        typer.echo(json.dumps({"changed": [_plain(one) for one in changed], "import_id": stored}, ensure_ascii=False))
        return
    _tell(changed, names)
    if outcome:
        typer.echo(f"Read again and stored as import {outcome.import_id}. `keelmark undo {outcome.import_id}` restores "
                   "the former reading.")  # fmt: skip
    elif changed:
        typer.echo("Nothing was changed. Add --read-again to store today's reading in their place.")


def _tell(changed: list[ChangedSession], names: dict[str, str]) -> None:
    from rich.console import Console
    from rich.table import Table

    if not changed:
        typer.echo("Every stored whiteboard reads as it was stored.")
        return
    table = Table("day", "athlete", "stored", "reads today", title="Whiteboards that read otherwise today")
    for one in changed:
        who = str(one.session["athlete_id"])
        table.add_row(str(one.session["date"]), names.get(who, who), _work(one.before), _work(one.after))
    Console().print(table)


def _work(rows: pl.DataFrame) -> str:
    """Movements and loads, such as `back squat at 105 kg`."""
    told = []
    for movement, load, basis in rows.select("movement", "load_kg", "load_basis").iter_rows():
        at = f" at {load:g} kg" if load is not None else " without a known load" if basis == "unknown" else ""
        told.append(f"{movement.replace('_', ' ')}{at}")
    return "; ".join(dict.fromkeys(told)) or "nothing"


def _plain(one: ChangedSession) -> dict[str, Any]:
    rows = {name: getattr(one, name).select("movement", *_FIGURES).to_dicts() for name in ("before", "after")}
    who, day = one.session["athlete_id"], one.session["date"]
    return {"import_id": one.import_id, "athlete": who, "date": str(day), "session": one.session["label"], **rows}
