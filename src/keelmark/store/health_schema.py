"""The tables of health data, in a schema module of their own.

Nothing here is joined to load data by the store; who may read it is decided where it is asked for.
"""

from __future__ import annotations

import sqlalchemy as sa

from keelmark.contracts.records import AGREED_LIMIT, CHECK_IN, COMPLAINT_DECISION, HEALTH_LIMIT, RETURN_PLAN
from keelmark.store.columns import frame_columns

__all__ = [
    "HEALTH_METADATA", "health_agreed_limit", "health_check_in", "health_complaint_decision", "health_limit",
    "health_return_plan",
]  # fmt: skip

HEALTH_METADATA = sa.MetaData(
    naming_convention={"pk": "pk_%(table_name)s", "ix": "ix_%(table_name)s_%(column_0_name)s"}
)

health_check_in = sa.Table(
    "health_check_in",
    HEALTH_METADATA,
    sa.Column("check_in_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(CHECK_IN, leave_out=("check_in_id",)),
    sa.Index("ix_health_check_in_athlete_week", "athlete_id", "week"),
)

health_limit = sa.Table(
    "health_limit",
    HEALTH_METADATA,
    sa.Column("limit_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(HEALTH_LIMIT, leave_out=("limit_id",)),
    sa.Index("ix_health_limit_athlete_id", "athlete_id"),
)

health_return_plan = sa.Table(
    "health_return_plan",
    HEALTH_METADATA,
    sa.Column("plan_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(RETURN_PLAN, leave_out=("plan_id",)),
    sa.Index("ix_health_return_plan_athlete_id", "athlete_id"),
)

health_complaint_decision = sa.Table(
    "health_complaint_decision",
    HEALTH_METADATA,
    sa.Column("decision_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(COMPLAINT_DECISION, leave_out=("decision_id",)),
    sa.Index("ix_health_complaint_decision_athlete_id", "athlete_id"),
)

health_agreed_limit = sa.Table(
    "health_agreed_limit",
    HEALTH_METADATA,
    sa.Column("limit_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(AGREED_LIMIT, leave_out=("limit_id",)),
    sa.Index("ix_health_agreed_limit_athlete_id", "athlete_id"),
)
