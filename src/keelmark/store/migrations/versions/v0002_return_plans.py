"""Plans after gaps, among the health data."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "health_return_plan",
        sa.Column("plan_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("gap_first", sa.Date(), nullable=False),
        sa.Column("gap_last", sa.Date(), nullable=False),
        sa.Column("steps", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("owner", sa.Text(), nullable=True),
        sa.Column("review_date", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("plan_id", name=op.f("pk_health_return_plan")),
    )
    op.create_index("ix_health_return_plan_athlete_id", "health_return_plan", ["athlete_id"], unique=False)


def downgrade() -> None:
    op.drop_index("ix_health_return_plan_athlete_id", table_name="health_return_plan")
    op.drop_table("health_return_plan")
