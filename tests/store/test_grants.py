"""Serving from PostgreSQL with the least rights: rows are read and written, tables and the trail cannot be changed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.service.accounts import Accounts
from keelmark.store import Store, verify
from keelmark.store.grants import grant_rows
from tests.store.conftest import new_postgresql_database
from tests.store.made import effort, efforts, save, squad


@pytest.fixture
def database(postgresql: str) -> Iterator[str]:
    yield from new_postgresql_database(postgresql)


@pytest.fixture
def served(database: str) -> Iterator[str]:
    """The address of a store for a role that may only serve it."""
    with Store.open(database) as store:
        save(store, athletes=squad("bo"), efforts=efforts(effort()))
    engine = sa.create_engine(database, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql("CREATE ROLE serving LOGIN")
    grant_rows(database, "serving")
    yield engine.url.set(username="serving").render_as_string(hide_password=False)
    with engine.connect() as connection:
        connection.exec_driver_sql("DROP OWNED BY serving")
        connection.exec_driver_sql("DROP ROLE serving")
    engine.dispose()


def test_the_store_works_with_these_rights(served: str) -> None:
    with Store.open(served) as store:
        before = store.revision
        Accounts(store).add("Rowena", "owner", "four dry ropes on deck")
        save(store, "another log", athletes=squad("ida"), efforts=efforts(effort(athlete="ida")))
        assert store.revision > before
        assert not [fault for verdict in verify(store) for fault in verdict.faults]


@pytest.mark.parametrize(
    "statement",
    ["CREATE TABLE more (one integer)", "DROP TABLE effort", "ALTER TABLE effort ADD COLUMN more integer",
     "TRUNCATE effort", "UPDATE trail SET who = 'nobody'", "DELETE FROM trail",
     "UPDATE keelmark_schema SET version_num = '0001'"],
)  # fmt: skip
def test_nothing_else_is_possible(served: str, statement: str) -> None:
    engine = sa.create_engine(served)
    with pytest.raises(sa.exc.ProgrammingError, match=r"permission denied|must be owner"), engine.begin() as connection:
        connection.exec_driver_sql(statement)
    engine.dispose()


def test_a_file_and_an_unknown_role_are_refused(tmp_path: Path, database: str) -> None:
    with pytest.raises(StoreError, match="a file has no accounts"):
        grant_rows(tmp_path / "squad.db", "serving")
    with pytest.raises(StoreError, match="has no role 'nobody; DROP TABLE effort'"):
        grant_rows(database, "nobody; DROP TABLE effort")
