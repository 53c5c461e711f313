"""Edits by hand that were taken back: their rows are laid aside, and put back as if nothing had happened.

What came from a file is not laid aside, because the file itself is kept and can be brought again.
"""

from __future__ import annotations

import json
from collections import Counter
from datetime import date
from typing import Any

import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store import ledger, people
from keelmark.store import schema as tables

__all__ = ["lay_aside", "put_back"]

_TABLES = {table.name: table for table in (tables.athlete, tables.rep_maximum, tables.day_state, tables.calendar_label)}
"""What an edit by hand may bring, in the order in which it is put back."""


def lay_aside(connection: sa.Connection, number: int) -> None:
    """Keep the rows of an edit by hand before they are taken out; of any other import nothing is kept."""
    if _entry(connection, number).kind != "hand":
        return
    rows = [
        {"of_table": name, "athlete_id": row.get("athlete_id"), "said": _as_text(row)}
        for name, table in _TABLES.items()
        for row in connection.execute(sa.select(table).where(table.c.import_id == number)).mappings()
    ]
    if rows:
        numbered = [{"import_id": number, "place": place, **row} for place, row in enumerate(rows)]
        connection.execute(tables.taken_back.insert(), numbered)


def put_back(connection: sa.Connection, import_id: str) -> None:
    """Let an edit by hand stand again, in its old place among the imports: what was said after it still counts.

    Raises
    ------
    StoreError
        When there is no such import, it stands, it came from a file, or its rows are no longer kept.
    """
    number = ledger.known(connection, import_id)
    kept = _kept(connection, number)
    _refuse_unless(connection, number, bool(kept))
    for name, table in _TABLES.items():
        rows = [_of_table(table, said) for of_table, said in kept if of_table == name]
        for row in rows:
            _insert(connection, table, row)
        people.refuse_unknown_people(
            connection, [row["athlete_id"] for row in rows if "athlete_id" in row], where=f"import '{import_id}'"
        )
    connection.execute(tables.taken_back.delete().where(tables.taken_back.c.import_id == number))
    connection.execute(tables.imports.update().where(tables.imports.c.import_id == number).values(undone_at=None))
    people.settle_people(connection)


def _kept(connection: sa.Connection, number: int) -> list[tuple[str, str]]:
    aside = tables.taken_back.c
    query = sa.select(aside.of_table, aside.said).where(aside.import_id == number).order_by(aside.place)
    return [(row.of_table, row.said) for row in connection.execute(query)]


def _refuse_unless(connection: sa.Connection, number: int, kept: bool) -> None:
    entry = _entry(connection, number)
    if entry.undone_at is None:
        raise _refused(number, "stands", "an edit that was taken back", "nothing needs to be done")
    if entry.kind != "hand":
        remedy = "bring the file or text again; its original is kept"
        raise _refused(number, "came from a file or text", "an edit by hand that was taken back", remedy)
    promised = Counter(json.loads(entry.counts).get("stored", {})).total()
    if promised and not kept:
        remedy = "enter it again"
        raise _refused(number, "was taken back, and its rows are no longer kept", "rows that are still kept", remedy)


def _refused(number: int, found: str, wanted: str, remedy: str) -> StoreError:
    return StoreError(f"import '{number}' {found}", where="imports", wanted=wanted, remedy=remedy)


def _entry(connection: sa.Connection, number: int) -> sa.Row[Any]:
    return connection.execute(sa.select(tables.imports).where(tables.imports.c.import_id == number)).one()


def _as_text(row: sa.RowMapping) -> str:
    return json.dumps({name: _plain(value) for name, value in row.items()}, sort_keys=True, ensure_ascii=False)


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value


def _of_table(table: sa.Table, said: str) -> dict[str, Any]:
    row: dict[str, Any] = json.loads(said)
    days = [column.name for column in table.c if isinstance(column.type, sa.Date)]
    return row | {name: date.fromisoformat(row[name]) for name in days if row[name] is not None}


def _insert(connection: sa.Connection, table: sa.Table, row: dict[str, Any]) -> None:
    if table is tables.calendar_label:
        last = connection.execute(sa.select(sa.func.max(table.c.label_id))).scalar() or 0
        row = row | {"label_id": last + 1}
    if table is tables.athlete:
        _make_person(connection, row["athlete_id"])
        mine = (table.c.import_id == row["import_id"]) & (table.c.athlete_id == row["athlete_id"])
        connection.execute(table.delete().where(mine))  # who has rows stays described by an edit that is taken back
    connection.execute(table.insert().values(row))


def _make_person(connection: sa.Connection, athlete_id: str) -> None:
    person = tables.person
    if connection.execute(sa.select(person).where(person.c.athlete_id == athlete_id)).first() is None:
        connection.execute(person.insert().values(athlete_id=athlete_id))
