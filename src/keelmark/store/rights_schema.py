"""The tables of people's rights over what is kept of them: consents, guardians, and that somebody was erased."""

from __future__ import annotations

import sqlalchemy as sa

from keelmark.contracts.records import CONSENT
from keelmark.store.columns import Instant, frame_columns

__all__ = ["RIGHTS_METADATA", "consent", "erasure", "guardian"]

RIGHTS_METADATA = sa.MetaData(
    naming_convention={"pk": "pk_%(table_name)s", "ix": "ix_%(table_name)s_%(column_0_name)s"}
)

consent = sa.Table(
    "consent",
    RIGHTS_METADATA,
    sa.Column("consent_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(CONSENT, leave_out=("consent_id",)),
    sa.Index("ix_consent_athlete_id", "athlete_id"),
)

erasure = sa.Table(
    "erasure",
    RIGHTS_METADATA,
    sa.Column("erasure_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("did", sa.Text, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
)
"""Holds counts only: nothing in it tells who was erased."""

guardian = sa.Table(
    "guardian",
    RIGHTS_METADATA,
    sa.Column("guardian_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("athlete_id", sa.Text, nullable=False),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("until", sa.Date, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
    sa.Index("ix_guardian_athlete_id", "athlete_id"),
)
"""Who agrees for somebody under age, and the last day on which that is so; the last row of an athlete stands."""
