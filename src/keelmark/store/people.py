"""The people of the squad as several rosters and edits describe them together."""

from __future__ import annotations

from collections.abc import Iterable

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.contracts.frames import ATHLETE
from keelmark.store import schema as tables
from keelmark.store.access_schema import account
from keelmark.store.health_schema import health_agreed_limit, health_check_in, health_limit
from keelmark.store.rows import insert_frame

__all__ = ["add_athletes", "described_athletes", "refuse_unknown_people", "settle_people"]

_WITH_ROWS = (
    tables.effort, tables.session, tables.rep_maximum, tables.day_state, health_check_in, health_limit,
    health_agreed_limit,
)  # fmt: skip


def add_athletes(connection: sa.Connection, number: int, athletes: pl.DataFrame, *, complete: bool) -> None:
    """Store what an import says of people.

    Parameters
    ----------
    complete : bool
        True when a row says all there is, so that an empty field clears what stood there (an edit by hand); False
        when an empty field is only not stated (a roster without that column).
    """
    known = set(connection.execute(sa.select(tables.person.c.athlete_id)).scalars())
    fresh = [{"athlete_id": key} for key in athletes["athlete_id"].unique(maintain_order=True) if key not in known]
    if fresh:
        connection.execute(tables.person.insert(), fresh)
    insert_frame(connection, tables.athlete, athletes, import_id=number, complete=complete)


def described_athletes(connection: sa.Connection) -> pl.DataFrame:
    """The squad, by name."""
    described: dict[str, dict[str, object]] = {}
    order = tables.athlete.c.import_id
    for row in connection.execute(sa.select(tables.athlete).order_by(order)).mappings():
        said = {name: row[name] for name in ATHLETE.names if row["complete"] or row[name] is not None}
        described.setdefault(row["athlete_id"], {}).update(said)
    frame = ATHLETE.build(list(described.values())) if described else ATHLETE.empty()
    return frame.sort("name", "athlete_id")


def refuse_unknown_people(connection: sa.Connection, keys: Iterable[str], *, where: str) -> None:
    """Refuse rows of people whom no roster or edit describes.

    Raises
    ------
    StoreError
        Naming them.
    """
    known = set(connection.execute(sa.select(tables.athlete.c.athlete_id).distinct()).scalars())
    unknown = sorted(set(keys) - known)
    if unknown:
        raise StoreError(
            f"rows of people who are not in the squad: {', '.join(unknown[:5])}",
            where=where,
            wanted="rows of people in the roster",
            remedy="add them to the roster first, or hand their names over with the same import",
        )


def settle_people(connection: sa.Connection) -> None:
    """Forget what undone imports said of people, but for those with rows or an account whom nothing else describes.

    Undoing a log that brought its people along so leaves nobody without a name.
    """
    described, ledger = tables.athlete, tables.imports.c
    undone = sa.select(ledger.import_id).where(ledger.undone_at.is_not(None))
    again = described.alias()
    elsewhere = sa.select(again.c.athlete_id).where(again.c.import_id.not_in(undone))
    with_account = sa.select(account.c.athlete_id).where(account.c.athlete_id.is_not(None))
    with_rows = sa.union(*(sa.select(table.c.athlete_id) for table in _WITH_ROWS), with_account)
    forgettable = sa.or_(described.c.athlete_id.in_(elsewhere), described.c.athlete_id.not_in(with_rows))
    connection.execute(described.delete().where(described.c.import_id.in_(undone), forgettable))
