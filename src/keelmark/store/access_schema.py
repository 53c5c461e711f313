"""The tables of who may come in: accounts, their sessions, links for guests, tries at signing in, and who has looked.

Nothing here is a figure or a row of training. Passwords, tokens and recovery codes are kept as hashes only.
"""

from __future__ import annotations

import sqlalchemy as sa

from keelmark.store.columns import Instant

__all__ = [
    "ACCESS_METADATA", "access_secret", "account", "account_session", "guest_link", "look", "recovery_code",
    "second_step", "sign_in",
]  # fmt: skip

ACCESS_METADATA = sa.MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
    }
)

account = sa.Table(
    "account",
    ACCESS_METADATA,
    sa.Column("account_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("name_key", sa.Text, nullable=False),
    sa.Column("role", sa.Text, nullable=False),
    sa.Column("athlete_id", sa.Text),
    sa.Column("password_hash", sa.Text, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
    sa.Column("password_at", Instant, nullable=False),
    sa.Column("closed_at", Instant),
    sa.Column("password_until", Instant),
)
sa.Index(
    "ux_account_open_name",
    account.c.name_key,
    unique=True,
    sqlite_where=account.c.closed_at.is_(None),
    postgresql_where=account.c.closed_at.is_(None),
)

guest_link = sa.Table(
    "guest_link",
    ACCESS_METADATA,
    sa.Column("link_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("token_hash", sa.Text, nullable=False),
    sa.Column("athlete_id", sa.Text, nullable=False),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("fields", sa.Text, nullable=False),
    sa.Column("made_by", sa.Integer, sa.ForeignKey("account.account_id")),
    sa.Column("created_at", Instant, nullable=False),
    sa.Column("expires_at", Instant, nullable=False),
    sa.Column("withdrawn_at", Instant),
    sa.Index("ux_guest_link_token_hash", "token_hash", unique=True),
    sa.Index("ix_guest_link_athlete_id", "athlete_id"),
)

account_session = sa.Table(
    "account_session",
    ACCESS_METADATA,
    sa.Column("token_hash", sa.Text, primary_key=True),
    sa.Column("account_id", sa.Integer, sa.ForeignKey("account.account_id")),
    sa.Column("link_id", sa.Integer, sa.ForeignKey("guest_link.link_id")),
    sa.Column("created_at", Instant, nullable=False),
    sa.Column("seen_at", Instant, nullable=False),
    sa.Column("ends_at", Instant, nullable=False),
    sa.Column("waits_for", sa.Text),
    sa.Index("ix_account_session_account_id", "account_id"),
)

second_step = sa.Table(
    "second_step",
    ACCESS_METADATA,
    sa.Column("account_id", sa.Integer, sa.ForeignKey("account.account_id"), primary_key=True, autoincrement=False),
    sa.Column("secret", sa.LargeBinary, nullable=False),
    sa.Column("last_used", sa.Integer, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
    sa.Column("confirmed_at", Instant),
)

recovery_code = sa.Table(
    "recovery_code",
    ACCESS_METADATA,
    sa.Column("code_hash", sa.Text, primary_key=True),
    sa.Column("account_id", sa.Integer, sa.ForeignKey("account.account_id"), nullable=False),
    sa.Column("created_at", Instant, nullable=False),
    sa.Index("ix_recovery_code_account_id", "account_id"),
)

sign_in = sa.Table(
    "sign_in",
    ACCESS_METADATA,
    sa.Column("sign_in_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("name_key", sa.Text, nullable=False),
    sa.Column("address", sa.Text, nullable=False),
    sa.Column("worked", sa.Boolean, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
    sa.Index("ix_sign_in_name_key", "name_key", "created_at"),
    sa.Index("ix_sign_in_address", "address", "created_at"),
)

look = sa.Table(
    "look",
    ACCESS_METADATA,
    sa.Column("look_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("athlete_id", sa.Text, nullable=False),
    sa.Column("viewer", sa.Text, nullable=False),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("role", sa.Text, nullable=False),
    sa.Column("what", sa.Text, nullable=False),
    sa.Column("day", sa.Date, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
    sa.Index("ux_look_once_a_day", "athlete_id", "viewer", "what", "day", unique=True),
)

access_secret = sa.Table(
    "access_secret",
    ACCESS_METADATA,
    sa.Column("name", sa.Text, primary_key=True),
    sa.Column("secret", sa.LargeBinary, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
)
