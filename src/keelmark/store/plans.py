"""What is agreed for weeks to come: amounts that are not passed, by athlete, and what is meant for the squad."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.records import AGREED_LIMIT, PLANNED_AMOUNT, PLANNED_RAMP, PLANNED_WEEK
from keelmark.contracts.schema import FrameSchema
from keelmark.store import people
from keelmark.store.door import Door
from keelmark.store.health_schema import health_agreed_limit
from keelmark.store.rows import table_columns
from keelmark.store.schema import planned_amount, planned_ramp, planned_week
from keelmark.store.withdrawing import withdraw

__all__ = ["PlanRecords"]


class PlanRecords(Door):
    """The part of a store that holds what is agreed and meant for weeks to come."""

    def agreed_limits(self, athlete: str | None = None, *, standing: bool = True) -> pl.DataFrame:
        """Amounts that are not passed, oldest first: the AGREED_LIMIT frame; those taken back only where asked for."""
        query = sa.select(*table_columns(health_agreed_limit, AGREED_LIMIT))
        if athlete is not None:
            query = query.where(health_agreed_limit.c.athlete_id == athlete)
        return self._planned(query, health_agreed_limit, AGREED_LIMIT, standing)

    def record_agreed_limit(
        self, athlete_id: str, channel: str, most: float, date_from: date, *, agreed_with: str,
        date_to: date | None = None,
    ) -> str:  # fmt: skip
        """Record an amount that an athlete's week does not pass, in the channel's unit; gives its key."""
        said = {
            "athlete_id": athlete_id, "channel": channel, "most": most, "date_from": date_from, "date_to": date_to,
            "agreed_with": agreed_with,
        }  # fmt: skip
        with self._writing() as connection:
            people.refuse_unknown_people(connection, [athlete_id], where="agreed limit")
            return self._append(connection, health_agreed_limit, said)

    def withdraw_agreed_limit(self, limit_id: str) -> str:
        """Take an agreed amount back; it stays on record as withdrawn. Gives its key."""
        return self._withdraw(health_agreed_limit, limit_id, "agreed limit")

    def planned_ramps(self, *, standing: bool = True) -> pl.DataFrame:
        """Amounts that are meant for weeks ahead, oldest first: the PLANNED_RAMP frame."""
        return self._planned(
            sa.select(*table_columns(planned_ramp, PLANNED_RAMP)), planned_ramp, PLANNED_RAMP, standing
        )

    def record_planned_ramp(
        self, channel: str, monday: date, weeks: int, start: float, change: float, *, lighter_share: float,
        lighter_every: int | None = None,
    ) -> str:  # fmt: skip
        """Record amounts that are meant for the squad's weeks ahead; gives the key."""
        said = {
            "channel": channel, "monday": monday, "weeks": weeks, "start": start, "change": change,
            "lighter_every": lighter_every, "lighter_share": lighter_share,
        }  # fmt: skip
        with self._writing() as connection:
            return self._append(connection, planned_ramp, said)

    def withdraw_planned_ramp(self, ramp_id: str) -> str:
        """Take meant amounts back; they stay on record as withdrawn. Gives their key."""
        return self._withdraw(planned_ramp, ramp_id, "planned ramp")

    def planned_weeks(self, *, standing: bool = True) -> pl.DataFrame:
        """Texts of whole weeks that are meant, oldest first: the PLANNED_WEEK frame."""
        query = sa.select(*table_columns(planned_week, PLANNED_WEEK))
        return self._planned(query, planned_week, PLANNED_WEEK, standing)

    def planned_amounts(self, week_id: str | None = None, athlete: str | None = None) -> pl.DataFrame:
        """What athletes would do of kept weeks, of one week or one athlete where named: the PLANNED_AMOUNT frame."""
        query = sa.select(*table_columns(planned_amount, PLANNED_AMOUNT)).order_by(*planned_amount.primary_key.columns)
        if week_id is not None:
            query = query.where(planned_amount.c.week_id == (int(week_id) if week_id.isdecimal() else -1))
        if athlete is not None:
            query = query.where(planned_amount.c.athlete_id == athlete)
        return self._frame(query, PLANNED_AMOUNT)

    def record_planned_week(
        self, monday: date, text: str, middle: Mapping[str, float], each: Mapping[str, Mapping[str, float]], *,
        lighter_share: float,
    ) -> str:  # fmt: skip
        """Record a whole week that is meant, in place of what was meant for this one week; gives its key.

        Parameters
        ----------
        monday : date
            First day of the week.
        text : str
            The programme as it was written.
        middle : mapping of str to float
            Amount of the athlete in the middle by kind of work: each becomes a ramp of one week.
        each : mapping of str to mapping
            Amounts of each athlete, by kind of work.
        lighter_share : float
            As for `record_planned_ramp`.
        """
        now, ramps = self._clock(), planned_ramp.c
        with self._writing() as connection:
            people.refuse_unknown_people(connection, list(each), where="kept week")
            for table in (planned_week, planned_ramp):
                same = sa.and_(table.c.monday == monday, table.c.withdrawn_at.is_(None))
                one_week = same if table is planned_week else sa.and_(same, ramps.weeks == 1)
                connection.execute(table.update().where(one_week).values(withdrawn_at=now))
            for channel, amount in middle.items():
                ramp = {"channel": channel, "monday": monday, "weeks": 1, "start": amount, "change": 0.0}
                self._append(connection, planned_ramp, {**ramp, "lighter_share": lighter_share})
            key = self._append(connection, planned_week, {"monday": monday, "text": text})
            rows = [
                {"week_id": int(key), "athlete_id": who, "channel": channel, "amount": amount}
                for who, amounts in each.items()
                for channel, amount in amounts.items()
            ]
            if rows:
                connection.execute(planned_amount.insert(), rows)
            return key

    def withdraw_planned_week(self, week_id: str) -> str:
        """Take a kept week back, with the amounts that are meant for it; they stay on record. Gives its key."""
        weeks, ramps = planned_week.c, planned_ramp.c
        with self._writing() as connection:
            key = withdraw(connection, planned_week, week_id, self._clock(), "kept week")
            monday = sa.select(weeks.monday).where(weeks.week_id == int(key)).scalar_subquery()
            of_week = sa.and_(ramps.monday == monday, ramps.weeks == 1, ramps.withdrawn_at.is_(None))
            connection.execute(planned_ramp.update().where(of_week).values(withdrawn_at=self._clock()))
        return key

    def _planned(
        self, query: sa.Select[tuple[object, ...]], table: sa.Table, schema: FrameSchema, standing: bool
    ) -> pl.DataFrame:
        if standing:
            query = query.where(table.c.withdrawn_at.is_(None))
        return self._frame(query.order_by(*table.primary_key.columns), schema)

    def _withdraw(self, table: sa.Table, key: str, what: str) -> str:
        with self._writing() as connection:
            return withdraw(connection, table, key, self._clock(), what)
