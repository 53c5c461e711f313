"""`keelmark audit`: how often the rules speak when nothing has changed, and how soon they find what has."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.options import AsJson, Database
from keelmark.cli.progress import told

if TYPE_CHECKING:
    from rich.table import Table

    from keelmark.service import AuditReport

__all__ = ["audit"]

SQUADS = {"own": "this squad", "reference": "made-up squad"}
RULES = {
    "week": "single weeks",
    "slow": "slow rises",
    "both": "both",
    "first": "both, shown first",
    "ratio": "a ratio above 1.5, for comparison",
    "cusum": "a cumulative sum, for comparison",
    "notice": "notices",
}


def audit(
    db: Database = None,
    number: Annotated[int, typer.Option(min=0, help="Fixes what is drawn: the same number, the same audit.")] = 1,
    as_json: AsJson = False,
) -> None:
    """Draw seasons in which nothing changes from your own records, and count how often each rule speaks.

    A rule that speaks too often is quietened from then on, and says so in its notices.
    """
    from keelmark.marks.answer_words import answer_words
    from keelmark.service import Squad

    with Squad.open(db) as squad, told(quiet=as_json) as progress:
        report, answers = squad.audit(progress, number=number), squad.usefulness()
    if as_json:
        typer.echo(json.dumps({**report.as_dict(), "answers": answers.to_dicts()}, ensure_ascii=False))
    else:
        _print(report, answer_words(answers))


def _print(report: AuditReport, answers: list[str]) -> None:
    from rich.console import Console

    from keelmark.contracts.words import SCOPE_LINE
    from keelmark.marks.audit_words import NAMED_WORDS, STEADINESS_WORDS

    console = Console(highlight=False)
    found = report.audit
    console.print(
        f"Drawn from the days of {found.athletes} athletes, {found.plan.weeks} weeks to a season; the made-up squad "
        "does each kind of work on fixed days, and only the amounts scatter.",
        markup=False,
    )
    console.print(_promises(report))
    for table in (_quiet(found.quiet.to_dicts()), _notices(found.notices.to_dicts())):
        console.print(table)
    console.print(_planted(found.planted.to_dicts()))
    console.print(_steadiness(found.steadiness.to_dicts()))
    console.print(STEADINESS_WORDS, markup=False)
    console.print(_named(found.named.to_dicts()))
    console.print(NAMED_WORDS, markup=False)
    console.print(_ramps(found.ramps.to_dicts()))
    for sentence in (*(report.quietened or ("No rule had to be quietened.",)), *answers):
        console.print(sentence, markup=False)
    console.print(SCOPE_LINE, style="dim")


def _table(title: str, *heads: str) -> Table:
    from rich.table import Table

    table = Table(title=title, title_justify="left", title_style="bold")
    for place, head in enumerate(heads):
        table.add_column(head, justify="left" if place < 2 else "right")
    return table


def _promises(report: AuditReport) -> Table:
    table = _table("What is promised", "promise", "wanted", "found", "kept")
    for promise in report.promises:
        table.add_row(promise.promise, promise.wanted, promise.found, "yes" if promise.kept else "no")
    return table


def _quiet(rows: list[dict[str, Any]]) -> Table:
    heads = ("above the mark", "ratio above 1.5 on Sunday", "ratio above 1.5 on any day")
    table = _table("Weeks that a rule speaks of when nothing has changed", "squad", "work done", *heads)
    for row in rows:
        table.add_row(
            SQUADS[row["squad"]],
            row["frequency"],
            _share(row["above"], row["judged"]),
            _share(row["ratio"], row["ratio_judged"]),
            _share(row["any_day"], row["any_day_judged"]),
        )
    return table


def _notices(rows: list[dict[str, Any]]) -> Table:
    table = _table("Notices when nothing has changed", "squad", "rule", "weeks with any", "notices a month")
    for row in rows:
        table.add_row(
            SQUADS[row["squad"]], RULES[row["rule"]], _share(row["with_any"], row["weeks"]), f"{row['a_month']:.2f}"
        )
    return table


def _planted(rows: list[dict[str, Any]]) -> Table:
    heads = ("above the mark", "notice", "ratio above 1.5 on Sunday")
    table = _table("Planted weeks found the same week", "squad", "planted", "work done", *heads)
    for row in rows:
        what = "one kind of work" if row["extent"] == "one" else "the whole week"
        found = (_share(row[name], row["planted"]) for name in ("mark", "notice", "ratio"))
        table.add_row(SQUADS[row["squad"]], f"{what} +{100 * row['change']:.0f} %", row["frequency"], *found)
    return table


def _steadiness(rows: list[dict[str, Any]]) -> Table:
    from keelmark.marks.audit_words import MOST_NOTICES, scatter_words

    heads = ("above the mark", "notice", "ratio above 1.5 on Sunday", MOST_NOTICES)
    title = "Doubled weeks of one kind of work done three times a week or more, found the same week"
    table = _table(title, "squad", "weeks scatter by", *heads)
    for row in rows:
        found = (_share(row[name], row["planted"]) for name in ("mark", "notice", "ratio"))
        table.add_row(SQUADS[row["squad"]], scatter_words(row["scatter"]), *found, f"{100 * row['most']:.0f} %")
    return table


def _named(rows: list[dict[str, Any]]) -> Table:
    from keelmark.marks.audit_words import named_words

    heads = ("weeks with a notice", "weeks after with one", "above the mark")
    table = _table("Weeks that were planned otherwise", "squad", "planned week", *heads)
    for row in rows:
        weeks = (f"{row[name]} of {row['weeks']}" for name in ("with_any", "after_any"))
        table.add_row(SQUADS[row["squad"]], named_words(row), *weeks, _share(row["above"], row["judged"]))
    return table


def _ramps(rows: list[dict[str, Any]]) -> Table:
    heads = ("within 8 weeks", "within 12", "within 16", "median weeks")
    table = _table("Work that grows by 8 % a week, found", "squad", "rule", *heads)
    for row in rows:
        within = (_share(row[f"within_{limit}"], row["ramps"]) for limit in (8, 12, 16))
        median = "not found" if row["median_weeks"] is None else f"{row['median_weeks']:g}"
        table.add_row(SQUADS[row["squad"]], RULES[row["rule"]], *within, median)
    return table


def _share(count: int, of: int) -> str:
    from keelmark.marks.audit_words import share_words

    return share_words(count, of)
