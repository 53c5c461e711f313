"""Options that several commands share, so that they are spelled and explained once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["AsJson", "Database", "OwnMovements"]

Database = Annotated[
    str | None,
    typer.Option(
        "--db",
        metavar="URL",
        help="Where the squad is kept, a SQLAlchemy URL; else KEELMARK_DB; else a SQLite file in the data folder.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for a machine to read.")]
OwnMovements = Annotated[
    list[Path] | None,
    typer.Option("--movements", metavar="FILE", help="Own movements and postures, a TOML file; may be given again."),
]
