"""Who agrees for athletes under age."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "guardian",
        sa.Column("guardian_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("until", sa.Date(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("guardian_id", name=op.f("pk_guardian")),
    )
    op.create_index("ix_guardian_athlete_id", "guardian", ["athlete_id"], unique=False)


def downgrade() -> None:
    op.drop_index("ix_guardian_athlete_id", table_name="guardian")
    op.drop_table("guardian")
