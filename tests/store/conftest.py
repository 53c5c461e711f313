"""Each test of the store runs on SQLite, and on PostgreSQL where the `pgserver` wheel is installed."""

from __future__ import annotations

import importlib.util
import itertools
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from keelmark.store import Store

_numbers = itertools.count()


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """The address of a PostgreSQL server of our own, reached by a socket in a folder of its own.

    The folder is not one of pytest's: where an administrator runs the tests the server runs as another user, and each
    start of pytest shuts other users out of its folders.
    """
    if importlib.util.find_spec("pgserver") is None:
        pytest.skip("PostgreSQL is not tested: install the wheel 'pgserver', it is part of keelmark's test extra")
    import pgserver

    with tempfile.TemporaryDirectory(prefix="keelmark-pg-", ignore_cleanup_errors=True) as folder:
        server = pgserver.get_server(folder)
        yield server.get_uri()
        server.cleanup()


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of an empty database."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'squad.db'}"
        return
    yield from new_postgresql_database(request.getfixturevalue("postgresql"))


def new_postgresql_database(server: str) -> Iterator[str]:
    """A database on the server that is dropped afterwards."""
    name = f"squad_{next(_numbers)}"
    engine = sa.create_engine(server, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    yield engine.url.set(database=name).render_as_string(hide_password=False)
    with engine.connect() as connection:
        connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")
    engine.dispose()


@pytest.fixture
def store(address: str) -> Iterator[Store]:
    """An empty store."""
    with Store.open(address) as opened:
        yield opened
