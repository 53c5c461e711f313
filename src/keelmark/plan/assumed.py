"""What a week's figures take for granted: rounds of open clocks, and how much is done in fixed windows."""

from __future__ import annotations

from dataclasses import dataclass

from keelmark.catalogue import Catalogue
from keelmark.plan.pace import Span
from keelmark.plan.people import Person
from keelmark.plan.planned_week import PlannedWeek
from keelmark.plan.rounds import with_expected
from keelmark.plan.session_work import SessionWork
from keelmark.plan.week_text import with_texts

__all__ = ["Assumed", "assumed", "week_with_rounds"]

BASIS_WORDS = {
    "written": "as the board says",
    "own": "from own scores",
    "squad": "from the squad's scores",
    "paces": "from general paces, no score is known",
    "windows": "from general paces; write a number of reps to set it",
}
_WINDOWS = ("every", "intervals")


@dataclass(frozen=True, slots=True)
class Assumed:
    """An amount that the text leaves open.

    Parameters
    ----------
    session, part
        Key of the session and number of the part.
    what : str
        `rounds` of an open clock, or the label of a movement in fixed windows.
    place : str
        Where it is, in words.
    amount : Span
        The amount with its bounds, for one reader.
    unit, basis : str
        Unit, and what it rests on: written, own, squad, paces or windows.
    results : int
        Scores that it rests on.
    """

    session: str
    part: int
    what: str
    place: str
    amount: Span
    unit: str
    basis: str
    results: int = 0

    @property
    def typed(self) -> bool:
        """Whether the programmer has settled the figure."""
        return self.basis == "written"

    @property
    def words(self) -> str:
        """`Monday, AMRAP 12: about 6.1 rounds (3.4 to 9.8), from general paces, no score is known`."""
        value, low, high = (_short(figure) for figure in self.amount)
        span = "" if low == high else f" ({low} to {high})"
        unit = "rounds" if self.what == "rounds" else f"{self.unit} of {self.what}"
        basis = BASIS_WORDS[self.basis] + (f" ({self.results})" if self.results else "")
        about = "" if self.typed else "about "
        return f"{self.place}: {about}{value} {unit}{span}, {basis}"


def assumed(planned: PlannedWeek, person: Person | None = None) -> list[Assumed]:
    """Everything a week's figures take for granted, for one reader of the board.

    Parameters
    ----------
    planned : PlannedWeek
        The week.
    person : Person, optional
        The first person when left out.
    """
    who = person or planned.persons[0]
    found = []
    for session in planned.sessions:
        work = planned.dose(session, who).work
        for part in work.parts:
            several = len(work.parts) > 1
            place = session.name + (f", {part.label or f'part {part.number + 1}'}" if several or part.label else "")
            if part.rounds is not None:
                results = who.pace.results if who.pace is not None and part.basis in ("own", "squad") else 0
                found.append(
                    Assumed(session.key, part.number, "rounds", place, part.rounds, "rounds", part.basis, results)
                )
                continue
            if part.kind in _WINDOWS:
                for label, reps in _in_windows(work, part.number, planned.doser.catalogue).items():
                    found.append(Assumed(session.key, part.number, label, place, reps, "reps", "windows"))
    return found


def _in_windows(work: SessionWork, part: int, catalogue: Catalogue) -> dict[str, Span]:
    """Reps of movements that a text gives only a time for, by the catalogue's paces."""
    found: dict[str, Span] = {}
    for row in work.rows:
        pace = catalogue[row.work.movement].seconds_per_rep
        if row.work.section != part or row.work.measure != "duration_s" or pace is None:
            continue
        seconds = row.work.amount * row.work.sets
        reps = Span(seconds / pace.value, seconds / pace.high, seconds / pace.low)
        label = catalogue.names.label(row.work.movement)
        found[label] = found[label].plus(reps) if label in found else reps
    return found


def week_with_rounds(planned: PlannedWeek, session: str, part: int, rounds: float | None) -> str:
    """The week's text with a line that says how many rounds of an open clock to expect; without one for None."""
    of_week = planned.week.session(session)
    tree = planned.dose(of_week, planned.persons[0]).work.tree
    return with_texts(planned.week, {session: with_expected(of_week.text, tree, part, rounds)})


def _short(figure: float) -> str:
    return f"{figure:,.0f}" if figure >= 10 else f"{figure:.2g}"
