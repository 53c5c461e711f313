"""For whom a week is planned: athletes with what is known of them, or two reference athletes where nobody is known."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import polars as pl

from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM
from keelmark.notation import Context
from keelmark.plan.rounds import Pace

__all__ = ["EVERY_DAY", "PATTERNS", "People", "Person", "own_days", "reference_people"]

EVERY_DAY = frozenset(range(7))
PATTERNS: dict[str, frozenset[int]] = {
    "every day": EVERY_DAY,
    "Monday, Wednesday, Friday": frozenset({0, 2, 4}),
    "weekend": frozenset({5, 6}),
}
WEEKS_LOOKED_AT = 8
"""Weeks with a record from which an athlete's usual days are read (judgement)."""
USUAL_SHARE = 0.5
"""Share of these weeks with training on a weekday from which the day counts as usual (judgement)."""
RECENT_DAYS = 84
"""Days of history that estimated maxima rest on, as in the dose."""


@dataclass(frozen=True)
class Person:
    """An athlete as the planner sees one.

    `one_rm` holds maxima [kg] by movement, `days` the usual days, 0 for Monday, `pace` what earlier scores tell.
    """

    athlete_id: str
    name: str
    standard: str = "heavier"
    body_mass_kg: float | None = None
    one_rm: Mapping[str, float] = field(default_factory=dict)
    days: frozenset[int] = EVERY_DAY
    pace: Pace | None = None

    @property
    def context(self) -> Context:
        """How this person reads a whiteboard."""
        return Context(standard=self.standard, bodyweight_kg=self.body_mass_kg, one_rm=self.one_rm)


@dataclass(frozen=True)
class People:
    """Everybody a week is planned for, with the tables that doses rest on.

    `known` is False for the two reference athletes, of whom nothing but the standard is known.
    """

    persons: tuple[Person, ...]
    athletes: pl.DataFrame
    rep_maxima: pl.DataFrame
    history: pl.DataFrame
    known: bool = True

    @classmethod
    def of(cls, athletes: pl.DataFrame, rep_maxima: pl.DataFrame, efforts: pl.DataFrame, monday: dt.date) -> People:
        """The squad before a week.

        Parameters
        ----------
        athletes, rep_maxima, efforts : DataFrame
            `ATHLETE`, `REP_MAXIMUM` and `EFFORT` tables; efforts from the week on are passed over.
        monday : date
            First day of the week. Athletes who have left before it are not planned for.
        """
        past = efforts.filter(pl.col("date") < monday)
        present = athletes.filter(pl.col("left").is_null() | (pl.col("left") >= monday))
        newest = (
            rep_maxima.filter(pl.col("date") <= monday).sort("date").unique(["athlete_id", "movement"], keep="last")
        )
        maxima: dict[str, dict[str, float]] = {}
        for athlete_id, movement, load in newest.select("athlete_id", "movement", "load_kg").iter_rows():
            maxima.setdefault(athlete_id, {})[movement] = load
        days = own_days(past)
        persons = tuple(
            Person(
                row["athlete_id"],
                row["name"],
                row["standard"] or "heavier",
                row["body_mass_kg"],
                maxima.get(row["athlete_id"], {}),
                days.get(row["athlete_id"], EVERY_DAY),
            )
            for row in present.sort("name", "athlete_id").iter_rows(named=True)
        )
        recent = past.filter(pl.col("date") >= monday - dt.timedelta(days=RECENT_DAYS))
        return cls(persons, present, rep_maxima, recent)

    def with_paces(self, paces: Mapping[str, Pace]) -> People:
        """The same people, each with the pace that was found."""
        return replace(self, persons=tuple(replace(one, pace=paces.get(one.athlete_id)) for one in self.persons))

    def without(self, athlete_id: str) -> People:
        """Everybody but one."""
        kept = tuple(person for person in self.persons if person.athlete_id != athlete_id)
        return replace(self, persons=kept)


def reference_people() -> People:
    """Two athletes of whom only the standard is known: one reads the heavier figures, one the lighter."""
    persons = (
        Person("heavier", "Heavier figures", "heavier"),
        Person("lighter", "Lighter figures", "lighter"),
    )
    rows: list[dict[str, object]] = [
        {"athlete_id": one.athlete_id, "name": one.name, "standard": one.standard} for one in persons
    ]
    return People(persons, ATHLETE.build(rows), REP_MAXIMUM.empty(), EFFORT.empty(), known=False)


def own_days(efforts: pl.DataFrame) -> dict[str, frozenset[int]]:
    """The weekdays (0 Monday) on which each athlete trained in at least half of the last eight weeks with a record.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table. An athlete without efforts has no entry; one without any usual day comes on every day that
        occurs in these weeks.
    """
    trained = efforts.select(
        "athlete_id", week=pl.col("date").dt.truncate("1w"), day=pl.col("date").dt.weekday() - 1
    ).unique()
    weeks = trained.select("athlete_id", "week").unique()
    recent = weeks.filter(pl.col("week").rank("ordinal", descending=True).over("athlete_id") <= WEEKS_LOOKED_AT)
    counted = (
        trained.join(recent, on=["athlete_id", "week"])
        .group_by("athlete_id", "day")
        .agg(times=pl.len())
        .join(recent.group_by("athlete_id").agg(weeks=pl.len()), on="athlete_id")
    )
    usual: dict[str, set[int]] = {}
    seen: dict[str, set[int]] = {}
    for athlete_id, day, times, total in counted.select("athlete_id", "day", "times", "weeks").iter_rows():
        seen.setdefault(athlete_id, set()).add(day)
        if times >= USUAL_SHARE * total:
            usual.setdefault(athlete_id, set()).add(day)
    return {athlete_id: frozenset(usual.get(athlete_id) or days) for athlete_id, days in seen.items()}
