"""Decisions about complaints, among the health data."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "health_complaint_decision",
        sa.Column("decision_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("area", sa.Text(), nullable=False),
        sa.Column("first", sa.Date(), nullable=False),
        sa.Column("option", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=True),
        sa.Column("owner", sa.Text(), nullable=True),
        sa.Column("athlete_view", sa.Text(), nullable=True),
        sa.Column("review_date", sa.Date(), nullable=True),
        sa.Column("figures", sa.Text(), nullable=False),
        sa.Column("rule_version", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("decision_id", name=op.f("pk_health_complaint_decision")),
    )
    op.create_index(
        "ix_health_complaint_decision_athlete_id", "health_complaint_decision", ["athlete_id"], unique=False
    )


def downgrade() -> None:
    op.drop_index("ix_health_complaint_decision_athlete_id", table_name="health_complaint_decision")
    op.drop_table("health_complaint_decision")
