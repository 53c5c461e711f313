"""Where a store lies: an address given, one from the environment, or the platform's own data folder."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs
import sqlalchemy as sa
from sqlalchemy.exc import ArgumentError

from keelmark.contracts.errors import StoreError

__all__ = ["ENVIRONMENT_VARIABLE", "default_path", "shown", "store_address"]

ENVIRONMENT_VARIABLE = "KEELMARK_DB"
_WANTED = "a file such as squad.db, sqlite:///squad.db, or postgresql://user@host/name"


def default_path() -> Path:
    """The file that is used when nobody names another."""
    return platformdirs.user_data_path("keelmark") / "squad.db"


def store_address(given: str | Path | None) -> sa.URL:
    """The address of a store.

    Parameters
    ----------
    given : str, Path or None
        A file, any SQLAlchemy address, or None for the environment variable KEELMARK_DB and then the default file.

    Raises
    ------
    StoreError
        When the text is no address, or names a kind of database that is not supported.
    """
    text = str(given or os.environ.get(ENVIRONMENT_VARIABLE) or default_path())
    if "://" not in text:
        return sa.URL.create("sqlite", database=str(Path(text).expanduser()))
    try:
        url = sa.make_url(text)
    except (ArgumentError, ValueError) as error:
        raise StoreError(
            "this is not the address of a database",
            where=f"address {text.split('@')[-1]}",
            wanted=_WANTED,
            remedy="check the address for missing or doubled signs",
        ) from error
    if url.get_backend_name() not in ("sqlite", "postgresql"):
        raise StoreError(
            f"'{url.drivername}' is not a kind of database that keelmark can use",
            where=f"address {shown(url)}",
            wanted=_WANTED,
            remedy="use a file, or an address that starts with sqlite:// or postgresql://",
        )
    return url


def shown(url: sa.URL) -> str:
    """An address as it may be shown: without its password."""
    if url.get_backend_name() == "sqlite":
        return url.database or "in memory"
    return url.render_as_string(hide_password=True)
