"""The least change of a week's text that takes away a clash or mends a balance, with what it does to every channel."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from keelmark.plan.balance import Balance, balance
from keelmark.plan.candidates import single_edits
from keelmark.plan.change_words import change_words, cost_words
from keelmark.plan.clashes import Clash, clashes_of
from keelmark.plan.day_headings import DAY_NAMES
from keelmark.plan.doses import PLAN_CHANNELS, add_up
from keelmark.plan.people import Person
from keelmark.plan.planned_week import PlannedWeek
from keelmark.plan.week_text import PlannedSession, with_texts

__all__ = ["Repair", "balance_repairs", "repairs"]

SWAP_COST = 0.05
"""Cost in intent of two sessions changing days: nobody does other work (judgement)."""
REORDER_COST = 0.08
"""Cost in intent of two parts of a session changing places (judgement)."""


LEAST_GAIN = 0.05
"""Doublings that an edit has to bring a pair nearer to be named."""


@dataclass(frozen=True, slots=True)
class Repair:
    """One way to take a clash away, or to bring a pair nearer to what is meant.

    Parameters
    ----------
    kind : str
        days, order, movement, amount, scheme, load, height or start_height.
    words : str
        The change in words.
    week_text : str
        The week's text with it.
    cost : float
        Distance from what was meant; 0 is nothing changed.
    effect : tuple of (channel, change)
        Change of each channel that moves, in its own unit, for the person that was asked for.
    """

    kind: str
    words: str
    week_text: str
    cost: float
    effect: tuple[tuple[str, float], ...]

    @property
    def effect_words(self) -> tuple[str, ...]:
        """The effect in words, one sentence a channel."""
        return tuple(change_words(key, change) for key, change in self.effect)

    @property
    def cost_words(self) -> str:
        """The cost in words: `a small change (0.12)`."""
        return cost_words(self.cost)


@dataclass(frozen=True, slots=True)
class _Change:
    kind: str
    words: str
    texts: dict[str, str]
    cost: float


def repairs(
    planned: PlannedWeek,
    clash: Clash,
    *,
    sensitivity: str = "usual",
    person: Person | None = None,
    most: int = 4,
) -> list[Repair]:
    """Single changes after which a clash is gone and no new one has come, least change of intent first.

    Parameters
    ----------
    planned : PlannedWeek
        The week.
    clash : Clash
        One of its clashes.
    sensitivity : str
        As the clash was found.
    person : Person, optional
        For whom effects are given; the first person when left out.
    most : int
        Repairs at most. They are of different kinds as far as there are any.
    """
    who = person or planned.persons[0]
    before = _clashes(planned, {}, who, sensitivity)
    if clash.key not in before:
        return []
    changes = [*_day_swaps(planned, clash), *_reorders(planned, clash), *_edits(planned, clash)]
    planned.doser.doses([(text, who) for change in changes for text in change.texts.values()])
    found = []
    for change in sorted(changes, key=lambda one: (one.cost, one.words)):
        after = _clashes(planned, change.texts, who, sensitivity)
        if len(after) < len(before) and not (after - before) and clash.key not in after:
            found.append(_repair(planned, change, who))
    return _varied(found, most)


def _varied(found: Sequence[Repair], most: int) -> list[Repair]:
    """The cheapest of each kind first, then the cheapest others."""
    kinds: dict[str, Repair] = {}
    for repair in found:
        kinds.setdefault(repair.kind, repair)
    first = list(kinds.values())[:most]
    others = [repair for repair in found if repair not in first]
    return sorted([*first, *others[: most - len(first)]], key=lambda one: (one.cost, one.words))


def _clashes(planned: PlannedWeek, texts: dict[str, str], who: Person, sensitivity: str) -> set[tuple[object, ...]]:
    dosed = [(session, planned.doser.dose(texts.get(session.key, session.text), who)) for session in planned.sessions]
    return {clash.key for clash in clashes_of(dosed, planned.doser.catalogue, sensitivity=sensitivity)}


def _repair(
    planned: PlannedWeek, change: _Change, who: Person, sessions: Sequence[PlannedSession] | None = None
) -> Repair:
    """The change with its effect on some sessions together, all of them when none are given."""
    counted = planned.sessions if sessions is None else sessions
    before = add_up([planned.dose(session, who).total() for session in counted])
    after = add_up([planned.doser.dose(change.texts.get(one.key, one.text), who).total() for one in counted])
    moved = after.value - before.value
    effect = tuple(
        (channel.key, float(moved[at]))
        for at, channel in enumerate(PLAN_CHANNELS)
        if not np.isclose(moved[at], 0.0, atol=1e-9)
    )
    return Repair(change.kind, change.words, with_texts(planned.week, change.texts), change.cost, effect)


def _day_swaps(planned: PlannedWeek, clash: Clash) -> Iterator[_Change]:
    """Either session of the clash changes days with any other."""
    if clash.place != "session":
        return
    involved = [planned.week.session(key) for key in dict.fromkeys((clash.first.session, clash.then.session))]
    for one in involved:
        for other in planned.sessions:
            if other.day == one.day or {one.key, other.key} == {clash.first.session, clash.then.session}:
                continue
            yield _swapped(one, other)


def _swapped(one: PlannedSession, other: PlannedSession) -> _Change:
    first, last = sorted((one.day, other.day))
    words = f"{DAY_NAMES[first]}'s and {DAY_NAMES[last]}'s sessions change days"
    return _Change("days", words, {one.key: other.text, other.key: one.text}, SWAP_COST)


def _reorders(planned: PlannedWeek, clash: Clash) -> Iterator[_Change]:
    """Two parts of a session, set off by empty lines, change places."""
    if clash.place == "together":
        return
    for key in dict.fromkeys((clash.first.session, clash.then.session)):
        session = planned.week.session(key)
        parts = session.text.split("\n\n")
        for at in range(len(parts) - 1):
            changed = [*parts[:at], parts[at + 1], parts[at], *parts[at + 2 :]]
            words = f"{session.name}: parts {at + 1} and {at + 2} change places"
            yield _Change("order", words, {key: "\n\n".join(changed)}, REORDER_COST)


def _edits(planned: PlannedWeek, clash: Clash) -> Iterator[_Change]:
    """One edit in either session of the clash, where it touches the work that clashes."""
    spans = {clash.first.session: list(clash.first.spans)}
    spans.setdefault(clash.then.session, []).extend(clash.then.spans)
    for key, places in spans.items():
        session: PlannedSession = planned.week.session(key)
        for candidate in single_edits(session.text, planned.doser):
            edit = candidate.edits[0]
            touched = edit.kind == "scheme" or any(
                start < stop and begin < end for begin, end, _ in edit.changes for start, stop in places
            )
            if touched and edit.kind not in ("height", "start_height"):
                yield _Change(edit.kind, f"{session.name}: {edit.words}", {key: candidate.text}, candidate.cost)


def balance_repairs(
    planned: PlannedWeek,
    pair: Balance,
    *,
    person: Person | None = None,
    days: Collection[int] | None = None,
    before: Mapping[str, float] | None = None,
    most: int = 4,
) -> list[Repair]:
    """Single changes that bring an opposing pair nearer to what is meant, the most gained for the least change first.

    Parameters
    ----------
    planned : PlannedWeek
        The week.
    pair : Balance
        One pair of one person's amounts, with an intended ratio.
    person : Person, optional
        Whose week; the first person when left out.
    days : collection of int, optional
        Days that count, 0 Monday; the person's usual ones when left out.
    before : mapping of channel to float, optional
        Amounts of the weeks before that the pair holds as well.
    most : int
        Repairs at most. They are of different kinds as far as there are any.
    """
    who = person or planned.persons[0]
    if not pair.distance or pair.intended_log2 is None:
        return []
    coming = planned.attended(who, days)
    changes = [
        _Change(one.edits[0].kind, f"{session.name}: {one.words[0]}", {session.key: one.text}, one.cost)
        for session in coming
        for one in single_edits(session.text, planned.doser)
        if one.edits[0].kind in ("movement", "amount", "scheme")
    ]
    changes += [_swapped(session, other) for session in coming for other in planned.sessions if other not in coming]
    planned.doser.doses([(text, who) for change in changes for text in change.texts.values()])
    intent = {(pair.one, pair.other): 2**pair.intended_log2}
    ranked = []
    for change in changes:
        total = planned.week_of(who, days=days, texts=change.texts)
        amounts = {key: total.of(key) + (before or {}).get(key, 0.0) for key in (pair.one, pair.other)}
        after = next(one for one in balance(amounts, intent) if (one.one, one.other) == (pair.one, pair.other))
        if after.distance is None:
            continue
        gained = abs(pair.distance) - abs(after.distance)
        if gained > LEAST_GAIN:
            words = f"{change.words} ({pair.label.lower()}: {after.words})"
            ranked.append((gained / (change.cost + SWAP_COST), replace(change, words=words)))
    ranked.sort(key=lambda item: (-item[0], item[1].words))
    return _varied([_repair(planned, change, who, coming) for _, change in ranked[: 4 * most]], most)
