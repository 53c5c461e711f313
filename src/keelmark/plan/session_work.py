"""The work of one session for one athlete, read from whiteboard text alone.

Where only a score could tell how much was done, an open clock is filled with the rounds that the board tells to expect,
else with as many as earlier results or the catalogue's paces allow, as a figure with a wide range; other open work
stays unknown and is named.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from keelmark.catalogue import Catalogue
from keelmark.notation import Context, Issue, Prescription, Reading, WorkDone, read
from keelmark.notation.tree import Section
from keelmark.plan.pace import Span, expected_rounds, seconds_of
from keelmark.plan.rounds import OPEN_CLOCKS, Pace, without_expected, work_share, written_rounds

__all__ = ["Part", "PlannedRow", "SessionReader", "SessionWork"]

KEPT = 20_000
"""Readings that are remembered; beyond it the memory is emptied once."""

_ONE_ROUND = "1+0"
_TOLD_BY_SCORE = ("missing_result", "ambiguous_result")


@dataclass(frozen=True, slots=True)
class PlannedRow:
    """One row of work to expect: amount per set, and bounds of the amount as shares of it."""

    work: WorkDone
    share_low: float
    share_high: float


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the session with one clock: kind, label, time it takes [s] where known, and expected rounds.

    `basis` says what the rounds of an open clock rest on: written, own, squad or paces; it is empty elsewhere.
    """

    number: int
    kind: str
    label: str
    clock: float | None
    seconds: Span | None
    rounds: Span | None
    basis: str = ""


@dataclass(frozen=True, slots=True)
class SessionWork:
    """What a session's text comes to for one athlete.

    `open_places` are the spans (start, end) of work whose amount only a score tells and that is not counted.
    """

    text: str
    rows: tuple[PlannedRow, ...]
    parts: tuple[Part, ...]
    issues: tuple[Issue, ...]
    open_places: tuple[tuple[int, int], ...]
    tree: Prescription


class SessionReader:
    """Reads sessions for athletes and remembers what it has read; athletes who read a text alike share a reading."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self._read: dict[tuple[object, ...], SessionWork] = {}
        self._personal: dict[str, _Personal] = {}

    def work(self, text: str, context: Context, pace: Pace | None = None) -> SessionWork:
        """The work of a text for an athlete, whose pace under open clocks may be known."""
        known = self._read.get(_key(text, context, pace, self._personal.get(text, _Personal())))
        if known is not None:
            return known
        if len(self._read) > KEPT:
            self._read.clear()
        work = session_work(text, context, self.catalogue, pace)
        units = set(_load_units(work.tree))
        paced = any(part.kind in OPEN_CLOCKS for part in work.parts)
        personal = self._personal[text] = _Personal("bodyweight" in units, "percent" in units, paced)
        self._read[_key(text, context, pace, personal)] = work
        return work


@dataclass(frozen=True, slots=True)
class _Personal:
    """What of an athlete a text's work depends on; all of it while the text has not been read."""

    body: bool = True
    maximum: bool = True
    pace: bool = True


def _key(text: str, context: Context, pace: Pace | None, personal: _Personal) -> tuple[object, ...]:
    maxima = tuple(sorted(context.one_rm.items())) if personal.maximum else None
    body = context.bodyweight_kg if personal.body else None
    return text, context.standard, body, maxima, pace if personal.pace else None


def session_work(text: str, context: Context, catalogue: Catalogue, pace: Pace | None = None) -> SessionWork:
    """Read a session's text as work to expect.

    Parameters
    ----------
    text : str
        Whiteboard text of one session.
    context : Context
        The athlete; a result in it is passed over.
    catalogue : Catalogue
        Paces of the movements.
    pace : Pace, optional
        How fast the athlete, or the squad, went before.
    """
    plain = without_expected(text)
    as_written = read(plain, replace(context, result=None), catalogue)
    open_parts = [n for n, section in enumerate(as_written.tree.sections) if section.kind in OPEN_CLOCKS]
    reading = as_written
    if open_parts:
        one_round = "\n".join([_ONE_ROUND] * len(open_parts))
        reading = read(plain, replace(context, result=one_round), catalogue)
    rounds, basis = _rounds(text, reading, open_parts, catalogue, pace)
    rows = tuple(_planned(row, rounds.get(row.section)) for row in _counted(reading.efforts, open_parts, rounds))
    counted = {(row.work.start, row.work.end) for row in rows}
    told = tuple(issue for issue in as_written.issues if issue.code not in _TOLD_BY_SCORE)
    open_places = tuple(
        (issue.start, issue.end)
        for issue in as_written.issues
        if issue.code in _TOLD_BY_SCORE and not _covered(issue, counted, as_written, rounds)
    )
    numbers = range(len(as_written.tree.sections))
    parts = tuple(replace(_part(n, as_written.tree, rows, rounds, catalogue), basis=basis.get(n, "")) for n in numbers)
    return SessionWork(text, rows, parts, told, open_places, as_written.tree)


def _rounds(
    text: str, one_round: Reading, open_parts: list[int], catalogue: Catalogue, pace: Pace | None
) -> tuple[dict[int, Span], dict[int, str]]:
    """Rounds to expect of each open part, and what they rest on."""
    rounds, basis = {}, {}
    written = written_rounds(text, one_round.tree) if open_parts else {}
    for number in open_parts:
        section = one_round.tree.sections[number]
        once = [row for row in one_round.efforts if row.section == number]
        clock = section.seconds * work_share(section) if section.seconds else None
        expected = expected_rounds(clock, once, catalogue) if clock else None
        if once and number in written:
            rounds[number], basis[number] = written[number], "written"
        elif expected is not None and pace is not None:
            rounds[number], basis[number] = pace.of(expected), pace.whose
        elif expected is not None:
            rounds[number], basis[number] = expected, "paces"
    return rounds, basis


def _counted(efforts: list[WorkDone], open_parts: list[int], rounds: dict[int, Span]) -> Iterator[WorkDone]:
    for row in efforts:
        if row.section not in open_parts or row.section in rounds:
            yield row


def _planned(row: WorkDone, rounds: Span | None) -> PlannedRow:
    low, high = (row.low / row.amount, row.high / row.amount) if row.amount > 0 else (1.0, 1.0)
    if rounds is None:
        return PlannedRow(row, low, high)
    work = replace(row, amount=row.amount * rounds.value, low=row.low * rounds.low, high=row.high * rounds.high)
    return PlannedRow(work, low * rounds.low / rounds.value, high * rounds.high / rounds.value)


def _covered(issue: Issue, counted: set[tuple[int, int]], reading: object, rounds: dict[int, Span]) -> bool:
    """Whether the doubt is about work that the paces have filled in."""
    return any(start <= issue.start < end or issue.start <= start < issue.end for start, end in counted)


def _part(
    number: int, tree: Prescription, rows: tuple[PlannedRow, ...], rounds: dict[int, Span], catalogue: Catalogue
) -> Part:
    section = tree.sections[number]
    own = [row for row in rows if row.work.section == number]
    clock = _clock(section)
    total: Span | None = Span(0.0, 0.0, 0.0) if own else None
    for row in own:
        time = seconds_of(row.work, catalogue)
        total = total.plus(time) if total is not None and time is not None else None
    if clock:
        total = Span(clock, clock, clock)
    return Part(number, section.kind, section.label, clock, total, rounds.get(number))


def _clock(section: Section) -> float | None:
    """Seconds that the clock of a part runs, where it runs whatever the athlete does."""
    if section.kind not in ("amrap", "every", "intervals"):
        return None
    if section.seconds is not None or section.windows is None:
        return section.seconds
    window = section.window if section.window is not None else (section.work or 0.0) + (section.rest or 0.0)
    return window * section.windows or None


def _load_units(tree: Prescription) -> Iterator[str]:
    for section in tree.sections:
        for group in section.groups:
            for station in group.stations:
                for load in (station.load, station.scaled.load if station.scaled else None):
                    if load is not None:
                        yield load.unit
