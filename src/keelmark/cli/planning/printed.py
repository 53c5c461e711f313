"""A plan as a page of text, eighty columns wide."""

from __future__ import annotations

from typing import Any

import polars as pl
from rich.console import Console
from rich.table import Table

from keelmark.cli.planning.amount_words import alone, within
from keelmark.cli.planning.figures import PlanFigures
from keelmark.cli.planning.printed_session import show_explained, show_versions
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.words import SCOPE_LINE
from keelmark.plan import BALANCE_NOTE, Repair

__all__ = ["show"]

NAMES_SHOWN = 6


def show(figures: PlanFigures) -> None:
    """Print all of a plan for a reader."""
    programme, answers = figures.programme, figures.answers
    console = Console(highlight=False)
    for remark in figures.plan.remarks:
        console.print(remark, markup=False)
    _assumed(console, figures)
    console.print(_week_table(figures))
    for name, text in figures.not_counted:
        console.print(f"Not counted, only a score tells how much: {name}, {text}", markup=False)
    for name, message, picture in figures.doubts:
        console.print(f"{name}: {message}\n{picture}", markup=False)
    _balance(console, figures)
    _clashes(console, figures)
    _projection(console, figures)
    for question, usual, changed in answers:
        console.print(f"\nWhat if: {question.words}", style="bold", markup=False)
        console.print(_what_if(usual, changed))
    if programme is not None:
        show_versions(console, programme, figures.plan)
    if figures.explained is not None:
        show_explained(console, figures.explained)
    console.print(SCOPE_LINE, style="dim")


def _assumed(console: Console, figures: PlanFigures) -> None:
    found = figures.plan.assumed(figures.person.athlete_id)
    if not found:
        return
    console.print("\nTaken for granted", style="bold")
    for one in found:
        console.print(f"  {one.words}", markup=False)
    if any(one.what == "rounds" and not one.typed for one in found):
        console.print('  To settle it, write a line such as "Goal: 6 rounds" below the work.', style="dim")


def _week_table(figures: PlanFigures) -> Table:
    table = Table(title=f"The week as {figures.person.name} reads it", title_justify="left", title_style="bold")
    table.add_column("kind of work", min_width=16)
    sessions = [session.key for session in figures.plan.week.sessions]
    for key in sessions:
        table.add_column(key, justify="right", overflow="fold")
    table.add_column("own days", justify="right", min_width=9)
    reader = figures.person.athlete_id
    totals = {row["channel"]: row for row in figures.plan.totals(reader).iter_rows(named=True)}
    for (channel,), rows in figures.plan.matrix(reader).group_by(["channel"], maintain_order=True):
        cells = {row["session"]: _cell(row) for row in rows.iter_rows(named=True)}
        known = CHANNEL_BY_KEY[str(channel)]
        label = _labelled(known.label, known.unit)
        table.add_row(label, *(cells[key] for key in sessions), _whole(totals.get(str(channel))))
    return table


def _balance(console: Console, figures: PlanFigures) -> None:
    console.print(f"\nBalance, {figures.person.name}", style="bold")
    for pair in figures.balances:
        meant = "" if pair.intended_log2 is None else f" (meant: {_ratio(pair.intended_log2)})"
        console.print(f"  {pair.label}: {pair.words}{meant}", markup=False)
        for repair in figures.mended(pair):
            _repair(console, repair)
    console.print(f"  {BALANCE_NOTE}", style="dim", markup=False)
    if figures.worst:
        names = ", ".join(name for name, _ in figures.worst)
        against = "what is meant" if figures.meant else "the week as written"
        days = "with their own days" if figures.days is None else "with these days"
        console.print(f"  Farthest from {against}, {days}: {names}", markup=False)


def _clashes(console: Console, figures: PlanFigures) -> None:
    console.print("\nClashes", style="bold")
    if not figures.clashes:
        console.print("  none found")
    for clash, repairs in figures.clashes:
        console.print(f"  {clash.headline}", markup=False)
        console.print(f"    {clash.reason}", style="dim", markup=False)
        for one in repairs:
            _repair(console, one)
        if not repairs:
            console.print("    no single change takes it away without bringing another", style="dim")


def _repair(console: Console, one: Repair) -> None:
    console.print(f"    could do: {one.words}", markup=False)
    effect = "; ".join(one.effect_words) or "no amount changes, only when the work is done"
    console.print(f"      {effect}. As a whole {one.cost_words}.", style="dim", markup=False)


def _projection(console: Console, figures: PlanFigures) -> None:
    if figures.plan.season is None:
        return
    above = figures.plan.above()
    console.print("\nAgainst everybody's own marks", style="bold")
    console.print(f"  {above.words}", markup=False)
    for kind in above.kinds:
        usual = "" if kind.usual is None else f"; usually {kind.usual[0]} to {kind.usual[1]}"
        names = [*kind.sure, *(f"{name} (may be)" for name in kind.perhaps)]
        told = ", ".join(names[:NAMES_SHOWN]) + (f" and {len(names) - NAMES_SHOWN} more" if names[NAMES_SHOWN:] else "")
        counts = f"{len(kind.sure)} surely, {len(kind.perhaps)} more may be{usual}"
        console.print(f"  {kind.label}: {counts}: {told}", markup=False)


def _what_if(usual: pl.DataFrame, changed: pl.DataFrame) -> Table:
    table = Table()
    for name in ("kind of work", "as usual", "if so", "own usual range", "where it would lie"):
        table.add_column(name, justify="right" if name in ("as usual", "if so") else "left")
    before = {row["channel"]: row for row in usual.iter_rows(named=True)}
    after = {row["channel"]: row for row in changed.iter_rows(named=True)}
    for channel in dict.fromkeys([*before, *after]):
        row = after.get(channel) or before[channel]
        amounts = (_beside(one[channel]) if channel in one else "0" for one in (before, after))
        span = "" if row["upper"] is None else _span(row["lower"] or 0.0, row["upper"], row["unit"])
        table.add_row(
            _labelled(row["label"], row["unit"]), *amounts, span, after[channel]["words"] if channel in after else ""
        )
    return table


def _labelled(label: str, unit: str) -> str:
    """The kind of work with its unit, where the name does not hold it already."""
    return label if unit in label.lower() else f"{label}, {unit}"


def _ratio(log2: float) -> str:
    return "as much of each" if log2 == 0 else f"{2**log2:.3g} to one" if log2 > 0 else f"one to {2**-log2:.3g}"


def _whole(row: dict[str, Any] | None) -> str:
    """The week on somebody's own days, and below it its bounds; empty when nothing of it falls on them."""
    if row is None:
        return ""
    figure = _figure(row)
    if row["low"] == row["high"]:
        return figure
    bounds = within(row["value"] or 0.0, row["low"], row["high"], row["unit"])
    return f"{figure}\n{bounds.low} {'or more' if bounds.high is None else f'to {bounds.high}'}"


def _cell(row: dict[str, Any]) -> str:
    return ("" if row["value"] == 0 else _figure(row)) + (" +" if row["unknown"] and row["value"] is not None else "")


def _figure(row: dict[str, Any]) -> str:
    return "not known" if row["value"] is None else within(row["value"], row["low"], row["high"], row["unit"]).value


def _beside(row: dict[str, Any]) -> str:
    """A figure to hold beside another one; its bounds would hide a small difference."""
    return "not known" if row["value"] is None else alone(row["value"], row["unit"])


def _span(low: float, high: float, unit: str) -> str:
    return f"{alone(low, unit)} to {alone(high, unit)}"
