"""Health data: what athletes say about their bodies, read and written in this one file only."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.records import CHECK_IN, COMPLAINT_DECISION, HEALTH_LIMIT, RETURN_PLAN
from keelmark.contracts.schema import FrameSchema
from keelmark.store import people
from keelmark.store.door import Door
from keelmark.store.health_schema import health_check_in, health_complaint_decision, health_limit, health_return_plan
from keelmark.store.rows import table_columns
from keelmark.store.withdrawing import withdraw

__all__ = ["HealthRecords"]


class HealthRecords(Door):
    """The part of a store that holds health data; ask it only where the answer may be seen."""

    def check_ins(self, athlete: str | None = None, *, standing: bool = True) -> pl.DataFrame:
        """Check-ins, oldest first: the CHECK_IN frame; those taken back only where asked for."""
        rows = self._health_rows(health_check_in, CHECK_IN, athlete)
        return rows.filter(pl.col("withdrawn_at").is_null()) if standing else rows

    def record_check_in(
        self,
        athlete_id: str,
        week: str,
        *,
        scale_id: str,
        answers: Mapping[str, object],
        severity: float | None = None,
        area: str | None = None,
    ) -> str:
        """Record what an athlete says about a week; a later one of the same week stands beside it. Gives its key."""
        said = {
            "athlete_id": athlete_id, "week": week, "scale_id": scale_id, "severity": severity, "area": area,
            "answers": json.dumps(dict(answers), sort_keys=True, allow_nan=False),
        }  # fmt: skip
        return self._record(health_check_in, said, "check-in")

    def withdraw_check_ins(self, keys: Sequence[str]) -> None:
        """Take check-ins back, all or none; they stay on record as withdrawn."""
        with self._writing() as connection:
            for key in keys:
                withdraw(connection, health_check_in, key, self._clock(), "check-in")

    def record_check_ins(self, said: Sequence[Mapping[str, Any]]) -> list[str]:
        """Record many check-ins together, whole or not at all; each holds what `record_check_in` takes. Gives keys."""
        with self._writing() as connection:
            named = sorted({str(one["athlete_id"]) for one in said})
            people.refuse_unknown_people(connection, named, where="check-ins")
            return [
                self._append(
                    connection,
                    health_check_in,
                    {**one, "answers": json.dumps(dict(one["answers"]), sort_keys=True, allow_nan=False)},
                )
                for one in said
            ]

    def health_limits(self, athlete: str | None = None) -> pl.DataFrame:
        """What athletes are not to do for a while, oldest first: the HEALTH_LIMIT frame."""
        return self._health_rows(health_limit, HEALTH_LIMIT, athlete)

    def record_health_limit(
        self, athlete_id: str, limit: str, date_from: date, *, date_to: date | None = None, area: str | None = None
    ) -> str:
        """Record what an athlete is not to do for a while, as told by the athlete or a clinician; gives its key."""
        said = {"athlete_id": athlete_id, "limit": limit, "date_from": date_from, "date_to": date_to, "area": area}
        return self._record(health_limit, said, "health limit")

    def return_plans(self, athlete: str | None = None) -> pl.DataFrame:
        """Plans after gaps as they were settled, oldest first: the RETURN_PLAN frame."""
        return self._health_rows(health_return_plan, RETURN_PLAN, athlete)

    def record_return_plan(
        self,
        athlete_id: str,
        gap_first: date,
        gap_last: date,
        *,
        steps: Mapping[str, object],
        source: str,
        owner: str | None = None,
        review_date: date | None = None,
        note: str | None = None,
    ) -> str:
        """Record the steps after a gap; a later plan of the same athlete takes the place of this one. Gives its key."""
        said = {
            "athlete_id": athlete_id, "gap_first": gap_first, "gap_last": gap_last, "source": source, "owner": owner,
            "review_date": review_date, "note": note,
            "steps": json.dumps(dict(steps), sort_keys=True, allow_nan=False),
        }  # fmt: skip
        return self._record(health_return_plan, said, "return plan")

    def complaint_decisions(self, athlete: str | None = None) -> pl.DataFrame:
        """What was decided about complaints, oldest first: the COMPLAINT_DECISION frame."""
        return self._health_rows(health_complaint_decision, COMPLAINT_DECISION, athlete)

    def record_complaint_decision(
        self,
        athlete_id: str,
        area: str,
        first: date,
        *,
        option: str,
        figures: Mapping[str, object],
        rule_version: str,
        reason: str | None = None,
        owner: str | None = None,
        athlete_view: str | None = None,
        review_date: date | None = None,
    ) -> str:
        """Record what was decided about a complaint, with the figures as they stand; gives its key."""
        said = {
            "athlete_id": athlete_id, "area": area, "first": first, "option": option, "reason": reason, "owner": owner,
            "athlete_view": athlete_view, "review_date": review_date, "rule_version": rule_version,
            "figures": json.dumps(dict(figures), sort_keys=True, allow_nan=False),
        }  # fmt: skip
        return self._record(health_complaint_decision, said, "complaint decision")

    def _health_rows(self, table: sa.Table, schema: FrameSchema, athlete: str | None) -> pl.DataFrame:
        query = sa.select(*table_columns(table, schema)).order_by(*table.primary_key.columns)
        if athlete is not None:
            query = query.where(table.c.athlete_id == athlete)
        return self._frame(query, schema)

    def _record(self, table: sa.Table, said: Mapping[str, object], what: str) -> str:
        with self._writing() as connection:
            people.refuse_unknown_people(connection, [str(said["athlete_id"])], where=what)
            return self._append(connection, table, said)
