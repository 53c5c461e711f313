"""What athletes agreed to, and that somebody was erased."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "consent",
        sa.Column("consent_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("purpose", sa.Text(), nullable=False),
        sa.Column("given_by", sa.Text(), nullable=False),
        sa.Column("given_to", sa.Text(), nullable=True),
        sa.Column("fields", sa.JSON(), nullable=False),
        sa.Column("given_on", sa.Date(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(), nullable=True),
        sa.PrimaryKeyConstraint("consent_id", name=op.f("pk_consent")),
    )
    op.create_index("ix_consent_athlete_id", "consent", ["athlete_id"], unique=False)
    op.create_table(
        "erasure",
        sa.Column("erasure_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("did", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("erasure_id", name=op.f("pk_erasure")),
    )


def downgrade() -> None:
    op.drop_table("erasure")
    op.drop_index("ix_consent_athlete_id", table_name="consent")
    op.drop_table("consent")
