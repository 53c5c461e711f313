"""`keelmark decisions`: what was decided about notices and complaints, and whether the same figures come out again."""

from __future__ import annotations

import json
from operator import itemgetter
from typing import Annotated, Any

import typer

from keelmark.cli.options import AsJson, Database

__all__ = ["app"]

app = typer.Typer(
    name="decisions",
    help="What was decided about notices and complaints, and whether the figures come out again.",
    no_args_is_help=True,
)


@app.command("list")
def list_decisions(db: Database = None, as_json: AsJson = False) -> None:
    """List all decisions, oldest first, with their keys; one about a complaint has a key that begins with c."""
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        rows = squad.decisions().drop("figures").to_dicts()
        for row in squad.complaint_decisions().drop("figures").to_dicts():
            rows.append({**row, "decision_id": f"{_COMPLAINT}{row['decision_id']}"})
    rows.sort(key=itemgetter("created_at"))
    if as_json:
        typer.echo(json.dumps(rows, default=str, ensure_ascii=False))
        return
    if not rows:
        typer.echo("Nothing was decided yet.")
    for row in rows:
        typer.echo(f"{row['decision_id']:>4}  {row['created_at']:%Y-%m-%d}  {_about(row)} {_words(row)}".rstrip())


_COMPLAINT = "c"


def _about(row: dict[str, Any]) -> str:
    """What was decided about, and whether a notice was found useful."""
    if "notice_id" not in row:
        return f"complaint of {row['athlete_id']}, {row['area'].replace('_', ' ')}, since the week of {row['first']}:"
    useful = {None: "", True: " Useful.", False: " Not useful."}[row["useful"]]
    return f"{row['notice_id']}:{useful}"


def _words(row: dict[str, Any]) -> str:
    from keelmark.contracts.words import sentence

    said = [
        sentence(row["option"]) if row["option"] else "",
        f"Why: {sentence(row['reason'])}" if row["reason"] else "",
        f"The athlete says: “{row['athlete_view']}”" if row["athlete_view"] else "",
        f"{row['owner']} sees to it." if row["owner"] else "",
        f"Looked at again on {row['review_date']}." if row["review_date"] else "",
    ]
    return " ".join(part for part in said if part)


@app.command("again")
def again(
    decision: Annotated[str, typer.Argument(help="Key of the decision; see `keelmark decisions list`.")],
    db: Database = None,
    as_json: AsJson = False,
) -> None:
    """Work a decision's figures out again from the records of its day, and set them beside those it was taken on."""
    from rich.console import Console
    from rich.table import Table

    from keelmark.service import Squad

    with Squad.open(db) as squad:
        of_complaint = decision.startswith(_COMPLAINT)
        found = squad.replay_complaint(decision.removeprefix(_COMPLAINT)) if of_complaint else squad.replay(decision)
    if as_json:
        told = {name: getattr(found, name) for name in ("notice_id", "same", "then", "again", "words")}
        told = {"decision_id": decision, **told}
        typer.echo(json.dumps({**told, "differences": found.differences, "changed": found.changed}, ensure_ascii=False))
        return
    table = Table(title=found.notice_id, title_justify="left", title_style="bold")
    for head in ("figure", "then", "worked out again", "same"):
        table.add_column(head)
    for row in found.figures:
        table.add_row(row.name.replace("_", " "), row.then, row.again, "yes" if row.same else "no")
    console = Console(highlight=False)
    console.print(table)
    console.print(found.words, markup=False)
