"""Versions of sessions, and one session explained, as text."""

from __future__ import annotations

from rich.console import Console

from keelmark.cli.planning.amount_words import within
from keelmark.plan import Explained, Programme
from keelmark.plan.pace import Span
from keelmark.service.week_plan import Plan

__all__ = ["show_explained", "show_versions"]

_UNITS = {"reps": "reps", "distance_m": "m", "duration_s": "s", "calories": "kcal"}


def show_versions(console: Console, programme: Programme, plan: Plan) -> None:
    """The boards of each session, who does which, and how good the choice is."""
    console.print("\nVersions", style="bold")
    if programme.conflict:
        console.print("  These limits cannot all be kept, with any version there is:", markup=False)
        for words in programme.conflict:
            console.print(f"    {words}", markup=False)
        return
    console.print(f"  Aim: {programme.aims}. {programme.proof}", markup=False)
    names = {person.athlete_id: person.name for person in plan.persons}
    for session in plan.week.sessions:
        console.print(f"\n  {session.name}", style="bold")
        for version in programme.of_session(session.key):
            who = ", ".join(names.get(key, key) for key in version.athletes) or "the board as written"
            console.print(f"  {version.letter}  {who}", markup=False)
            for line in version.text.splitlines():
                console.print(f"     {line}", markup=False)


def show_explained(console: Console, explained: Explained) -> None:
    """What a session comes to, what ends sets first, and what to mind."""
    console.print("\nThe session explained", style="bold")
    for one in explained.movements:
        span = "" if one.low == one.high else f" ({one.low:.0f} to {one.high:.0f})"
        console.print(f"  {one.label}: {one.amount:.0f} {_UNITS[one.measure]}{span}", markup=False)
    for part in explained.parts:
        value, low, high = part.lumbar
        rounds = "" if part.rounds is None else f"; {_rounds(part.rounds)}"
        loading = ""
        if value or low:
            told = within(low if value is None else value, low, high, "N m s")
            figure = "not known" if value is None else f"{told.value} N m s"
            loading = f"; lumbar loading {figure} ({told.low} {'or more' if told.high is None else f'to {told.high}'})"
        console.print(f"  {part.label}: {part.domain}{rounds}{loading}", markup=False)
    if explained.limiter:
        console.print(f"  Likely to end sets first: {explained.limiter}", markup=False)
    for title, lines in (("Warm-up", explained.warm_up), ("To mind", explained.cautions)):
        for line in lines:
            console.print(f"  {title}: {line}", markup=False)
    for option in explained.scaling:
        console.print(f"  could do: {option.words}", markup=False)
        effect = "; ".join(option.effect) or "no known amount changes"
        console.print(f"    {effect}. As a whole {option.cost_words}.", style="dim", markup=False)
    console.print(f"  {explained.on_the_spot}", style="dim", markup=False)


def _rounds(found: Span) -> str:
    if found.low == found.high:
        return f"{found.value:g} rounds"
    return f"about {found.value:.0f} rounds ({found.low:.0f} to {found.high:.0f})"
