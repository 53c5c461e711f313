"""What coaches decided about notices, with the figures that stood then."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.records import DECISION
from keelmark.store import schema as tables
from keelmark.store.door import Door
from keelmark.store.rows import table_columns

__all__ = ["DecisionRecords"]


class DecisionRecords(Door):
    """The part of a store that holds decisions about notices."""

    def decisions(self) -> pl.DataFrame:
        """What coaches decided, oldest first: the DECISION frame."""
        table = tables.decision
        return self._frame(sa.select(*table_columns(table, DECISION)).order_by(table.c.decision_id), DECISION)

    def record_decision(
        self,
        notice_id: str,
        *,
        figures: Mapping[str, object],
        rule_version: str,
        useful: bool | None = None,
        option: str | None = None,
        reason: str | None = None,
        owner: str | None = None,
        athlete_view: str | None = None,
        review_date: date | None = None,
    ) -> str:
        """Record what a coach thinks of a notice and does about it, with the figures as they stand; gives its key."""
        said = {
            "notice_id": notice_id, "useful": useful, "option": option, "reason": reason, "owner": owner,
            "athlete_view": athlete_view, "review_date": review_date, "rule_version": rule_version,
            "figures": json.dumps(dict(figures), sort_keys=True, allow_nan=False),
        }  # fmt: skip
        with self._writing() as connection:
            return self._append(connection, tables.decision, said)
