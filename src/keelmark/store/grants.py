"""The least rights that serving a PostgreSQL store needs: rows, no tables, and a trail that is only added to."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store.address import shown, store_address
from keelmark.store.engine import make_engine
from keelmark.store.faults import told_plainly
from keelmark.store.migrate import VERSION_TABLE
from keelmark.store.trail_schema import trail
from keelmark.store.whole_tables import kept_tables

__all__ = ["grant_rows"]


def grant_rows(url: str | Path | None, role: str) -> list[str]:
    """Give a role of the database what serving needs and take anything else; gives the statements.

    Run it as the account that made the tables, and again after a newer keelmark has changed them.

    Raises
    ------
    StoreError
        When the store is no PostgreSQL database, or there is no such role.
    """
    address = store_address(url)
    if address.get_backend_name() != "postgresql":
        raise StoreError(
            "a file has no accounts of its own",
            where=f"store {shown(address)}",
            wanted="a PostgreSQL database",
            remedy="let the file belong to the account that serves the pages, and to nobody else",
        )
    engine = make_engine(address, wait_s=5.0)
    try:
        with told_plainly(address), engine.begin() as connection:
            known = sa.text("SELECT 1 FROM pg_roles WHERE rolname = :role")
            if connection.execute(known, {"role": role}).first() is None:
                raise StoreError(
                    f"the database has no role '{role}'",
                    where=f"store {shown(address)}",
                    wanted="a role that may sign in to the database",
                    remedy="make it first: CREATE ROLE name LOGIN PASSWORD '...'",
                )
            statements = _statements(connection, engine.dialect.identifier_preparer.quote(role))
            for statement in statements:
                connection.exec_driver_sql(statement)
        return statements
    finally:
        engine.dispose()


def _statements(connection: sa.Connection, role: str) -> list[str]:
    rights = {table.name: "SELECT, INSERT, UPDATE, DELETE" for table in kept_tables(connection)}
    rights |= {trail.name: "SELECT, INSERT", VERSION_TABLE: "SELECT"}
    quote = connection.dialect.identifier_preparer.quote
    return [
        f"REVOKE ALL ON ALL TABLES IN SCHEMA public FROM {role}",
        f"REVOKE CREATE ON SCHEMA public FROM PUBLIC, {role}",
        f"GRANT USAGE ON SCHEMA public TO {role}",
        *(f"GRANT {what} ON {quote(table)} TO {role}" for table, what in sorted(rights.items())),
    ]
