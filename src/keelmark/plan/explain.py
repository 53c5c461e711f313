"""One session explained: how much of what, how long, what ends sets first, and what to mind."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from keelmark.contracts.words import SCOPE_LINE
from keelmark.plan.candidates import single_edits
from keelmark.plan.change_words import change_words, cost_words
from keelmark.plan.clash_rules import shipped_rules
from keelmark.plan.doses import PLAN_CHANNELS, Array, PlanDoser, SessionDose
from keelmark.plan.pace import Span, seconds_of
from keelmark.plan.people import Person

__all__ = ["Explained", "MovementShare", "PartShare", "Scaling", "explain"]

DOMAINS = ((300.0, "short: under 5 minutes"), (720.0, "middle: 5 to 12 minutes"), (1500.0, "long: 12 to 25 minutes"))
LONGEST = "very long: over 25 minutes"
SCALINGS_A_MOVEMENT = 2
ON_THE_SPOT = "These lines follow from the text alone. Whoever coaches the session sees the athletes and decides."


@dataclass(frozen=True, slots=True)
class MovementShare:
    """Amount of a movement in the whole session, with bounds, in the measure as written.

    Where a text gives only a time for a movement that is counted in reps, its reps by the catalogue's pace.
    """

    movement: str
    label: str
    measure: str
    amount: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class PartShare:
    """A part of the session: its label, working time [s] and time domain, expected rounds, lumbar loading [N m s]."""

    label: str
    seconds: Span | None
    domain: str
    rounds: Span | None
    lumbar: tuple[float | None, float, float | None]


@dataclass(frozen=True, slots=True)
class Scaling:
    """A way to scale: the edit in words, its distance from what is meant, and its effect on channels in words."""

    words: str
    cost: float
    effect: tuple[str, ...]

    @property
    def cost_words(self) -> str:
        """The distance in words: `a small change (0.12)`."""
        return cost_words(self.cost)


@dataclass(frozen=True, slots=True)
class Explained:
    """What a session comes to; `limiter` is empty where nothing stands out, `not_counted` quotes open work."""

    movements: tuple[MovementShare, ...]
    parts: tuple[PartShare, ...]
    limiter: str
    cautions: tuple[str, ...]
    warm_up: tuple[str, ...]
    scaling: tuple[Scaling, ...]
    not_counted: tuple[str, ...]
    scope: str
    on_the_spot: str = ON_THE_SPOT


def explain(text: str, person: Person, doser: PlanDoser) -> Explained:
    """Explain a session's text for one reader of the board.

    Parameters
    ----------
    text : str
        Whiteboard text.
    person : Person
        Who reads it.
    doser : PlanDoser
        Reads it and works out its doses.
    """
    dose = doser.dose(text, person)
    held = [one for one in _advice() if _holds(one, dose)]
    return Explained(
        movements=tuple(_movements(dose, doser)),
        parts=tuple(_parts(dose)),
        limiter=_limiter(dose, doser),
        cautions=tuple(one.caution for one in held),
        warm_up=tuple(one.warm_up for one in held),
        scaling=tuple(_scaling(text, person, doser)),
        not_counted=tuple(text[start:end] for start, end in dose.work.open_places),
        scope=SCOPE_LINE,
    )


@dataclass(frozen=True, slots=True)
class _Advice:
    needs: Mapping[str, float]
    within: str
    caution: str
    warm_up: str


@cache
def _advice() -> tuple[_Advice, ...]:
    given = tomllib.loads((files("keelmark.plan.words") / "cautions.toml").read_text(encoding="utf-8"))
    return tuple(_Advice(**entry) for entry in given.values())


def _holds(advice: _Advice, dose: SessionDose) -> bool:
    whole = [dose.total()]
    amounts = [dose.of_part(part.number) for part in dose.work.parts] if advice.within == "part" else whole
    return any(all(amount.of(key) >= least for key, least in advice.needs.items()) for amount in amounts)


def _movements(dose: SessionDose, doser: PlanDoser) -> list[MovementShare]:
    sums: dict[tuple[str, str], list[float]] = {}
    for row in dose.work.rows:
        amount = row.work.amount * row.work.sets
        amounts = [amount * share for share in (1.0, row.share_low, row.share_high)]
        measure, pace = row.work.measure, doser.catalogue[row.work.movement].seconds_per_rep
        if measure == "duration_s" and pace is not None:
            measure = "reps"
            amounts = [time / each for time, each in zip(amounts, (pace.value, pace.high, pace.low), strict=True)]
        own = sums.setdefault((row.work.movement, measure), [0.0, 0.0, 0.0])
        for at, one in enumerate(amounts):
            own[at] += one
    label = doser.catalogue.names.label
    return [MovementShare(name, label(name), measure, *amounts) for (name, measure), amounts in sums.items()]


def _parts(dose: SessionDose) -> list[PartShare]:
    found = []
    for part in dose.work.parts:
        value, low, high, unknown = dose.of_part(part.number).at("lumbar_moment")
        domain = _domain(part.seconds.value) if part.seconds is not None else "time not known"
        if part.seconds is not None and part.clock is None:
            domain += " of work, rests not counted"
        known = None if unknown and not value else value
        bounds = (known, low, high if high < float("inf") else None)
        label = part.label or f"Part {part.number + 1}"
        found.append(PartShare(label, part.seconds, domain, part.rounds, bounds))
    return found


def _domain(seconds: float) -> str:
    return next((words for most, words in DOMAINS if seconds < most), LONGEST)


def _limiter(dose: SessionDose, doser: PlanDoser) -> str:
    """The demand that comes farthest past its own amount, in words."""
    demands = {demand.key: demand for rule in shipped_rules() for demand in (*rule.first, rule.then)}
    total = dose.total()
    best, words = 1.0, ""
    for demand in demands.values():
        if demand.channels:
            amount = sum(total.of(channel) for channel in demand.channels)
        else:
            rows = (row.work for row in dose.work.rows if row.work.movement in demand.movements)
            amount = sum(time.value for row in rows if (time := seconds_of(row, doser.catalogue)) is not None)
        if amount / demand.most > best:
            best = amount / demand.most
            words = f"{demand.words}: {amount:.0f} {demand.unit}"
    return words


def _scaling(text: str, person: Person, doser: PlanDoser) -> list[Scaling]:
    """The nearest edits of each movement, with what they do."""
    seen: dict[tuple[str, str], int] = {}
    chosen = []
    for one in single_edits(text, doser):
        edit = one.edits[0]
        item = edit.words.split(":")[0]
        kind = item, edit.kind
        if seen.get(kind, 0) or sum(1 for other in seen if other[0] == item) >= SCALINGS_A_MOVEMENT:
            continue
        seen[kind] = 1
        chosen.append(one)
    before = doser.dose(text, person).total()
    return [
        Scaling(one.words[0], one.cost, _effect(before.value, dose.total().value))
        for one, dose in zip(chosen, doser.doses([(one.text, person) for one in chosen]), strict=True)
    ]


def _effect(before: Array, after: Array) -> tuple[str, ...]:
    told = []
    for channel, one, other in zip(PLAN_CHANNELS, before, after, strict=True):
        if abs(other - one) > 1e-9:
            told.append(change_words(channel.key, float(other - one)))
    return tuple(told)
