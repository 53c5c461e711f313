"""`keelmark decisions`: what was decided about notices, and whether the same figures come out again."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from keelmark.cli.options import AsJson, Database

__all__ = ["app"]

app = typer.Typer(
    name="decisions",
    help="What was decided about notices, and whether its figures come out again.",
    no_args_is_help=True,
)


@app.command("list")
def list_decisions(db: Database = None, as_json: AsJson = False) -> None:
    """List all decisions, oldest first, with their keys."""
    from keelmark.contracts.words import sentence
    from keelmark.service import Squad

    with Squad.open(db) as squad:
        rows = squad.decisions().drop("figures").to_dicts()
    if as_json:
        typer.echo(json.dumps(rows, default=str, ensure_ascii=False))
        return
    if not rows:
        typer.echo("Nothing was decided yet.")
    for row in rows:
        useful = {None: "", True: " Useful.", False: " Not useful."}[row["useful"]]
        said = [
            sentence(row["option"]) if row["option"] else "",
            f"Why: {sentence(row['reason'])}" if row["reason"] else "",
            f"The athlete says: “{row['athlete_view']}”" if row["athlete_view"] else "",
            f"{row['owner']} sees to it." if row["owner"] else "",
            f"Looked at again on {row['review_date']}." if row["review_date"] else "",
        ]
        words = " ".join(part for part in said if part)
        typer.echo(
            f"{row['decision_id']:>4}  {row['created_at']:%Y-%m-%d}  {row['notice_id']}:{useful} {words}".rstrip()
        )


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
        found = squad.replay(decision)
    if as_json:
        told = {name: getattr(found, name) for name in ("decision_id", "notice_id", "same", "then", "again", "words")}
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
