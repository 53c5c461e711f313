"""Accounts, their sessions, guests' links, tries at signing in, who has looked, and changes of settings."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    _accounts()
    _sessions()
    _records()


def _accounts() -> None:
    op.create_table(
        "account",
        sa.Column("account_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=True),
        sa.Column("password_hash", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("password_at", sa.DateTime(), nullable=False),
        sa.Column("closed_at", sa.DateTime(), nullable=True),
        sa.PrimaryKeyConstraint("account_id", name=op.f("pk_account")),
    )
    op.create_index(
        "ux_account_open_name",
        "account",
        ["name_key"],
        unique=True,
        sqlite_where=sa.text("closed_at IS NULL"),
        postgresql_where=sa.text("closed_at IS NULL"),
    )
    op.create_table(
        "access_secret",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("secret", sa.LargeBinary(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_access_secret")),
    )


def _sessions() -> None:
    op.create_table(
        "guest_link",
        sa.Column("link_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("token_hash", sa.Text(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("fields", sa.Text(), nullable=False),
        sa.Column("made_by", sa.Integer(), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("expires_at", sa.DateTime(), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["made_by"], ["account.account_id"], name=op.f("fk_guest_link_made_by")),
        sa.PrimaryKeyConstraint("link_id", name=op.f("pk_guest_link")),
    )
    op.create_index("ux_guest_link_token_hash", "guest_link", ["token_hash"], unique=True)
    op.create_index("ix_guest_link_athlete_id", "guest_link", ["athlete_id"], unique=False)
    op.create_table(
        "account_session",
        sa.Column("token_hash", sa.Text(), nullable=False),
        sa.Column("account_id", sa.Integer(), nullable=True),
        sa.Column("link_id", sa.Integer(), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("seen_at", sa.DateTime(), nullable=False),
        sa.Column("ends_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["account.account_id"], name=op.f("fk_account_session_account_id")),
        sa.ForeignKeyConstraint(["link_id"], ["guest_link.link_id"], name=op.f("fk_account_session_link_id")),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_account_session")),
    )
    op.create_index("ix_account_session_account_id", "account_session", ["account_id"], unique=False)


def _records() -> None:
    op.create_table(
        "sign_in",
        sa.Column("sign_in_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("worked", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("sign_in_id", name=op.f("pk_sign_in")),
    )
    op.create_index("ix_sign_in_name_key", "sign_in", ["name_key", "created_at"], unique=False)
    op.create_index("ix_sign_in_address", "sign_in", ["address", "created_at"], unique=False)
    op.create_table(
        "look",
        sa.Column("look_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("viewer", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("look_id", name=op.f("pk_look")),
    )
    op.create_index("ux_look_once_a_day", "look", ["athlete_id", "viewer", "what", "day"], unique=True)
    op.create_table(
        "setting_change",
        sa.Column("change_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("old", sa.Text(), nullable=True),
        sa.Column("new", sa.Text(), nullable=False),
        sa.Column("who", sa.Text(), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("change_id", name=op.f("pk_setting_change")),
    )
    op.create_index("ix_setting_change_key", "setting_change", ["key"], unique=False)


def downgrade() -> None:
    for name in ("setting_change", "look", "sign_in", "account_session", "guest_link", "access_secret", "account"):
        op.drop_table(name)
