"""A week with its sessions worked out for everybody: what matrix, balance, clashes and projection stand on."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.plan.doses import PLAN_CHANNELS, Amounts, PlanDoser, SessionDose, add_up
from keelmark.plan.people import Person
from keelmark.plan.week_text import PlannedSession, WeekText

__all__ = ["MATRIX", "PlannedWeek"]

MATRIX = {
    "session": pl.String, "day": pl.Int64, "channel": pl.String, "label": pl.String, "unit": pl.String,
    "value": pl.Float64, "low": pl.Float64, "high": pl.Float64, "unknown": pl.Int64,
}  # fmt: skip
"""Columns of a week matrix; `high` is empty where a part of the amount is not known."""


@dataclass
class PlannedWeek:
    """A week's text and the doses of its sessions."""

    week: WeekText
    doser: PlanDoser

    def __post_init__(self) -> None:
        persons = self.doser.people.persons
        self.doser.doses([(session.text, person) for session in self.week.sessions for person in persons])

    @property
    def sessions(self) -> tuple[PlannedSession, ...]:
        """Sessions in order of day and time."""
        return self.week.sessions

    @property
    def persons(self) -> tuple[Person, ...]:
        """Everybody the week is planned for."""
        return self.doser.people.persons

    def person(self, athlete_id: str) -> Person:
        """The person with a key."""
        return next(person for person in self.persons if person.athlete_id == athlete_id)

    def dose(self, session: PlannedSession, person: Person) -> SessionDose:
        """One session for one person."""
        return self.doser.dose(session.text, person)

    def attended(self, person: Person, days: Collection[int] | None = None) -> tuple[PlannedSession, ...]:
        """Sessions on a person's usual days, or on the days given."""
        coming = person.days if days is None else days
        return tuple(session for session in self.sessions if session.day in coming)

    def week_of(
        self, person: Person, *, days: Collection[int] | None = None, texts: Mapping[str, str] | None = None
    ) -> Amounts:
        """A person's week.

        Parameters
        ----------
        person : Person
            Who.
        days : collection of int, optional
            Days trained, 0 Monday; the person's usual ones when left out.
        texts : mapping of session key to text, optional
            Texts done in place of the ones on the board.
        """
        other = texts or {}
        wanted = [(other.get(session.key, session.text), person) for session in self.attended(person, days)]
        return add_up([dose.total() for dose in self.doser.doses(wanted)])

    def matrix(self, person: Person) -> pl.DataFrame:
        """Session by channel for one person, in each channel's own unit: the columns of `MATRIX`.

        Every session stands in it, whether the person comes or not; channels that no session feeds are left out.
        """
        totals = {session.key: self.dose(session, person).total() for session in self.sessions}
        fed = [
            channel
            for channel in PLAN_CHANNELS
            if any(total.at(channel.key)[2] > 0 or total.at(channel.key)[3] for total in totals.values())
        ]
        rows = [
            (
                session.key,
                session.day,
                channel.key,
                channel.label,
                channel.unit,
                *_told(totals[session.key], channel.key),
            )
            for session in self.sessions
            for channel in fed
        ]
        return pl.DataFrame(rows, schema=MATRIX, orient="row")

    def totals(self, person: Person, *, days: Collection[int] | None = None) -> pl.DataFrame:
        """A person's whole week: the columns of `MATRIX` from `channel` on."""
        total = self.week_of(person, days=days)
        keys = [channel.key for channel in PLAN_CHANNELS if total.at(channel.key)[2] > 0 or total.at(channel.key)[3]]
        rows = [(key, CHANNEL_BY_KEY[key].label, CHANNEL_BY_KEY[key].unit, *_told(total, key)) for key in keys]
        schema = {name: kind for name, kind in MATRIX.items() if name not in ("session", "day")}
        return pl.DataFrame(rows, schema=schema, orient="row")


def _told(total: Amounts, channel: str) -> tuple[float | None, float, float | None, int]:
    value, low, high, unknown = total.at(channel)
    nothing_known = unknown > 0 and value == 0 and low == 0
    return (None if nothing_known else value), low, (high if high < float("inf") else None), unknown
