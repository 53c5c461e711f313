"""`keelmark imports`, `undo` and `redo`: what came into the store, taking it back, and having it again."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from keelmark.cli.options import AsJson, Database

__all__ = ["imports", "redo", "undo"]


def imports(db: Database = None, as_json: AsJson = False) -> None:
    """List everything that came into the store, oldest first."""
    from rich.console import Console
    from rich.table import Table

    from keelmark.service import Squad

    with Squad.open(db) as squad:
        rows = squad.imports().to_dicts()
    if as_json:
        typer.echo(json.dumps(rows, default=str, ensure_ascii=False))
        return
    table = Table("import", "what", "file", "came in (UTC)", "taken back (UTC)")
    for row in rows:
        came, back = (f"{row[name]:%Y-%m-%d %H:%M}" if row[name] else "" for name in ("created_at", "undone_at"))
        table.add_row(row["import_id"], row["kind"], row["file"], came, back)
    Console().print(table)


def undo(
    import_id: Annotated[str, typer.Argument(help="The import's key, as `keelmark imports` lists it.")],
    db: Database = None,
) -> None:
    """Take an import's rows out of the store; its record and the original file stay, and it can be brought again."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        squad.undo(import_id)
        by_hand = dict(squad.imports().select("import_id", "kind").iter_rows())[import_id] == "hand"
    again = f"`keelmark redo {import_id}` puts it back." if by_hand else "Bring the file again to have it back."
    typer.echo(f"Import {import_id} is taken back. {again}")


def redo(
    import_id: Annotated[str, typer.Argument(help="The edit's key, as `keelmark imports` lists it.")],
    db: Database = None,
) -> None:
    """Put an edit by hand back that was taken back; what was entered after it still counts."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        squad.redo(import_id)
    typer.echo(f"Edit {import_id} is put back.")
