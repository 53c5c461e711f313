"""Opposing pairs of a week as log2 ratios, against the ratio that the programmer intends.

No norm for push to pull, or for any of these pairs, counted in reps is known to us; one to one is a convention. So the
only thing a ratio is held against is what the programmer says is meant or, for attendance, the week as it is written.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY, OPPOSING_CHANNELS
from keelmark.contracts.errors import SettingError
from keelmark.plan.people import Person
from keelmark.plan.planned_week import PlannedWeek

__all__ = [
    "BALANCE_NOTE",
    "Balance",
    "Intent",
    "balance",
    "balance_of_squad",
    "history_before",
    "worst_served",
    "written_intent",
]

BALANCE_NOTE = (
    "One to one is a convention, no norm: none is known for counts of reps. "
    "A ratio is held only against the one you mean."
)
FARTHEST = 3.0
"""Distance, in doublings, at which a pair counts when one of its sides is missing altogether (convention: 8 to 1)."""
EQUAL = 0.07
"""Doublings within which both are called as much: 1.05 to one."""
LEAST_REPS = 10.0
"""Fewer than these of both together make no ratio worth naming (judgement)."""

Intent = Mapping[tuple[str, str], float]
"""Intended ratio of the first channel of a pair to the second; a pair that is not named is held against nothing."""


@dataclass(frozen=True, slots=True)
class Balance:
    """One pair: amounts, log2 of their ratio, None where a side is missing, and of the intended one, None for none."""

    one: str
    other: str
    unit: str
    amount_one: float
    amount_other: float
    log2: float | None
    intended_log2: float | None = None

    @property
    def label(self) -> str:
        """`Hip opening to hip closing`."""
        one, other = CHANNEL_BY_KEY[self.one].label, CHANNEL_BY_KEY[self.other].label
        return f"{one} to {other[0].lower()}{other[1:]}"

    @property
    def distance(self) -> float | None:
        """Doublings away from what is intended, signed; None where nothing is, or where there is too little to tell."""
        if self.intended_log2 is None:
            return None
        if self.log2 is not None:
            return max(-FARTHEST, min(FARTHEST, self.log2 - self.intended_log2))
        if self.amount_one + self.amount_other < LEAST_REPS:
            return None
        return FARTHEST if self.amount_one > 0 else -FARTHEST

    @property
    def words(self) -> str:
        """The ratio in words."""
        one, other = (CHANNEL_BY_KEY[key].label.lower() for key in (self.one, self.other))
        if self.amount_one + self.amount_other < LEAST_REPS:
            return "hardly any of either"
        if self.log2 is None:
            return f"only {one if self.amount_one > 0 else other}"
        if abs(self.log2) < EQUAL:
            return "as much of each"
        return f"{2**self.log2:.1f} to one" if self.log2 > 0 else f"one to {2**-self.log2:.1f}"


def balance(amounts: Mapping[str, float], intent: Intent | None = None) -> list[Balance]:
    """Every opposing pair of some amounts.

    Parameters
    ----------
    amounts : mapping of channel to float
        Amounts in each channel's unit; a channel that is not there counts as none of it.
    intent : mapping of pair to float, optional
        Intended ratios.

    Raises
    ------
    SettingError
        When an intended ratio is not above zero or names a pair that does not oppose.
    """
    meant = _checked(intent or {})
    found = []
    for one, other, unit in OPPOSING_CHANNELS:
        first, second = amounts.get(one, 0.0), amounts.get(other, 0.0)
        enough = first > 0 and second > 0 and first + second >= LEAST_REPS
        ratio = math.log2(first / second) if enough else None
        wanted = math.log2(meant[one, other]) if (one, other) in meant else None
        found.append(Balance(one, other, unit, first, second, ratio, wanted))
    return found


def balance_of_squad(
    planned: PlannedWeek,
    intent: Intent | None = None,
    *,
    days: Collection[int] | None = None,
    before: Mapping[str, Mapping[str, float]] | None = None,
    as_written: bool = False,
) -> dict[str, list[Balance]]:
    """Every person's balance, by key.

    Parameters
    ----------
    planned : PlannedWeek
        The week.
    intent : mapping, optional
        Intended ratios.
    days : collection of int, optional
        One pattern of attendance for all; each person's own when left out.
    before : mapping of athlete to mapping of channel to float, optional
        Amounts of the weeks before, which are added: for four weeks or the season.
    as_written : bool
        Hold each person's pairs against those of the whole week as that person reads it, in place of an intent.
    """
    found = {}
    for person in planned.persons:
        meant = written_intent(planned, person) if as_written else intent
        amounts = _with(_amounts(planned, person, days), (before or {}).get(person.athlete_id))
        found[person.athlete_id] = balance(amounts, meant)
    return found


def written_intent(planned: PlannedWeek, person: Person) -> Intent:
    """The ratios of the whole week as a person reads it, on every day; pairs with a side missing are left out."""
    whole = balance(_amounts(planned, person, range(7)))
    return {(pair.one, pair.other): 2**pair.log2 for pair in whole if pair.log2 is not None}


def worst_served(balances: Mapping[str, Sequence[Balance]]) -> list[tuple[str, float]]:
    """The tenth of the squad, at least one person, whose pairs lie farthest from what is intended.

    Returns
    -------
    list of (athlete, float)
        Farthest first, with the mean distance of the pairs [doublings]. People without any pair that can be told are
        left out, and nobody is named while every distance is zero.
    """
    means = {}
    for athlete_id, pairs in balances.items():
        distances = [abs(pair.distance) for pair in pairs if pair.distance is not None]
        if distances:
            means[athlete_id] = sum(distances) / len(distances)
    ranked = sorted(means.items(), key=lambda item: (-item[1], item[0]))
    return [item for item in ranked[: math.ceil(len(ranked) / 10)] if item[1] > 0]


def history_before(weekly: pl.DataFrame, monday: dt.date, weeks: int | None = None) -> dict[str, dict[str, float]]:
    """Known amounts of each athlete and opposing channel in the weeks before a Monday; all weeks when none is given."""
    keys = {key for one, other, _ in OPPOSING_CHANNELS for key in (one, other)}
    past = weekly.filter(pl.col("channel").is_in(list(keys)) & (pl.col("monday") < monday))
    if weeks is not None:
        past = past.filter(pl.col("monday") >= monday - dt.timedelta(weeks=weeks))
    sums = past.group_by("athlete_id", "channel").agg(pl.col("value").sum())
    found: dict[str, dict[str, float]] = {}
    for athlete_id, channel, value in sums.iter_rows():
        found.setdefault(athlete_id, {})[channel] = value
    return found


def _amounts(planned: PlannedWeek, person: Person, days: Collection[int] | None) -> dict[str, float]:
    total = planned.week_of(person, days=days)
    return {key: total.of(key) for one, other, _ in OPPOSING_CHANNELS for key in (one, other)}


def _with(amounts: dict[str, float], before: Mapping[str, float] | None) -> dict[str, float]:
    return {key: value + (before or {}).get(key, 0.0) for key, value in amounts.items()}


def _checked(intent: Intent) -> Intent:
    pairs = {(one, other) for one, other, _ in OPPOSING_CHANNELS}
    for pair, ratio in intent.items():
        if pair not in pairs or not 0 < ratio < math.inf:
            raise SettingError(
                f"{':'.join(pair)} is meant to be {ratio:g}",
                where="intended balance",
                wanted="a ratio above zero for one of " + ", ".join(f"{a}:{b}" for a, b in sorted(pairs)),
                remedy="write it as vertical_push:vertical_pull=0.5 for one push to two pulls",
            )
    return intent
