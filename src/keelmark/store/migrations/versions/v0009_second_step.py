"""A second step of signing in, recovery codes for it, and first passwords that run out."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("account", sa.Column("password_until", sa.DateTime(), nullable=True))
    op.add_column("account_session", sa.Column("waits_for", sa.Text(), nullable=True))
    op.create_table(
        "second_step",
        sa.Column("account_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("secret", sa.LargeBinary(), nullable=False),
        sa.Column("last_used", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("confirmed_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["account_id"], ["account.account_id"], name=op.f("fk_second_step_account_id")),
        sa.PrimaryKeyConstraint("account_id", name=op.f("pk_second_step")),
    )
    op.create_table(
        "recovery_code",
        sa.Column("code_hash", sa.Text(), nullable=False),
        sa.Column("account_id", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["account.account_id"], name=op.f("fk_recovery_code_account_id")),
        sa.PrimaryKeyConstraint("code_hash", name=op.f("pk_recovery_code")),
    )
    op.create_index("ix_recovery_code_account_id", "recovery_code", ["account_id"], unique=False)


def downgrade() -> None:
    op.drop_index("ix_recovery_code_account_id", table_name="recovery_code")
    op.drop_table("recovery_code")
    op.drop_table("second_step")
    op.drop_column("account_session", "waits_for")
    op.drop_column("account", "password_until")
