"""`keelmark parts`: the squad's tables as Parquet files by bucket, and the figures of such a folder."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from keelmark.cli.options import AsJson, Database
from keelmark.cli.progress import told
from keelmark.contracts.errors import SettingError

__all__ = ["figures_of_parts", "parts"]


def parts(
    to: Annotated[str, typer.Argument(metavar="FOLDER", help="An empty folder, by path or by fsspec address.")],
    buckets: Annotated[int, typer.Option(min=1, help="How many parts to aim at; groups are never split.")] = 64,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Write athletes, efforts, sessions and days in parts, for figures on many machines; health answers stay here."""
    from keelmark.service import Squad
    from keelmark.service.parting import write_parts

    with told(as_json) as tell, Squad.open(db) as squad:
        tell("Writing parts")
        manifest = write_parts(squad.season(), squad.settings(), to, buckets)
    if as_json:
        typer.echo(json.dumps({"folder": to, "buckets": len(manifest.buckets), "efforts": sum(manifest.efforts)}))
    else:
        number = len(manifest.buckets)
        parted = f"{number} part" if number == 1 else f"{number} parts"
        typer.echo(f"{sum(manifest.efforts):,} efforts in {parted}. Next: keelmark figures {to} OUT")


def figures_of_parts(
    source: str,
    target: str | None,
    engine: str,
    scheduler: str | None,
    workers: int | None,
    plain: bool,
    movements: list[Path] | None,
    as_json: bool,
) -> None:
    """Work out a folder of parts and say what was written."""
    from keelmark.catalogue import load_catalogue
    from keelmark.engine import run_figures

    if target is None:
        raise SettingError(
            "only one folder was given",
            where="arguments IN and OUT",
            wanted="the folder of parts, and the folder for their figures",
            remedy="give both, or none for the figures of your own squad",
        )
    with told(as_json) as tell:
        outcome = run_figures(
            source, target, load_catalogue(*(movements or ())), engine=engine, scheduler=scheduler, workers=workers,
            plain=plain, progress=lambda done, of: tell(f"{done} of {of} parts are done"),
        )  # fmt: skip
    if as_json:
        typer.echo(json.dumps({"folder": target, "efforts": outcome.efforts, "rows": outcome.rows}))
    else:
        typer.echo(f"{outcome.rows:,} weekly figures of {outcome.efforts:,} efforts are in {target}.")
