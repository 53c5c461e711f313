"""`keelmark demo`: a made-up season of a lifeboat station's crew, ready to look at."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.commands.serve import open_pages
from keelmark.cli.options import AsJson
from keelmark.cli.progress import told

if TYPE_CHECKING:
    from keelmark.service import Brought, Season

__all__ = ["demo"]


def demo(
    check: Annotated[bool, typer.Option("--check", help="Load, compute, print a summary and leave.")] = False,
    port: Annotated[int, typer.Option(help="Port on this machine; 0 picks a free one.")] = 0,
    browser: Annotated[bool, typer.Option(help="Open the pages in the browser.")] = True,
    as_json: AsJson = False,
) -> None:
    """Load the demo season through the ordinary import and open the pages. Your own squad is not touched."""
    from keelmark.service import Squad, load_demo

    with (
        TemporaryDirectory(prefix="keelmark-demo-", ignore_cleanup_errors=True) as folder,
        Squad.open(f"sqlite:///{Path(folder) / 'demo.sqlite'}") as squad,
    ):
        with told(quiet=as_json) as progress:
            brought = load_demo(squad, progress)
            season = squad.season(progress)
        summary = _summary(brought, season)
        typer.echo(json.dumps(summary, ensure_ascii=False) if as_json else _in_words(summary))
        if not check:
            open_pages(squad, port=port, browser=browser)


def _summary(brought: Brought, season: Season) -> dict[str, Any]:
    import polars as pl

    totals = season.daily.group_by("channel").agg(pl.col("value").sum().round(3)).sort("channel")
    return {
        "athletes": season.athletes.height,
        "weeks": len(season.weeks),
        "efforts": season.kept.efforts.height,
        "rows": brought.reading.counts,
        "notices": season.notices.height,
        "notices_shown_first": season.notices.filter("within_budget").height,
        "figures": dict(totals.iter_rows()),
    }


def _in_words(summary: dict[str, Any]) -> str:
    rows = summary["rows"]
    return (
        f"A made-up season of a lifeboat station's crew: {summary['athletes']} volunteers, {summary['weeks']} weeks, "
        f"{summary['efforts']} efforts.\n"
        f"{rows['rows']} rows read: {rows['accepted']} accepted, {rows['duplicate']} duplicate, {rows['blank']} blank, "
        f"{rows['quarantined']} quarantined with their reasons.\n"
        f"{summary['notices']} weeks stand out, {summary['notices_shown_first']} of them within the notice budget."
    )
