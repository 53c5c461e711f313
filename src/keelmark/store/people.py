"""The people of the squad as several rosters and edits describe them together."""

from __future__ import annotations

from collections.abc import Iterable

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.contracts.frames import ATHLETE
from keelmark.store import schema as tables
from keelmark.store.rows import insert_frame

__all__ = ["add_athletes", "described_athletes", "refuse_undo_of_people_in_use", "refuse_unknown_people"]

_WITH_ROWS = (tables.effort, tables.session, tables.rep_maximum, tables.day_state)


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


def refuse_undo_of_people_in_use(connection: sa.Connection, number: int) -> None:
    """Refuse to take back the only words about people who have rows of their own in other imports.

    Raises
    ------
    StoreError
        Naming the people and the first import that holds rows of theirs.
    """
    described = tables.athlete.c
    elsewhere = sa.select(described.athlete_id).where(described.import_id != number)
    only_here = sa.select(described.athlete_id).where(
        described.import_id == number, described.athlete_id.not_in(elsewhere)
    )
    uses = sa.union(
        *(
            sa.select(table.c.athlete_id, table.c.import_id).where(
                table.c.import_id != number, table.c.athlete_id.in_(only_here)
            )
            for table in _WITH_ROWS
        )
    ).subquery()
    found = connection.execute(sa.select(uses.c.athlete_id, uses.c.import_id).order_by(uses.c.import_id)).all()
    if found:
        names = sorted({row.athlete_id for row in found})
        raise StoreError(
            f"import '{number}' is the only one that says who {', '.join(names[:5])} is, and import"
            f" '{found[0].import_id}' holds rows of theirs",
            where="imports",
            wanted="people without rows of their own",
            remedy=f"undo import '{found[0].import_id}' first, or add these people by hand",
        )
