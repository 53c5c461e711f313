"""Forgetting a person: rows deleted in every table, names taken out of others' words, and the search that proves it.

The tables are read from the database itself, so that a table of tomorrow is not forgotten.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Self

import sqlalchemy as sa

from keelmark.store import schema as tables
from keelmark.store.access_schema import (
    account,
    account_session,
    guest_link,
    look,
    recovery_code,
    second_step,
    sign_in,
)
from keelmark.store.redaction import Person, redacted
from keelmark.store.trail_schema import trail
from keelmark.store.whole_tables import kept_tables

__all__ = ["Erased", "Subject", "erase", "rewrite_file", "traces"]

_NOT_WORDS = frozenset({trail.name, tables.store_mark.name, "access_secret", account.name, tables.original.name})
"""Tables whose text is no person's words: the trail names accounts by key, and an account's name is its owner's."""
_ROW_WORDS = ("cells", "messages", "remedy", "notes")


@dataclass(frozen=True, slots=True)
class Subject:
    """Who is to be forgotten: key and name, and whether the name is this person's alone in the squad."""

    athlete_id: str
    name: str
    alone: bool

    @classmethod
    def of(cls, connection: sa.Connection, athlete_id: str) -> Self:
        """The person of a key as the squad knows them."""
        described = tables.athlete.c
        query = sa.select(described.athlete_id, described.name).order_by(described.import_id)
        names = {key: name for key, name in connection.execute(query)}  # noqa: C416
        name = names[athlete_id]
        others = [other for key, other in names.items() if key != athlete_id]
        return cls(athlete_id, name, not any(_word(name).search(other) for other in others))

    @property
    def person(self) -> Person:
        """The same as originals are searched for."""
        return Person(self.athlete_id, self.name if self.alone else None)


@dataclass(frozen=True, slots=True)
class Erased:
    """What an erasure removed, in numbers.

    Parameters
    ----------
    rows : mapping
        Rows deleted, by table.
    blanked_rows : int
        Verdicts on rows of theirs in imports, whose cells were emptied.
    redacted_originals, dropped_originals : int
        Originals kept with their rows blanked, and originals removed as a whole.
    words : int
        Cells in which the name stood among somebody's words and was replaced by dots.
    name_shared : bool
        Whether somebody else in the squad bears the name, so that words with it were left alone.
    rewritten : bool
        Whether the file was written anew afterwards, so that nothing stays in its free pages.
    """

    rows: Mapping[str, int]
    blanked_rows: int = 0
    redacted_originals: int = 0
    dropped_originals: int = 0
    words: int = 0
    name_shared: bool = False
    rewritten: bool = field(default=False)

    def with_rewritten(self, rewritten: bool) -> Erased:
        """The same with what became of the file."""
        return replace(self, rewritten=rewritten)


def erase(connection: sa.Connection, subject: Subject) -> Erased:
    """Take a person out of every table, inside the caller's transaction."""
    mine = _rows_in_imports(connection, subject)
    blanked = _blank_verdicts(connection, subject, mine)
    kept, gone = _redact_originals(connection, subject, mine)
    removed = _delete(connection, subject)
    _settle_counts(connection, mine)
    words = _mask_words(connection, subject) if subject.alone else 0
    return Erased(dict(sorted(removed.items())), blanked, kept, gone, words, not subject.alone)


def traces(connection: sa.Connection, subject: Subject) -> dict[str, int]:
    """Where a person can still be found, as `table.column` with the number of rows; empty when nowhere.

    The key is looked for as a whole cell and before the signs that join it in other keys, the name as a word of its
    own in anybody's words, and both in every original.
    """
    key = re.compile(rf"(?:^|\"){re.escape(subject.athlete_id)}(?:$|[/:\"])")
    found: Counter[str] = Counter()
    for table in kept_tables(connection):
        texts = [] if table.name == trail.name else _text_columns(table)
        for row in connection.execute(sa.select(*texts)) if texts else ():
            for column, cell in zip(texts, row, strict=True):
                text = cell if isinstance(cell, str) else json.dumps(cell, ensure_ascii=False)
                named = subject.alone and table.name not in _NOT_WORDS and _word(subject.name).search(text)
                if cell is not None and (key.search(text) or named):
                    found[f"{table.name}.{column.name}"] += 1
    for _, packed in connection.execute(sa.select(tables.original.c.sha256, tables.original.c.packed)):
        if redacted(packed, subject.person).changed:
            found["original.packed"] += 1
    return dict(found)


def rewrite_file(engine: sa.Engine) -> bool:
    """Write the database anew without free pages; False where others kept it open."""
    if engine.dialect.name == "sqlite":
        return _rewrite_sqlite(engine)
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.exec_driver_sql("VACUUM (FULL)")
    return True


def _rewrite_sqlite(engine: sa.Engine) -> bool:
    connection = engine.raw_connection()
    try:
        cursor = connection.cursor()
        try:
            cursor.execute("VACUUM")
            busy, _, _ = cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        except Exception as error:
            if "locked" in str(error) or "busy" in str(error):
                return False
            raise
        return not busy
    finally:
        connection.close()


# Rows


def _rows_in_imports(connection: sa.Connection, subject: Subject) -> dict[int, set[int]]:
    """Data rows of each import that brought work of theirs."""
    effort = tables.effort.c
    query = sa.select(effort.import_id, effort.source_row).where(effort.athlete_id == subject.athlete_id).distinct()
    rows: dict[int, set[int]] = {}
    for import_id, row in connection.execute(query):
        rows.setdefault(import_id, set()).update(() if row is None else (row,))
    return rows


def _delete(connection: sa.Connection, subject: Subject) -> Counter[str]:
    removed: Counter[str] = Counter()

    def gone(table: sa.Table, which: sa.ColumnElement[bool]) -> None:
        count = connection.execute(table.delete().where(which)).rowcount
        if count:
            removed[table.name] += count

    accounts = connection.execute(
        sa.select(account.c.account_id, account.c.name_key).where(account.c.athlete_id == subject.athlete_id)
    ).all()
    numbers, names = [row.account_id for row in accounts], [row.name_key for row in accounts]
    links = sa.select(guest_link.c.link_id).where(guest_link.c.athlete_id == subject.athlete_id)
    gone(account_session, account_session.c.account_id.in_(numbers) | account_session.c.link_id.in_(links))
    for table in (recovery_code, second_step):
        gone(table, table.c.account_id.in_(numbers))
    gone(sign_in, sign_in.c.name_key.in_(names))
    gone(look, look.c.viewer.in_([f"account:{number}" for number in numbers]))
    connection.execute(guest_link.update().where(guest_link.c.made_by.in_(numbers)).values(made_by=None))
    gone(tables.decision, tables.decision.c.notice_id.startswith(f"{subject.athlete_id}:", autoescape=True))
    for table in reversed(kept_tables(connection)):
        if "athlete_id" in table.c:
            gone(table, table.c.athlete_id == subject.athlete_id)
    return removed


def _settle_counts(connection: sa.Connection, mine: Mapping[int, set[int]]) -> None:
    """Let each import promise what it still holds."""
    ledger, effort = tables.imports.c, tables.effort.c
    for number in mine:
        held = sa.select(sa.func.count()).select_from(tables.effort).where(effort.import_id == number)
        current = int(connection.execute(held.where(effort.current)).scalar_one())
        everything = int(connection.execute(held).scalar_one())
        row = connection.execute(sa.select(ledger.counts).where(ledger.import_id == number)).one()
        counts = json.loads(row.counts)
        counts["stored"] |= {"efforts": current, "already_stored": everything - current}
        said = json.dumps(counts, sort_keys=True)
        connection.execute(tables.imports.update().where(ledger.import_id == number).values(counts=said))


def _blank_verdicts(connection: sa.Connection, subject: Subject, mine: Mapping[int, set[int]]) -> int:
    verdict = tables.import_row
    named = sa.or_(*(verdict.c.cells.icontains(text, autoescape=True) for text in (subject.athlete_id, subject.name)))
    wanted = {(number, row) for number, rows in mine.items() for row in rows}
    for row in connection.execute(sa.select(verdict.c.import_id, verdict.c.row, verdict.c.cells).where(named)):
        if subject.person.owns(row.cells.split(" | ")):
            wanted.add((row.import_id, row.row))
    empty: dict[str, Any] = dict.fromkeys(_ROW_WORDS)
    statement = verdict.update().where(
        verdict.c.import_id == sa.bindparam("of_import"), verdict.c.row == sa.bindparam("of_row_number")
    )
    rows = [{"of_import": number, "of_row_number": row} for number, row in sorted(wanted)]
    if rows:
        connection.execute(statement.values({name: sa.null() for name in empty}), rows)
    return len(rows)


# Originals


def _redact_originals(connection: sa.Connection, subject: Subject, mine: Mapping[int, set[int]]) -> tuple[int, int]:
    kept = gone = 0
    original, ledger = tables.original, tables.imports
    owners = _lonely_imports(connection, subject)
    brought = sa.select(original.c.sha256, original.c.packed).order_by(original.c.sha256)
    for sha256, packed in connection.execute(brought).all():
        numbers = set(connection.execute(sa.select(ledger.c.import_id).where(ledger.c.sha256 == sha256)).scalars())
        lines = _lines(connection, subject, numbers)
        result = redacted(packed, subject.person, lines=lines, whole=bool(numbers & owners))
        if not result.changed:
            continue
        again = connection.execute(sa.select(original.c.sha256).where(original.c.sha256 == result.sha256)).first()
        if again is None:
            connection.execute(original.insert().values(sha256=result.sha256, size=result.size, packed=result.packed))
        connection.execute(ledger.update().where(ledger.c.sha256 == sha256).values(sha256=result.sha256))
        connection.execute(original.delete().where(original.c.sha256 == sha256))
        gone += result.dropped
        kept += not result.dropped
    return kept, gone


def _lonely_imports(connection: sa.Connection, subject: Subject) -> set[int]:
    """Imports that brought work of this person and of nobody else: nothing in their originals is anybody else's."""
    effort = tables.effort.c
    whose = sa.select(effort.import_id, effort.athlete_id).distinct()
    people: dict[int, set[str]] = {}
    for number, athlete_id in connection.execute(whose):
        people.setdefault(number, set()).add(athlete_id)
    return {number for number, found in people.items() if found == {subject.athlete_id}}


def _lines(connection: sa.Connection, subject: Subject, numbers: set[int]) -> frozenset[int]:
    """Physical lines of a log in which work of theirs stands."""
    effort, ledger = tables.effort.c, tables.imports.c
    query = (
        sa.select(effort.source_line)
        .join_from(tables.effort, tables.imports)
        .where(ledger.kind == "log", ledger.import_id.in_(numbers), effort.athlete_id == subject.athlete_id)
    )
    return frozenset(line for line in connection.execute(query.distinct()).scalars() if line is not None)


# Words


def _mask_words(connection: sa.Connection, subject: Subject) -> int:
    """Put dots in place of the name wherever it stands in somebody's words; a text keeps its length."""
    masked = 0
    for table in kept_tables(connection):
        if table.name in _NOT_WORDS:
            continue
        for column in _text_columns(table):
            masked += _mask_column(connection, table, column, subject)
    return masked


def _mask_column(connection: sa.Connection, table: sa.Table, column: sa.Column[Any], subject: Subject) -> int:
    keys = list(table.primary_key.columns)
    as_text = sa.cast(column, sa.Text)
    written = {subject.name, json.dumps(subject.name)[1:-1]}  # JSON may hold a letter as its number
    named = sa.or_(*(as_text.contains(name, autoescape=True) for name in sorted(written)))
    query = sa.select(*keys, column).where(named)
    done = 0
    for row in connection.execute(query).all():
        value = _masked(row[-1], subject.name)
        if value != row[-1]:
            mine = sa.and_(*(key == part for key, part in zip(keys, row[:-1], strict=True)))
            connection.execute(table.update().where(mine).values({column.name: value}))
            done += 1
    return done


def _masked(value: Any, name: str) -> Any:
    if isinstance(value, str):
        return _word(name).sub("·" * len(name), value)
    if isinstance(value, list):
        return [_masked(one, name) for one in value]
    if isinstance(value, dict):
        return {key: _masked(one, name) for key, one in value.items()}
    return value


def _text_columns(table: sa.Table) -> list[sa.Column[Any]]:
    return [column for column in table.columns if isinstance(column.type, sa.String | sa.JSON)]


def _word(name: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(name)}(?!\w)")
