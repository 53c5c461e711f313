"""`keelmark brief`: the papers of a week, one for the coach and one for each athlete, in one go."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Annotated

import typer

from keelmark.cli.new_file import write_new_file
from keelmark.cli.options import AsJson, Database
from keelmark.cli.progress import counted, told
from keelmark.contracts.errors import SettingError

__all__ = ["brief"]

_KINDS = ("pdf", "html", "both")


def brief(
    to: Annotated[Path, typer.Option("--to", metavar="FOLDER", help="Where the papers go; made when it is missing.")],
    week: Annotated[str | None, typer.Option(help="ISO week such as 2026-W46; else the last one.")] = None,
    kind: Annotated[str, typer.Option("--as", help="pdf, html or both.")] = "pdf",
    athlete: Annotated[str | None, typer.Option(help="One athlete's paper only, by name.")] = None,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Write the week's papers for the whole squad; nothing that people say about their bodies is in them."""
    from keelmark.report import Paper, file_name, html_of, pdf_of
    from keelmark.service import Squad

    if kind not in _KINDS:
        raise SettingError(
            f"{kind!r} is no kind of paper",
            where="option --as",
            wanted=", ".join(_KINDS),
            remedy="choose one of these",
        )
    made_at = dt.datetime.now(dt.UTC)
    written: list[str] = []

    def write(name: str, paper: Paper) -> None:
        for ending, content in (("pdf", pdf_of), ("html", None)):
            if kind in (ending, "both"):
                file = to / f"{name}.{ending}"
                write_new_file(file, content(paper, made_at=made_at) if content else html_of(paper).encode())
                written.append(str(file))

    with Squad.open(db) as squad:
        with told(as_json) as tell:
            season = squad.season(tell)
        chosen = season.week_named(week)
        people = season.athletes["athlete_id"].to_list() if athlete is None else [season.athlete_key(athlete)]
        if athlete is None:
            write(f"{chosen}-squad", squad.coach_brief(chosen))
        for athlete_id in counted(people, "Writing papers", quiet=as_json):
            write(f"{chosen}-{file_name(athlete_id)}", squad.athlete_brief(athlete_id, chosen))
    typer.echo(json.dumps(written, ensure_ascii=False) if as_json else f"{len(written)} papers are in {to}.")
