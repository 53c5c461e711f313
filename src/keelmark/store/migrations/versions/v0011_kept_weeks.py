"""Check-ins that are taken back, and whole weeks as they are meant: their text, and what each athlete would do."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("health_check_in", sa.Column("withdrawn_at", sa.DateTime(), nullable=True))
    op.create_table(
        "planned_week",
        sa.Column("week_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("monday", sa.Date(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(), nullable=True),
        sa.PrimaryKeyConstraint("week_id", name=op.f("pk_planned_week")),
    )
    op.create_table(
        "planned_amount",
        sa.Column("week_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("channel", sa.Text(), nullable=False),
        sa.Column("amount", sa.Double(), nullable=False),
        sa.ForeignKeyConstraint(["week_id"], ["planned_week.week_id"], name=op.f("fk_planned_amount_week_id")),
        sa.PrimaryKeyConstraint("week_id", "athlete_id", "channel", name=op.f("pk_planned_amount")),
    )


def downgrade() -> None:
    op.drop_table("planned_amount")
    op.drop_table("planned_week")
    with op.batch_alter_table("health_check_in") as table:
        table.drop_column("withdrawn_at")
