"""Rows of edits by hand that were taken back, so that they can be put back."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "taken_back",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("of_table", sa.Text(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=True),
        sa.Column("said", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_taken_back_import_id")),
        sa.PrimaryKeyConstraint("import_id", "place", name=op.f("pk_taken_back")),
    )
    op.create_index("ix_taken_back_athlete_id", "taken_back", ["athlete_id"], unique=False)


def downgrade() -> None:
    op.drop_index("ix_taken_back_athlete_id", table_name="taken_back")
    op.drop_table("taken_back")
