"""Amounts that are agreed with athletes, among the health data, and amounts that are meant for weeks ahead."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "health_agreed_limit",
        sa.Column("limit_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("channel", sa.Text(), nullable=False),
        sa.Column("most", sa.Double(), nullable=False),
        sa.Column("date_from", sa.Date(), nullable=False),
        sa.Column("date_to", sa.Date(), nullable=True),
        sa.Column("agreed_with", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(), nullable=True),
        sa.PrimaryKeyConstraint("limit_id", name=op.f("pk_health_agreed_limit")),
    )
    op.create_index("ix_health_agreed_limit_athlete_id", "health_agreed_limit", ["athlete_id"], unique=False)
    op.create_table(
        "planned_ramp",
        sa.Column("ramp_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("channel", sa.Text(), nullable=False),
        sa.Column("monday", sa.Date(), nullable=False),
        sa.Column("weeks", sa.BigInteger(), nullable=False),
        sa.Column("start", sa.Double(), nullable=False),
        sa.Column("change", sa.Double(), nullable=False),
        sa.Column("lighter_every", sa.BigInteger(), nullable=True),
        sa.Column("lighter_share", sa.Double(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(), nullable=True),
        sa.PrimaryKeyConstraint("ramp_id", name=op.f("pk_planned_ramp")),
    )


def downgrade() -> None:
    op.drop_table("planned_ramp")
    op.drop_index("ix_health_agreed_limit_athlete_id", table_name="health_agreed_limit")
    op.drop_table("health_agreed_limit")
