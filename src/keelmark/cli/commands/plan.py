"""`keelmark plan`: what a week of whiteboard texts comes to, where it clashes, and versions that fit on one board."""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.options import AsJson, Database, OwnMovements
from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.contracts.text_file import read_text_file

if TYPE_CHECKING:
    from keelmark.plan import Clash, Explained, Limit, Programme
    from keelmark.service.planning import Plan

__all__ = ["plan"]


def plan(
    week: Annotated[Path, typer.Argument(help="A text file with days and whiteboard texts; - reads what is piped.")],
    db: Database = None,
    athlete: Annotated[str | None, typer.Option(help="Whose matrix and clashes; else the first athlete's.")] = None,
    versions: Annotated[int, typer.Option(help="Versions of each session at most; 0 looks for none.")] = 3,
    limit: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME:CHANNEL=AMOUNT", help="An agreed limit for the week; may be given again."),
    ] = None,
    intend: Annotated[
        list[str] | None,
        typer.Option(metavar="ONE:OTHER=RATIO", help="An intended balance such as vertical_push:vertical_pull=0.5."),
    ] = None,
    sensitivity: Annotated[str, typer.Option(help="How soon a clash is named: few, usual or many.")] = "usual",
    span: Annotated[str, typer.Option(help='Balance over the "week", "4 weeks" or the "season".')] = "week",
    explain: Annotated[
        str | None, typer.Option(metavar="DAY", help="Explain one session, such as mon or fri-2.")
    ] = None,
    calendar: Annotated[Path | None, typer.Option(metavar="FILE", help="Write the week as an iCalendar file.")] = None,
    events: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Name the days of an iCalendar file's events in the squad first."),
    ] = None,
    movements: OwnMovements = None,
    as_json: AsJson = False,
) -> None:
    """Plan a week from its whiteboard texts: matrix, balance, clashes with repairs, everybody's week, versions.

    Works from the text alone while nothing is logged. Ends with 1 when limits cannot all be kept, or text has doubts.
    """
    from keelmark.service import Squad

    text = _text(week)
    meant = dict(_ratio(pair) for pair in intend or [])
    _check_sensitivity(sensitivity)
    with Squad.open(db, own_movements=movements or ()) as squad:
        if events is not None:
            new = squad.import_events(_bytes(events))
            typer.echo(f"{new} new in the squad's calendar", err=True)
        made = squad.plan(text)
        if not made.week.sessions:
            raise RefusedInput(
                "there is no session in the text",
                where=str(week),
                wanted="whiteboard texts under the names of days",
                remedy="write a day such as Monday above each session",
            )
        told = _Told(made, athlete, sensitivity, span, meant)
        limits = [_limit(written, made) for written in limit or []]
        chosen = made.versions(versions, limits=limits) if versions else None
        explained = made.explain(_session(explain, made), athlete) if explain is not None else None
        if calendar is not None:
            calendar.write_bytes(made.calendar(stamp=dt.datetime.now(dt.UTC)))
        if as_json:
            typer.echo(json.dumps(told.plain(chosen, explained), ensure_ascii=False))
        else:
            told.show(chosen, explained)
        if told.doubts or (chosen is not None and chosen.conflict):
            raise typer.Exit(1)


class _Told:
    """One plan, ready to be told."""

    def __init__(
        self, made: Plan, athlete: str | None, sensitivity: str, span: str, meant: dict[tuple[str, str], float]
    ) -> None:
        self.made = made
        self.person = made.person(athlete)
        self.sensitivity = sensitivity
        self.matrix = made.matrix(self.person.athlete_id)
        self.totals = made.totals(self.person.athlete_id)
        self.balances = made.balances(meant, span=span)[self.person.athlete_id]
        self.worst = made.worst_served(meant, span=span)
        self.clashes = made.clashes(sensitivity, self.person.athlete_id)
        self.projection = made.projection()
        works = [made.planned.dose(session, self.person).work for session in made.week.sessions]
        self.doubts = [
            (session.name, issue.message, issue.picture)
            for session, work in zip(made.week.sessions, works, strict=True)
            for issue in work.issues
            if issue.level != "note"
        ]
        self.not_counted = [
            (session.name, session.text[start:end])
            for session, work in zip(made.week.sessions, works, strict=True)
            for start, end in work.open_places
        ]

    def plain(self, chosen: Programme | None, explained: Explained | None) -> dict[str, Any]:
        """All of it as plain values."""
        monday = self.made.monday
        return {
            "monday": monday.isoformat() if monday else None,
            "for": self.person.name,
            "remarks": list(self.made.remarks),
            "doubts": [{"session": name, "message": message} for name, message, _ in self.doubts],
            "not_counted": [{"session": name, "text": text} for name, text in self.not_counted],
            "matrix": list(self.matrix.iter_rows(named=True)),
            "totals": list(self.totals.iter_rows(named=True)),
            "balance": [
                {
                    "one": pair.one, "other": pair.other, "amount_one": pair.amount_one,
                    "amount_other": pair.amount_other, "log2": pair.log2, "intended_log2": pair.intended_log2,
                }
                for pair in self.balances
            ],
            "farthest_from_intended": [{"name": name, "doublings": far} for name, far in self.worst],
            "clashes": [self._clash(clash) for clash in self.clashes],
            "projection": list(self.projection.iter_rows(named=True)),
            "versions": _versions(chosen) if chosen else None,
            "explained": _explained(explained) if explained else None,
        }  # fmt: skip

    def _clash(self, clash: Clash) -> dict[str, Any]:
        found = self.made.repairs(clash, self.sensitivity, self.person.athlete_id)
        return {
            "rule": clash.rule, "place": clash.place, "first": clash.first.session, "then": clash.then.session,
            "hours": clash.hours, "may_be_meant": clash.opposing, "headline": clash.headline, "reason": clash.reason,
            "repairs": [
                {"kind": one.kind, "words": one.words, "cost": one.cost, "effect": dict(one.effect)} for one in found
            ],
        }  # fmt: skip

    def show(self, chosen: Programme | None, explained: Explained | None) -> None:
        """Print it for a reader."""
        from rich.console import Console

        from keelmark.contracts.words import SCOPE_LINE

        console = Console(highlight=False)
        for remark in self.made.remarks:
            console.print(remark, markup=False)
        console.print(self._week_table())
        for name, text in self.not_counted:
            console.print(f"Not counted, only a score tells how much: {name}, {text}", markup=False)
        for name, message, picture in self.doubts:
            console.print(f"{name}: {message}\n{picture}", markup=False)
        self._show_balance(console)
        self._show_clashes(console)
        self._show_projection(console)
        if chosen is not None:
            _show_versions(console, chosen, self.made)
        if explained is not None:
            _show_explained(console, explained)
        console.print(SCOPE_LINE, style="dim")

    def _week_table(self) -> Any:
        from rich.table import Table

        table = Table(title=f"The week as {self.person.name} reads it", title_justify="left", title_style="bold")
        table.add_column("kind of work")
        table.add_column("unit")
        for session in self.made.week.sessions:
            table.add_column(session.key, justify="right")
        table.add_column("own days", justify="right")
        table.add_column("between")
        totals = {row["label"]: row for row in self.made.totals(self.person.athlete_id).iter_rows(named=True)}
        sessions = [session.key for session in self.made.week.sessions]
        for (label, unit), rows in self.matrix.group_by(["label", "unit"], maintain_order=True):
            cells = {row["session"]: _cell(row) for row in rows.iter_rows(named=True)}
            table.add_row(str(label), str(unit), *(cells[key] for key in sessions), *_whole(totals.get(label)))
        return table

    def _show_balance(self, console: Any) -> None:
        from keelmark.plan import BALANCE_NOTE

        console.print(f"\nBalance, {self.person.name}", style="bold")
        for pair in self.balances:
            console.print(f"  {pair.label}: {pair.words}", markup=False)
        console.print(f"  {BALANCE_NOTE}", style="dim", markup=False)
        if self.worst and len(self.made.persons) > 2:
            names = ", ".join(name for name, _ in self.worst)
            console.print(f"  Farthest from what is intended, with their own days: {names}", markup=False)

    def _show_clashes(self, console: Any) -> None:
        console.print("\nClashes", style="bold")
        if not self.clashes:
            console.print("  none found")
        for clash in self.clashes:
            console.print(f"  {clash.headline}", markup=False)
            console.print(f"    {clash.reason}", style="dim", markup=False)
            for one in self.made.repairs(clash, self.sensitivity, self.person.athlete_id):
                console.print(f"    could do: {one.words}", markup=False)

    def _show_projection(self, console: Any) -> None:
        above = self.projection.filter(self.projection["place"] == "above")
        if self.made.season is None:
            return
        console.print("\nAbove their own usual range with this week in it", style="bold")
        if above.is_empty():
            console.print("  nobody")
        for (name,), rows in above.group_by(["name"], maintain_order=True):
            told = [
                f"{row['label']} {_short(row['value'])} {row['unit']}"
                f" (usual {_short(row['lower'])} to {_short(row['upper'])})"
                for row in rows.iter_rows(named=True)
            ]
            console.print(f"  {name}: {'; '.join(told)}", markup=False)


def _show_versions(console: Any, chosen: Programme, made: Plan) -> None:
    console.print("\nVersions", style="bold")
    if chosen.conflict:
        console.print("  These limits cannot all be kept, with any version there is:", markup=False)
        for words in chosen.conflict:
            console.print(f"    {words}", markup=False)
        return
    solution = chosen.solution
    size = f"{solution.variables} variables, {solution.rows} rows"
    console.print(f"  Aim: {chosen.aims}. Proven within {solution.gap:.1%} of the best; {size}.", markup=False)
    names = {person.athlete_id: person.name for person in made.persons}
    for session in made.week.sessions:
        console.print(f"\n  {session.name}", style="bold")
        for version in chosen.of_session(session.key):
            who = ", ".join(names.get(key, key) for key in version.athletes) or "nobody"
            console.print(f"  {version.letter}  {who}", markup=False)
            for line in version.text.splitlines():
                console.print(f"     {line}", markup=False)


def _show_explained(console: Any, told: Explained) -> None:
    console.print("\nThe session explained", style="bold")
    for one in told.movements:
        span = "" if one.low == one.high else f" ({one.low:.0f} to {one.high:.0f})"
        unit = {"reps": "reps", "distance_m": "m", "duration_s": "s", "calories": "kcal"}[one.measure]
        console.print(f"  {one.label}: {one.amount:.0f} {unit}{span}", markup=False)
    for part in told.parts:
        value, low, high = part.lumbar
        if value or low:
            bounds = f"{_short(low)} to {_short(high)}" if high is not None else f"{_short(low)} or more"
            console.print(
                f"  {part.label}: {part.domain}; lumbar loading {_short(value)} N m s ({bounds})", markup=False
            )
        else:
            console.print(f"  {part.label}: {part.domain}", markup=False)
    if told.limiter:
        console.print(f"  Ends sets first: {told.limiter}", markup=False)
    for words in (*told.warm_up, *told.cautions):
        console.print(f"  {words}", markup=False)
    for option in told.scaling:
        console.print(f"  could do: {option.words} [{'; '.join(option.effect[:4])}]", markup=False)


def _versions(chosen: Programme) -> dict[str, Any]:
    solution = chosen.solution
    return {
        "aim": chosen.aims,
        "feasible": solution.feasible,
        "conflict": list(chosen.conflict),
        "gap": solution.gap if solution.feasible else None,
        "proven": solution.proven,
        "size": {"variables": solution.variables, "binaries": solution.binaries, "rows": solution.rows},
        "sessions": [
            {
                "session": version.session, "version": version.letter, "text": version.text,
                "edits": list(version.edits), "cost": version.cost, "athletes": list(version.athletes),
            }
            for version in chosen.versions
        ],
    }  # fmt: skip


def _explained(told: Explained) -> dict[str, Any]:
    return {
        "movements": [
            {"movement": one.movement, "measure": one.measure, "amount": one.amount, "low": one.low, "high": one.high}
            for one in told.movements
        ],
        "parts": [
            {
                "label": one.label,
                "domain": one.domain,
                "seconds": one.seconds,
                "rounds": one.rounds,
                "lumbar": one.lumbar,
            }
            for one in told.parts
        ],
        "limiter": told.limiter,
        "cautions": list(told.cautions),
        "warm_up": list(told.warm_up),
        "scaling": [{"words": one.words, "cost": one.cost, "effect": list(one.effect)} for one in told.scaling],
        "not_counted": list(told.not_counted),
    }


def _text(week: Path) -> str:
    if str(week) == "-":
        return sys.stdin.read()
    return read_text_file(week)


def _bytes(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        raise RefusedInput(
            f"the file cannot be read ({error.__class__.__name__})",
            where=str(file),
            wanted="an iCalendar file",
            remedy="check the file's name",
        ) from error


def _check_sensitivity(chosen: str) -> None:
    from keelmark.plan import SENSITIVITY

    if chosen not in SENSITIVITY:
        raise SettingError(
            f"{chosen!r} was given", where="option --sensitivity", wanted=", ".join(SENSITIVITY),
            remedy="choose one of these",
        )  # fmt: skip


def _session(asked: str | None, made: Plan) -> str:
    keys = [session.key for session in made.week.sessions]
    if asked not in keys:
        raise SettingError(
            f"{asked!r} is not a session of this week",
            where="option --explain",
            wanted=", ".join(keys),
            remedy="choose one of these",
        )
    return asked


def _ratio(written: str) -> tuple[tuple[str, str], float]:
    pair, _, ratio = written.partition("=")
    one, _, other = pair.partition(":")
    try:
        return (one.strip(), other.strip()), float(ratio.replace(",", "."))
    except ValueError as error:
        raise SettingError(
            f"{written!r} was given",
            where="option --intend",
            wanted="two channels and a ratio such as vertical_push:vertical_pull=0.5",
            remedy="write the ratio as a number",
        ) from error


def _limit(written: str, made: Plan) -> Limit:
    from keelmark.plan import Limit

    what, _, amount = written.partition("=")
    name, _, channel = what.partition(":")
    try:
        most = float(amount.replace(",", "."))
    except ValueError as error:
        raise SettingError(
            f"{written!r} was given",
            where="option --limit",
            wanted="a name, a channel and an amount such as wren:jump_contacts=120",
            remedy="write the amount as a number",
        ) from error
    return Limit(made.person(name).athlete_id, channel.strip(), most)


def _whole(row: dict[str, Any] | None) -> tuple[str, str]:
    """The week on somebody's own days, and its bounds; both empty when nothing of it falls on them."""
    if row is None:
        return "", ""
    upper = "or more" if row["high"] is None else f"to {_short(row['high'])}"
    bounds = "exact" if row["low"] == row["high"] else f"{_short(row['low'])} {upper}"
    return _short(row["value"]), bounds


def _cell(row: dict[str, Any]) -> str:
    if row["value"] is None:
        return "not known"
    return ("" if not row["value"] else _short(row["value"])) + (" +" if row["unknown"] else "")


def _short(value: float | None) -> str:
    if value is None:
        return "not known"
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:,.3g}"
