"""The table of the trail of changes; it is only ever added to."""

from __future__ import annotations

import sqlalchemy as sa

from keelmark.store.columns import Instant

__all__ = ["TRAIL_METADATA", "trail"]

TRAIL_METADATA = sa.MetaData(naming_convention={"pk": "pk_%(table_name)s"})

trail = sa.Table(
    "trail",
    TRAIL_METADATA,
    sa.Column("number", sa.BigInteger, primary_key=True, autoincrement=False),
    sa.Column("at", Instant, nullable=False),
    sa.Column("who", sa.Text, nullable=False),
    sa.Column("did", sa.Text, nullable=False),
    sa.Column("before", sa.Text, nullable=False),
    sa.Column("hash", sa.Text, nullable=False),
)
