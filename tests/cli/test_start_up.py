"""The command line answers at once: nothing heavy is imported before a command needs it."""

from __future__ import annotations

import subprocess
import sys

HEAVY = (
    "dash",
    "dask",
    "distributed",
    "fsspec",
    "numpy",
    "pandas",
    "plotly",
    "polars",
    "pyarrow",
    "scipy",
    "sqlalchemy",
)


def test_help_imports_nothing_heavy() -> None:
    """Libraries that take from 20 to 500 ms each to import (measured with -X importtime)."""
    told = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "keelmark", "--help"], capture_output=True, text=True, check=True
    )
    imported = {line.rpartition("|")[2].strip() for line in told.stderr.splitlines()}
    assert "typer" in imported
    assert not imported & set(HEAVY)
    assert "Usage" in told.stdout
