"""At most a few versions of each session that fit on one whiteboard, and who does which."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import SettingError
from keelmark.plan.candidates import MOST, Candidate, candidates
from keelmark.plan.conflict import smallest_conflict
from keelmark.plan.doses import PLAN_CHANNELS, Array
from keelmark.plan.people import Person
from keelmark.plan.planned_week import PlannedWeek
from keelmark.plan.problem import Problem, Solution
from keelmark.plan.programme import GAP, SECONDS, solve
from keelmark.plan.week_text import with_texts

__all__ = ["LETTERS", "Limit", "Programme", "Version", "problem_of", "versions"]

LETTERS = "ABCDEFGH"
SHARES = (0.8, 0.6, 0.9, 0.5, 0.7, 0.4, 0.3)
"""Amounts that versions aim at where nobody's marks are known, as shares of the board (a choice, no source)."""

NO_GAP = 5e-4
"""A proven gap that reads as none."""

_PLACE = {channel.key: place for place, channel in enumerate(PLAN_CHANNELS)}
_PEAK = np.array([channel.gather == "max" for channel in PLAN_CHANNELS])


@dataclass(frozen=True, slots=True)
class Limit:
    """Something agreed with an athlete: no more than this of a channel in the week, in the channel's unit."""

    athlete_id: str
    channel: str
    most: float

    def __post_init__(self) -> None:
        if self.channel not in _PLACE or not self.most >= 0:
            raise SettingError(
                f"{self.channel} at most {self.most:g} for {self.athlete_id}",
                where="agreed limits",
                wanted="an amount of zero or more of one of " + ", ".join(_PLACE),
                remedy="use the channel's key as in the table of figures",
            )


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a session: its letter, text, edits in words, distance from what was meant, and who does it."""

    session: str
    letter: str
    text: str
    edits: tuple[str, ...]
    cost: float
    athletes: tuple[str, ...]


@dataclass(frozen=True)
class Programme:
    """Versions of a week.

    `conflict` names limits, in words, that cannot all be kept; there are no versions then but the board itself.
    `aims` says what the versions aim at.
    """

    versions: tuple[Version, ...]
    solution: Solution
    offered: tuple[int, ...]
    conflict: tuple[str, ...]
    aims: str

    @property
    def proof(self) -> str:
        """How good the choice is, in words."""
        if not self.solution.proven:
            return f"The time ran out: a better choice may exist, by {self.solution.gap:.1%} at most."
        if self.solution.gap < NO_GAP:
            return "Proven: of the versions looked at, no other choice does better."
        return f"Proven: no other choice of the versions looked at does better by more than {self.solution.gap:.1%}."

    def of_session(self, session: str) -> tuple[Version, ...]:
        """The versions of one session, the board first."""
        return tuple(version for version in self.versions if version.session == session)

    def texts_for(self, athlete_id: str) -> dict[str, str]:
        """What an athlete does, by session."""
        return {version.session: version.text for version in self.versions if athlete_id in version.athletes}

    def week_text(self, planned: PlannedWeek) -> str:
        """The week's text with all versions of each session under one another, each under its letter."""
        texts = {}
        for session in planned.sessions:
            own = self.of_session(session.key)
            if len(own) > 1:
                texts[session.key] = "\n\n".join(f"[{one.letter}]\n{one.text}" for one in own)
        return with_texts(planned.week, texts)


def versions(
    planned: PlannedWeek,
    upper: Mapping[tuple[str, str], float] | None = None,
    limits: Sequence[Limit] = (),
    *,
    most: int = 3,
    gap: float = GAP,
    seconds: float = SECONDS,
    offered: int = MOST,
) -> Programme:
    """Versions of each session, and who does which.

    Parameters
    ----------
    planned : PlannedWeek
        The week as written.
    upper : mapping of (athlete, channel) to float, optional
        Upper marks of the week. Where there are none, versions aim at shares of the board instead.
    limits : sequence of Limit
        What is agreed; no version passes it.
    most : int
        Versions of a session at most, the board as written among them.
    gap, seconds : float
        Proven gap at which the solver stops, and its time at most.
    offered : int
        Versions of a session that the solver may choose from.

    Raises
    ------
    SettingError
        When the number of versions does not fit, or a limit names somebody who is not planned for.
    """
    if not 1 <= most <= len(LETTERS):
        raise SettingError(
            f"{most} versions are asked for",
            where="option --versions",
            wanted=f"a whole number from 1 to {len(LETTERS)}",
            remedy="three fit on most boards",
        )
    choices = [candidates(session.text, planned.doser, most=offered) for session in planned.sessions]
    if not upper and not limits:
        return _by_shares(planned, choices, most, gap, seconds)
    problem = problem_of(planned, choices, upper or {}, limits, most)
    solution = solve(problem, gap=gap, seconds=seconds)
    conflict: tuple[str, ...] = ()
    if not solution.feasible and solution.proven:
        conflict = tuple(_limit_words(planned, pair, problem.limit[pair]) for pair in smallest_conflict(problem))
    names = [person.athlete_id for person in planned.persons]
    told = _told(planned, choices, solution.choice, names)
    aims = "everybody within their own marks and agreed limits, with as little changed on the board as that takes"
    return Programme(told, solution, tuple(map(len, choices)), conflict, aims)


def problem_of(
    planned: PlannedWeek,
    choices: Sequence[Sequence[Candidate]],
    upper: Mapping[tuple[str, str], float],
    limits: Sequence[Limit],
    most: int,
) -> Problem:
    """The programme's figures: costs and doses of all versions for everybody, marks and limits."""
    persons = planned.persons
    row = {person.athlete_id: at for at, person in enumerate(persons)}
    mark = np.full((len(persons), len(PLAN_CHANNELS)), np.inf)
    for (athlete_id, channel), value in upper.items():
        if athlete_id in row and channel in _PLACE:
            mark[row[athlete_id], _PLACE[channel]] = value
    limit = np.full_like(mark, np.inf)
    for one in limits:
        if one.athlete_id not in row:
            raise SettingError(
                f"a limit is agreed with {one.athlete_id}, who is not in the squad",
                where="agreed limits",
                wanted="one of " + ", ".join(row),
                remedy="use the athlete's key, which is the first name in small letters unless the roster gives one",
            )
        place = row[one.athlete_id], _PLACE[one.channel]
        limit[place] = min(limit[place], one.most)
    attends = np.array([[session.day in person.days for session in planned.sessions] for person in persons], dtype=bool)
    return Problem(
        cost=[np.array([one.cost for one in of_session]) for of_session in choices],
        dose=_doses(planned, choices, persons),
        attends=attends.reshape(len(persons), len(choices)),
        mark=mark,
        limit=limit,
        peak=_PEAK,
        versions=most,
    )


def _doses(planned: PlannedWeek, choices: Sequence[Sequence[Candidate]], persons: Sequence[Person]) -> list[Array]:
    """For each session an array (person, version, channel); NaN where a part is not known."""
    wanted = [(one.text, person) for of_session in choices for person in persons for one in of_session]
    totals = iter(planned.doser.doses(wanted))
    found = []
    for of_session in choices:
        table = np.empty((len(persons), len(of_session), len(PLAN_CHANNELS)))
        for at in range(len(persons)):
            for version in range(len(of_session)):
                total = next(totals).total()
                table[at, version] = np.where(total.unknown > 0, np.nan, total.value)
        found.append(table)
    return found


def _by_shares(
    planned: PlannedWeek, choices: Sequence[Sequence[Candidate]], most: int, gap: float, seconds: float
) -> Programme:
    """Versions that come to stated shares of every amount on the board, for whoever reads it."""
    shares = SHARES[: most - 1]
    doses = _doses(planned, choices, planned.persons)
    people, sessions = len(planned.persons), len(choices)
    aims = [(person, session, share) for person in range(people) for session in range(sessions) for share in shares]
    attends = np.zeros((len(aims), sessions), dtype=bool)
    mark = np.full((len(aims), len(PLAN_CHANNELS)), np.inf)
    for at, (person, session, share) in enumerate(aims):
        attends[at, session] = True
        written = np.nan_to_num(doses[session][person, 0], nan=0.0)
        mark[at] = np.where((written > 0) & ~_PEAK, share * written, np.inf)
    of_aim = [person for person, _, _ in aims]
    problem = Problem(
        cost=[np.array([one.cost for one in of_session]) for of_session in choices],
        dose=[dose[of_aim] for dose in doses],
        attends=attends,
        mark=mark,
        limit=np.full_like(mark, np.inf),
        peak=_PEAK,
        versions=most,
    )
    solution = solve(problem, gap=gap, seconds=seconds)
    names = [f"{planned.persons[person].name}, {share:.0%} of the board" for person, _, share in aims]
    told = tuple(
        one if one.edits else replace(one, athletes=()) for one in _told(planned, choices, solution.choice, names)
    )
    words = " and ".join(f"{share:.0%}" for share in shares)
    return Programme(
        told, solution, tuple(map(len, choices)), (), f"{words} of every amount on the board" if words else ""
    )


def _told(
    planned: PlannedWeek, choices: Sequence[Sequence[Candidate]], choice: np.ndarray, names: Sequence[str]
) -> tuple[Version, ...]:
    found = []
    for at, (session, of_session) in enumerate(zip(planned.sessions, choices, strict=True)):
        used = sorted(
            {0, *(int(version) for version in choice[:, at] if version >= 0)}, key=lambda v: of_session[v].cost
        )
        for letter, version in zip(LETTERS, used, strict=False):
            one = of_session[version]
            doing = tuple(name for name, taken in zip(names, choice[:, at], strict=True) if taken == version)
            found.append(Version(session.key, letter, one.text, one.words, one.cost, doing))
    return tuple(found)


def _limit_words(planned: PlannedWeek, pair: tuple[int, int], most: float) -> str:
    channel = CHANNEL_BY_KEY[PLAN_CHANNELS[pair[1]].key]
    return f"{planned.persons[pair[0]].name}: {channel.label.lower()} at most {most:g} {channel.unit}"
