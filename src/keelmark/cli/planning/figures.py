"""All that a plan says to one reader of the board, asked for once."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import polars as pl

from keelmark.cli.planning.options import WhatIf
from keelmark.contracts.errors import SettingError
from keelmark.plan import Balance, Clash, Explained, Limit, Person, Programme, Repair
from keelmark.service.week_plan import Plan

__all__ = ["PlanFigures"]


@dataclass(frozen=True)
class PlanFigures:
    """One plan, ready to be told. What cannot be answered is refused when `programme` and `answers` are asked for.

    Parameters
    ----------
    plan : Plan
        The week.
    athlete : str or None
        Whose matrix, balance and clashes.
    sensitivity, span : str
        How soon a clash is named; over how long a balance is taken.
    meant : mapping of pair to float
        Intended ratios.
    days : collection of int or None
        A pattern of attendance for the balance; everybody's own days for None.
    most : int
        Versions of a session at most; 0 looks for none.
    limits : sequence of Limit
        Limits that were typed, beside those on record.
    session : str or None
        Key of a session to explain.
    asked : sequence of WhatIf
        Questions about single athletes.
    """

    plan: Plan
    athlete: str | None
    sensitivity: str
    span: str
    meant: Mapping[tuple[str, str], float]
    days: Collection[int] | None
    most: int
    limits: Sequence[Limit]
    session: str | None
    asked: Sequence[WhatIf]

    @cached_property
    def person(self) -> Person:
        """Who reads the board."""
        return self.plan.person(self.athlete)

    @cached_property
    def balances(self) -> list[Balance]:
        """The reader's opposing pairs."""
        found = self.plan.balances(self.meant, span=self.span, days=self.days)
        return found[self.person.athlete_id]

    @cached_property
    def worst(self) -> list[tuple[str, float]]:
        """The tenth of the squad that is served worst; nobody where only two reference athletes stand."""
        if len(self.plan.persons) <= 2:
            return []
        return self.plan.worst_served(self.meant, span=self.span, days=self.days)

    @cached_property
    def clashes(self) -> list[tuple[Clash, list[Repair]]]:
        """Clashes, each with what could be changed."""
        found = self.plan.clashes(self.sensitivity, self.person.athlete_id)
        return [(clash, self.plan.repairs(clash, self.sensitivity, self.person.athlete_id)) for clash in found]

    @cached_property
    def projection(self) -> pl.DataFrame:
        """Everybody's week against their marks."""
        return self.plan.projection()

    @cached_property
    def programme(self) -> Programme | None:
        """Versions of the sessions, where they are asked for."""
        if not self.most:
            return None
        return self.plan.versions(self.most, limits=self.limits)

    @cached_property
    def answers(self) -> list[tuple[WhatIf, pl.DataFrame, pl.DataFrame]]:
        """Each question with the athlete's week as usual and as asked."""
        return [(question, *self._answer(question)) for question in self.asked]

    @cached_property
    def explained(self) -> Explained | None:
        """The session that is to be explained."""
        return None if self.session is None else self.plan.explain(self.session, self.person.athlete_id)

    @cached_property
    def doubts(self) -> list[tuple[str, str, str]]:
        """What is not clear in the text: session, message, and the place with carets below it."""
        return self.plan.doubts(self.person.athlete_id)

    @cached_property
    def not_counted(self) -> list[tuple[str, str]]:
        """Work of which only a score tells how much: session and text."""
        return [
            (session.name, session.text[start:end])
            for session in self.plan.week.sessions
            for start, end in self.plan.planned.dose(session, self.person).work.open_places
        ]

    def mended(self, pair: Balance) -> list[Repair]:
        """What could be changed to bring a pair nearer to what is meant."""
        return self.plan.balance_repairs(pair, self.person.athlete_id, span=self.span, days=self.days)

    def _answer(self, question: WhatIf) -> tuple[pl.DataFrame, pl.DataFrame]:
        texts: dict[str, str] = {}
        if question.version:
            found = self.programme.versions if self.programme is not None else ()
            texts = {one.session: one.text for one in found if one.letter == question.version}
            if not texts:
                letters = sorted({one.letter for one in found})
                raise SettingError(
                    f"no session has a version {question.version}",
                    where="option --what-if",
                    wanted=", ".join(letters) if letters else "a week with versions, option --versions above 0",
                    remedy="choose one of these",
                )
        return self.plan.what_if(question.athlete_id, days=question.days, texts=texts)
