"""The schema is built by migrations, which can be taken back, and is the one that the tables describe."""

from __future__ import annotations

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from keelmark.store import Store
from keelmark.store.access_schema import ACCESS_METADATA
from keelmark.store.address import store_address
from keelmark.store.engine import make_engine
from keelmark.store.health_schema import HEALTH_METADATA
from keelmark.store.migrate import VERSION_TABLE, migrate, newest_schema, schema_of
from keelmark.store.rights_schema import RIGHTS_METADATA
from keelmark.store.schema import METADATA
from keelmark.store.trail_schema import TRAIL_METADATA
from tests.store.made import effort, efforts, save, squad


@pytest.fixture
def engine(address: str) -> sa.Engine:
    return make_engine(store_address(address), wait_s=5.0)


def test_migrations_build_what_the_tables_describe(engine: sa.Engine) -> None:
    migrate(engine)
    with engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"version_table": VERSION_TABLE, "compare_type": True, "compare_server_default": True}
        )
        assert (
            compare_metadata(context, [METADATA, HEALTH_METADATA, ACCESS_METADATA, TRAIL_METADATA, RIGHTS_METADATA])
            == []
        )


def test_up_and_down_and_up_again(engine: sa.Engine) -> None:
    assert schema_of(engine) is None
    migrate(engine)
    assert schema_of(engine) == newest_schema()
    migrate(engine, "base")
    with engine.connect() as connection:
        assert set(sa.inspect(connection).get_table_names()) <= {VERSION_TABLE}
    migrate(engine)
    assert schema_of(engine) == newest_schema()


def test_a_store_that_is_up_to_date_is_not_written_to(address: str) -> None:
    with Store.open(address) as store:
        save(store, athletes=squad("bo"), efforts=efforts(effort()))
        before = store.revision
    with Store.open(address) as store:
        assert store.revision == before


def test_a_migration_that_fails_half_way_leaves_the_database_as_it_was(
    engine: sa.Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    from alembic.operations import Operations

    made: list[str] = []
    create = Operations.create_table

    def create_some(self: Operations, name: str, *columns: object, **more: object) -> object:
        made.append(name)
        if len(made) == 5:
            raise RuntimeError("the power went")
        return create(self, name, *columns, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Operations, "create_table", create_some)
    with pytest.raises(RuntimeError, match="the power went"):
        migrate(engine)
    with engine.connect() as connection:
        assert sa.inspect(connection).get_table_names() == []


def test_health_tables_stand_apart_from_load_tables() -> None:
    load, health = set(METADATA.tables), set(HEALTH_METADATA.tables)
    assert not load & health
    assert all(name.startswith("health_") for name in health)
    assert not [key for table in HEALTH_METADATA.tables.values() for key in table.foreign_keys]
    assert not [name for name in load if "health" in name or "check_in" in name]
