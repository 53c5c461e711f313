"""Where a week asks the same thing twice too close together: within a circuit, a session, and from day to day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import OPPOSING_CHANNELS
from keelmark.plan.clash_rules import SENSITIVITY, ClashRule, Demand, shipped_rules
from keelmark.plan.doses import SessionDose
from keelmark.plan.pace import seconds_of
from keelmark.plan.people import Person
from keelmark.plan.planned_week import PlannedWeek
from keelmark.plan.session_work import Part
from keelmark.plan.week_text import PlannedSession

__all__ = ["Clash", "Piece", "clashes", "clashes_of"]

_SAID_HOURS = 24.0


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of work in a clash: its session, its part of the session, and the movements that ask for it."""

    session: str
    part: int | None
    movements: tuple[str, ...]
    amount: float
    spans: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Clash:
    """Two pieces of work that share a limiter.

    `place` is together, block or session; `hours` is the spacing of two sessions. `opposing` marks a couplet of
    opposing movements that share a limiter, which may well be meant.
    """

    rule: str
    place: str
    first: Piece
    then: Piece
    hours: float | None
    opposing: bool
    headline: str
    reason: str

    @property
    def key(self) -> tuple[object, ...]:
        """Which clash it is, whatever its amounts."""
        return self.rule, self.place, self.first.session, self.first.part, self.then.session, self.then.part


def clashes(
    planned: PlannedWeek, *, sensitivity: str = "usual", person: Person | None = None, rules: Sequence[ClashRule] = ()
) -> list[Clash]:
    """Clashes of a week, for one reader of the board.

    Parameters
    ----------
    planned : PlannedWeek
        The week.
    sensitivity : {"few", "usual", "many"}
        How soon a piece of work counts.
    person : Person, optional
        Whose week; the first person's when left out. Every session counts, whatever the person's usual days.
    rules : sequence of ClashRule, optional
        The shipped ones when left out.
    """
    who = person or planned.persons[0]
    dosed = [(session, planned.dose(session, who)) for session in planned.sessions]
    return clashes_of(dosed, planned.doser.catalogue, sensitivity=sensitivity, rules=rules)


def clashes_of(
    dosed: Sequence[tuple[PlannedSession, SessionDose]],
    catalogue: Catalogue,
    *,
    sensitivity: str = "usual",
    rules: Sequence[ClashRule] = (),
) -> list[Clash]:
    """Clashes of some sessions in order of time."""
    scale = SENSITIVITY[sensitivity]
    finder = _Finder(catalogue, scale)
    found: list[Clash] = []
    for rule in rules or shipped_rules():
        for session, dose in dosed:
            if "together" in rule.places:
                found.extend(finder.together(rule, session, dose))
            if "block" in rule.places:
                found.extend(finder.blocks(rule, session, dose))
        if "session" in rule.places:
            found.extend(finder.sessions(rule, dosed))
    order = {session.key: at for at, (session, _) in enumerate(dosed)}
    return sorted(found, key=lambda clash: (order[clash.first.session], order[clash.then.session], clash.rule))


class _Finder:
    def __init__(self, catalogue: Catalogue, scale: float) -> None:
        self.catalogue = catalogue
        self.scale = scale

    def together(self, rule: ClashRule, session: PlannedSession, dose: SessionDose) -> Iterator[Clash]:
        """Two movements of one circuit that each ask a good part of what the rule puts together."""
        if rule.then not in rule.first:
            yield from self._in_turn(rule, session, dose)
            return
        least = rule.share * rule.then.most * self.scale
        for part in dose.work.parts:
            asking = [
                (movement, amount)
                for movement in _movements(dose, part.number)
                if (amount := self._amount(rule.then, dose, part.number, movement)) >= least
            ]
            if len({*_movements(dose, part.number)}) < 2 or not _is_circuit(dose, part.number):
                continue
            for (one, first), (other, second) in combinations(asking, 2):
                piece = Piece(session.key, part.number, (one,), first, _spans(dose, part.number, (one,)))
                beside = Piece(session.key, part.number, (other,), second, _spans(dose, part.number, (other,)))
                opposing = self._oppose(one, other, rule.then)
                said = " and ".join(self._label(name) for name in (one, other))
                headline = f"{session.name}: {said} share {rule.then.words} in one circuit"
                if opposing:
                    headline += "; they oppose each other, so it may be meant"
                yield Clash(rule.key, "together", piece, beside, None, opposing, headline, rule.reason)

    def _in_turn(self, rule: ClashRule, session: PlannedSession, dose: SessionDose) -> Iterator[Clash]:
        """Work of one kind in a circuit and, after it, work of another kind that suffers from it.

        Each has to ask its whole amount: in turns, the one is a rest from the other.
        """
        whole = replace(rule, share=1.0)
        for part in dose.work.parts:
            then = self._piece(whole, rule.then, session, dose, part.number)
            first = self._first_piece(whole, session, dose, part.number)
            if then is None or first is None or not _is_circuit(dose, part.number):
                continue
            demand, piece = first
            if not _comes_before(dose, part, piece.movements, then.movements):
                continue
            said = f"{self._list(piece.movements)}, then {self._list(then.movements)}"
            headline = f"{session.name}: {_after(demand, rule.then)} in one circuit ({said})"
            yield Clash(rule.key, "together", piece, then, None, False, headline, rule.reason)

    def blocks(self, rule: ClashRule, session: PlannedSession, dose: SessionDose) -> Iterator[Clash]:
        """One part of a session directly after another."""
        parts = [part.number for part in dose.work.parts if _movements(dose, part.number)]
        for one, other in pairwise(parts):
            first = self._first_piece(rule, session, dose, one)
            then = self._piece(rule, rule.then, session, dose, other)
            if first is None or then is None:
                continue
            demand, piece = first
            said = f"{self._list(piece.movements)}, then {self._list(then.movements)}"
            headline = f"{session.name}: {_after(demand, rule.then)} in the next part ({said})"
            yield Clash(rule.key, "block", piece, then, None, False, headline, rule.reason)

    def sessions(self, rule: ClashRule, dosed: Sequence[tuple[PlannedSession, SessionDose]]) -> Iterator[Clash]:
        """One session soon after another."""
        for at, (later, later_dose) in enumerate(dosed):
            then = self._piece(rule, rule.then, later, later_dose, None)
            if then is None:
                continue
            for earlier, earlier_dose in reversed(dosed[:at]):
                hours = later.hour - earlier.hour
                first = self._first_piece(rule, earlier, earlier_dose, None)
                if hours > rule.hours or first is None:
                    continue
                demand, piece = first
                days = f"{earlier.name} to {later.name}" if earlier.day != later.day else f"{later.name}, twice"
                headline = f"{days}: {_after(demand, rule.then)}, {_apart(earlier, later, hours)}"
                yield Clash(rule.key, "session", piece, then, hours, False, headline, rule.reason)
                break

    def _first_piece(
        self, rule: ClashRule, session: PlannedSession, dose: SessionDose, part: int | None
    ) -> tuple[Demand, Piece] | None:
        for demand in rule.first:
            piece = self._piece(rule, demand, session, dose, part)
            if piece is not None:
                return demand, piece
        return None

    def _piece(
        self, rule: ClashRule, demand: Demand, session: PlannedSession, dose: SessionDose, part: int | None
    ) -> Piece | None:
        amount = self._amount(demand, dose, part)
        if amount < demand.most * self.scale * (1.0 if part is None else rule.share):
            return None
        asked = [(self._amount(demand, dose, part, name), name) for name in _movements(dose, part)]
        names = tuple(name for amount_of, name in sorted(asked, reverse=True) if amount_of > 0)[:3]
        return Piece(session.key, part, names, amount, _spans(dose, part, names))

    def _amount(self, demand: Demand, dose: SessionDose, part: int | None, movement: str | None = None) -> float:
        rows = [
            at
            for at, row in enumerate(dose.work.rows)
            if (part is None or row.work.section == part) and (movement is None or row.work.movement == movement)
        ]
        if demand.channels:
            total = dose.of_rows(rows)
            return sum(total.of(channel) for channel in demand.channels)
        times = [
            seconds_of(dose.work.rows[at].work, self.catalogue)
            for at in rows
            if dose.work.rows[at].work.movement in demand.movements
        ]
        return sum(time.value for time in times if time is not None)

    def _oppose(self, one: str, other: str, shared: Demand) -> bool:
        """Whether two movements do opposite things, apart from what they share."""
        if other in self.catalogue.opposing(one):
            return True
        first, second = (_exposures(self.catalogue, name) for name in (one, other))
        return any(
            (a in first and b in second and a not in second and b not in first)
            or (b in first and a in second and b not in second and a not in first)
            for a, b in _OPPOSED_EXPOSURES
            if a not in shared.channels and b not in shared.channels
        )

    def _label(self, name: str) -> str:
        return self.catalogue.names.label(name)

    def _list(self, names: Sequence[str]) -> str:
        return ", ".join(self._label(name) for name in names)


_EXPOSURE_OF = {"knee_reps": "knee", "hip_hinge_reps": "hip_hinge"}
_OPPOSED_EXPOSURES = tuple(
    (_EXPOSURE_OF.get(one, one), _EXPOSURE_OF.get(other, other))
    for one, other, _ in OPPOSING_CHANNELS
    if one != "two_legged"
)


def _exposures(catalogue: Catalogue, name: str) -> set[str]:
    movement = catalogue[name]
    return {*movement.per_rep, *movement.per_metre, *movement.per_second}


def _movements(dose: SessionDose, part: int | None) -> list[str]:
    names = [row.work.movement for row in dose.work.rows if part is None or row.work.section == part]
    return list(dict.fromkeys(names))


def _is_circuit(dose: SessionDose, part: int) -> bool:
    """Whether a part has a group of two or more stations that are gone through in turn."""
    return any(len(group.stations) > 1 for group in dose.work.tree.sections[part].groups)


def _comes_before(dose: SessionDose, part: Part, first: Sequence[str], then: Sequence[str]) -> bool:
    """Whether a movement of the first kind is done before another of the second; in rounds each comes after each."""
    names = [row.work.movement for row in dose.work.rows if row.work.section == part.number]
    rounds = part.rounds is not None or any(group.rounds > 1 for group in dose.work.tree.sections[part.number].groups)
    return any(
        one in first and other in then and one != other and (rounds or at < later)
        for at, one in enumerate(names)
        for later, other in enumerate(names)
    )


def _spans(dose: SessionDose, part: int | None, names: Sequence[str]) -> tuple[tuple[int, int], ...]:
    rows = (row.work for row in dose.work.rows if part is None or row.work.section == part)
    return tuple(dict.fromkeys((row.start, row.end) for row in rows if row.movement in names))


def _after(first: Demand, then: Demand) -> str:
    return f"{then.words} again" if first == then else f"{then.words} after {first.words}"


def _apart(earlier: PlannedSession, later: PlannedSession, hours: float) -> str:
    if earlier.minute is not None and later.minute is not None:
        return f"{hours:g} hours apart"
    days = round(hours / _SAID_HOURS)
    return {0: "on the same day", 1: "one day apart"}.get(days, f"{days} days apart")
