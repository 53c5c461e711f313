"""Bring a database to the program's schema, or say why that cannot be done."""

from __future__ import annotations

from importlib.resources import as_file, files

import sqlalchemy as sa
from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory

from keelmark.contracts.errors import StoreError
from keelmark.store.address import shown
from keelmark.store.engine import WRITE

__all__ = ["VERSION_TABLE", "knows_schema", "migrate", "migrate_within", "newest_schema", "schema_of"]

VERSION_TABLE = "keelmark_schema"


def newest_schema() -> str:
    """The schema that this program writes."""
    head = _scripts(Config()).get_current_head()
    assert head is not None
    return head


def knows_schema(name: str) -> bool:
    """Whether this program has the migration that made a schema."""
    return name in {script.revision for script in _scripts(Config()).walk_revisions()}


def schema_of(engine: sa.Engine) -> str | None:
    """The schema of a database; None while it is empty.

    Raises
    ------
    StoreError
        When it holds tables of another program, or of a newer keelmark.
    """
    with engine.connect() as connection:
        tables = sa.inspect(connection).get_table_names()
        if VERSION_TABLE not in tables:
            if tables:
                raise _foreign(engine, tables)
            return None
        found = connection.execute(sa.text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
    if found is not None and not knows_schema(found):
        raise StoreError(
            f"its schema '{found}' was made by a newer keelmark",
            where=f"store {shown(engine.url)}",
            wanted=f"schema '{newest_schema()}' or older",
            remedy="bring keelmark up to date, then open it again; nothing was changed",
        )
    return found


def migrate(engine: sa.Engine, target: str = "head") -> None:
    """Change a database to a schema, as one transaction.

    Parameters
    ----------
    engine : Engine
        Of an empty database or one that keelmark made.
    target : str
        A schema's name, `head` for the newest, or `base` for none.
    """
    with engine.connect().execution_options(**WRITE) as connection, connection.begin():
        migrate_within(connection, target)


def migrate_within(connection: sa.Connection, target: str = "head") -> None:
    """Change a database to a schema inside a transaction that the caller has begun; see `migrate`."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql("SELECT pg_advisory_xact_lock(7303014)")
    config = Config()
    config.attributes["connection"] = connection
    _place_scripts(config)
    older = target == "base" or target in _older_than_current(connection)
    (command.downgrade if older else command.upgrade)(config, target)


def _older_than_current(connection: sa.Connection) -> set[str]:
    if not sa.inspect(connection).has_table(VERSION_TABLE):
        return set()
    current = connection.execute(sa.text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
    if current is None:
        return set()
    scripts = _scripts(Config())
    return {script.revision for script in scripts.iterate_revisions(current, "base")} - {current}


def _scripts(config: Config) -> ScriptDirectory:
    _place_scripts(config)
    return ScriptDirectory.from_config(config)


def _place_scripts(config: Config) -> None:
    with as_file(files("keelmark.store") / "migrations") as folder:
        config.set_main_option("script_location", str(folder).replace("%", "%%"))


def _foreign(engine: sa.Engine, tables: list[str]) -> StoreError:
    return StoreError(
        f"it holds tables of another program ({', '.join(sorted(tables)[:3])})",
        where=f"store {shown(engine.url)}",
        wanted="an empty database, or one that keelmark made",
        remedy="name another file or database with --db; nothing was changed",
    )
