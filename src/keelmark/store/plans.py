"""What is agreed for weeks to come: amounts that are not passed, by athlete, and amounts meant for the squad."""

from __future__ import annotations

from datetime import date

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.contracts.records import AGREED_LIMIT, PLANNED_RAMP
from keelmark.contracts.schema import FrameSchema
from keelmark.store import people
from keelmark.store.door import Door
from keelmark.store.health_schema import health_agreed_limit
from keelmark.store.rows import table_columns
from keelmark.store.schema import planned_ramp

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

    def _planned(
        self, query: sa.Select[tuple[object, ...]], table: sa.Table, schema: FrameSchema, standing: bool
    ) -> pl.DataFrame:
        if standing:
            query = query.where(table.c.withdrawn_at.is_(None))
        return self._frame(query.order_by(*table.primary_key.columns), schema)

    def _withdraw(self, table: sa.Table, key: str, what: str) -> str:
        (column,) = table.primary_key.columns
        with self._writing() as connection:
            standing = sa.and_(column == (int(key) if key.isdecimal() else -1), table.c.withdrawn_at.is_(None))
            done = connection.execute(table.update().where(standing).values(withdrawn_at=self._clock()))
            if not done.rowcount:
                raise StoreError(
                    f"no {what} {key!r} stands",
                    where=what,
                    wanted="the key of one that was recorded and not taken back",
                    remedy="list them to see which stand",
                )
        return key
