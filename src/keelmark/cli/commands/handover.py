"""`keelmark handover`: one page for a physiotherapist or doctor, with what the athlete agreed to show."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Annotated

import typer

from keelmark.cli.new_file import write_new_file
from keelmark.cli.options import AsJson, Database
from keelmark.contracts.errors import SettingError

__all__ = ["handover"]


def handover(
    name: Annotated[str, typer.Argument(metavar="NAME", help="First name or key, as it stands in the roster.")],
    to: Annotated[Path, typer.Option("--to", metavar="FILE", help="A .pdf or .html file; never over an existing one.")],
    agreed_by: Annotated[str, typer.Option(help="Who agreed to it: the athlete, or a guardian by name.")],
    shown_to: Annotated[str, typer.Option(help="Who may see it.")],
    show: Annotated[
        list[str], typer.Option(help="What may be seen: load, changes, coverage, complaints, limits; again for more.")
    ],
    agreed_on: Annotated[str | None, typer.Option(metavar="DAY", help="When it was agreed; else today.")] = None,
    week: Annotated[str | None, typer.Option(help="The last of the twelve weeks; else the last one.")] = None,
    ask: Annotated[list[str] | None, typer.Option(help="A question of the coach; may be given again.")] = None,
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Write the page and keep the consent: who agreed, when, to whom and to which parts."""
    from keelmark.report import html_of, pdf_of
    from keelmark.service import Squad

    if to.suffix.lower() not in (".pdf", ".html"):
        raise SettingError(
            f"the file ends in {to.suffix!r}" if to.suffix else "the file has no ending",
            where="option --to",
            wanted="a name that ends in .pdf or .html",
            remedy="choose one of these endings",
        )
    with Squad.open(db) as squad:
        season = squad.season()
        paper = squad.hand_over(
            season.athlete_key(name),
            season.week_named(week),
            fields=show,
            given_by=agreed_by,
            given_to=shown_to,
            given_on=_day(agreed_on),
            questions="\n".join(ask or []),
        )
    html = to.suffix.lower() == ".html"
    write_new_file(to, html_of(paper).encode() if html else pdf_of(paper, made_at=dt.datetime.now(dt.UTC)))
    typer.echo(
        json.dumps({"file": str(to)})
        if as_json
        else f"{to} is written, and the consent is kept. Hand it over yourself."
    )


def _day(written: str | None) -> dt.date:
    if written is None:
        return dt.date.today()
    try:
        return dt.date.fromisoformat(written)
    except ValueError as error:
        raise SettingError(
            f"{written!r} is no day",
            where="option --agreed-on",
            wanted="a day such as 2026-03-09",
            remedy="write year, month and day",
        ) from error
