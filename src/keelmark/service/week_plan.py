"""A week's plan over a squad's season: each question a programmer asks, in one call."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import median

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import SettingError
from keelmark.plan import (
    AboveMarks,
    Assumed,
    Balance,
    Clash,
    Explained,
    Limit,
    NamedDays,
    Person,
    PlanMarks,
    PlannedWeek,
    Programme,
    RampWeek,
    Repair,
    WeekText,
    above_marks,
    assumed,
    balance_of_squad,
    balance_repairs,
    calendar_of,
    clashes,
    explain,
    planned_against_done,
    projection,
    repairs,
    versions,
    week_with_rounds,
    worst_served,
)
from keelmark.plan.balance import Intent
from keelmark.service.season import Season
from keelmark.service.shared_days import shared_days
from keelmark.service.weeks_before import WeeksBefore

__all__ = ["SPANS", "Plan"]

SPANS: dict[str, int | None] = {"week": 0, "4 weeks": 3, "season": None}
"""Over how long a balance is taken: the planned week, with the three before it, with all before it."""


@dataclass(frozen=True)
class Plan:
    """A week's plan.

    Parameters
    ----------
    planned : PlannedWeek
        The week's sessions worked out for everybody.
    season : Season, optional
        What was done before; None where nothing is logged.
    marks : PlanMarks
        Everybody's marks for the week.
    limits : tuple of Limit
        What is agreed with athletes for this week.
    remarks : tuple of str
        What there is to say about the text.
    before : WeeksBefore, optional
        The weeks before the planned one; None where nothing is logged or the week is not known.
    """

    planned: PlannedWeek
    season: Season | None
    marks: PlanMarks
    limits: tuple[Limit, ...]
    remarks: tuple[str, ...]
    before: WeeksBefore | None = None

    @property
    def week(self) -> WeekText:
        """The text and its sessions."""
        return self.planned.week

    @property
    def monday(self) -> dt.date | None:
        """First day of the week, where it is known."""
        return self.week.monday

    @property
    def persons(self) -> tuple[Person, ...]:
        """Everybody planned for; two reference athletes where nobody is logged."""
        return self.planned.persons

    def person(self, asked: str | None = None) -> Person:
        """Somebody by key or first name; the first person when left out.

        Raises
        ------
        SettingError
            When nobody is called that.
        """
        if asked is None:
            return self.persons[0]
        wanted = asked.casefold().strip()
        for person in self.persons:
            if wanted in (person.athlete_id.casefold(), person.name.casefold()):
                return person
        raise SettingError(
            f"nobody is called {asked!r}",
            where="plan, option --athlete",
            wanted="one of " + ", ".join(person.name for person in self.persons),
            remedy="use a name as it stands in the roster",
        )

    def matrix(self, athlete: str | None = None) -> pl.DataFrame:
        """Session by channel in each channel's own unit, for one reader of the board."""
        return self.planned.matrix(self.person(athlete))

    def totals(self, athlete: str | None = None, days: Collection[int] | None = None) -> pl.DataFrame:
        """A person's week, on the person's usual days or on the days given."""
        return self.planned.totals(self.person(athlete), days=days)

    def middle(self) -> dict[str, float]:
        """What the athlete in the middle of the squad would do in the week, by kind of work that adds up."""
        found: dict[str, list[float]] = {}
        for amounts in self.each().values():
            for key, amount in amounts.items():
                found.setdefault(key, []).append(amount)
        people = len(self.persons)
        amounts = {key: median([*told, *[0.0] * (people - len(told))]) for key, told in found.items()}
        return {key: amount for key, amount in amounts.items() if amount > 0}

    def each(self) -> dict[str, dict[str, float]]:
        """What each athlete would do in the week on the usual days, by key and kind of work that adds up."""
        return {
            person.athlete_id: {
                row["channel"]: row["value"]
                for row in self.planned.totals(person).iter_rows(named=True)
                if row["value"] is not None and CHANNEL_BY_KEY[row["channel"]].gather == "sum"
            }
            for person in self.persons
        }

    def doubts(self, athlete: str | None = None) -> list[tuple[str, str, str]]:
        """What is not clear in the text as somebody reads it: session, message, and the place with carets below it."""
        reader = self.person(athlete)
        return [
            (session.name, issue.message, issue.picture)
            for session in self.week.sessions
            for issue in self.planned.dose(session, reader).work.issues
            if issue.level != "note"
        ]

    def beside_middle(self) -> list[str]:
        """Kinds of work that the board asks for and `middle` does not hold: half of the squad or more does none of it.

        Most of them lie on days on which few usually come, or come to an amount that is not known.
        """
        middle = self.middle()
        asked = {
            row["channel"]
            for person in self.persons
            for row in self.planned.totals(person, days=range(7)).iter_rows(named=True)
        }
        kinds = [channel.key for channel in CHANNEL_BY_KEY.values() if channel.gather == "sum"]
        return [key for key in kinds if key in asked and key not in middle]

    def balances(
        self, intent: Intent | None = None, *, span: str = "week", days: Collection[int] | None = None
    ) -> dict[str, list[Balance]]:
        """Everybody's opposing pairs, over the week, four weeks or the season."""
        return balance_of_squad(self.planned, intent, days=days, before=self._before(span))

    def worst_served(
        self, intent: Intent | None = None, *, span: str = "week", days: Collection[int] | None = None
    ) -> list[tuple[str, float]]:
        """The tenth of the squad whose pairs lie farthest from what is intended: first name, mean doublings.

        Where nothing is intended, pairs are held against the whole week as it is written.
        """
        balances = balance_of_squad(self.planned, intent, days=days, before=self._before(span), as_written=not intent)
        return [(self.planned.person(athlete_id).name, far) for athlete_id, far in worst_served(balances)]

    def clashes(self, sensitivity: str = "usual", athlete: str | None = None) -> list[Clash]:
        """Where the week asks the same thing twice too close together."""
        return clashes(self.planned, sensitivity=sensitivity, person=self.person(athlete))

    def repairs(self, clash: Clash, sensitivity: str = "usual", athlete: str | None = None) -> list[Repair]:
        """Single changes that take a clash away."""
        return repairs(self.planned, clash, sensitivity=sensitivity, person=self.person(athlete))

    def balance_repairs(
        self,
        pair: Balance,
        athlete: str | None = None,
        *,
        span: str = "week",
        days: Collection[int] | None = None,
    ) -> list[Repair]:
        """Single changes that bring a pair nearer to what is intended, over the same span and days as the pair."""
        person = self.person(athlete)
        before = self._before(span).get(person.athlete_id)
        return balance_repairs(self.planned, pair, person=person, days=days, before=before)

    def projection(
        self,
        *,
        days: Mapping[str, Collection[int]] | None = None,
        texts: Mapping[str, Mapping[str, str]] | None = None,
    ) -> pl.DataFrame:
        """Everybody's week with the plan in it against their marks; `days` and `texts` say what if."""
        if days is None and texts is None:
            return self._as_written
        return projection(self.planned, self.marks, days=days, texts=texts)

    @cached_property
    def _as_written(self) -> pl.DataFrame:
        return projection(self.planned, self.marks)

    def what_if(
        self,
        athlete: str | None = None,
        *,
        days: Collection[int] | None = None,
        texts: Mapping[str, str] | None = None,
    ) -> tuple[pl.DataFrame, pl.DataFrame]:
        """One person's projection as usual, and on other days or with other texts by session."""
        person = self.person(athlete)
        other_days = {} if days is None else {person.athlete_id: days}
        usual = projection(self.planned, self.marks, persons=[person])
        changed = projection(
            self.planned, self.marks, days=other_days, texts={person.athlete_id: texts or {}}, persons=[person]
        )
        return usual, changed

    def assumed(self, athlete: str | None = None) -> list[Assumed]:
        """What the figures take for granted where only a score would tell, for one reader."""
        return assumed(self.planned, self.person(athlete))

    def with_rounds(self, session: str, part: int, rounds: float | None) -> str:
        """The week's text with the rounds to expect of an open clock written in."""
        return week_with_rounds(self.planned, session, part, rounds)

    def above(self) -> AboveMarks:
        """How many would be above their own marks, beside the weeks before."""
        if self.before is None:
            return AboveMarks(0, (), (), None, 0, ())
        return above_marks(self.projection(), self.before.marked)

    def versions(self, most: int = 3, *, limits: Sequence[Limit] = (), seconds: float = 60.0) -> Programme:
        """At most so many versions of each session, and who does which."""
        return versions(self.planned, self.marks.upper, (*self.limits, *limits), most=most, seconds=seconds)

    def explain(self, session: str, athlete: str | None = None) -> Explained:
        """One session explained for one reader of the board."""
        return explain(self.week.session(session).text, self.person(athlete), self.planned.doser)

    def calendar(self, *, stamp: dt.datetime) -> bytes:
        """The week's sessions and the squad's named days as an iCalendar file."""
        return calendar_of(self.week, self._named_days, stamp=stamp, catalogue=self.planned.doser.catalogue)

    def against_done(self, planned: Sequence[RampWeek], athlete: str) -> pl.DataFrame:
        """Planned amounts of weeks beside what an athlete did."""
        weekly = self.season.weekly if self.season is not None else None
        if weekly is None:
            raise SettingError(
                "nothing is logged yet",
                where="planned against done",
                wanted="weeks on record",
                remedy="bring a log in first",
            )
        return planned_against_done(planned, weekly, self.person(athlete).athlete_id)

    @cached_property
    def _named_days(self) -> list[NamedDays]:
        if self.season is None:
            return []
        return shared_days(self.season.kept.labels)

    def _before(self, span: str) -> dict[str, dict[str, float]]:
        if span not in SPANS:
            raise SettingError(
                f"{span!r} is not a span",
                where="balance",
                wanted=", ".join(SPANS),
                remedy="choose one of these",
            )
        return {} if self.before is None or span == "week" else self.before.amounts(SPANS[span])
