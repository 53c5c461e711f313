"""What the tests of reading share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import polars as pl
import pytest

from keelmark.catalogue import Catalogue, shipped_catalogue
from keelmark.contracts.frames import ATHLETE
from keelmark.ingest import LogOptions, LogReading, read_log

LOGS = Path(__file__).parent.parent / "corpus" / "logs"
TODAY = dt.date(2026, 11, 25)


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return shipped_catalogue()


@pytest.fixture
def write(tmp_path: Path) -> Callable[..., Path]:
    """Write text or bytes under a name and return the path."""

    def _write(content: str | bytes, name: str = "log.csv", encoding: str = "utf-8") -> Path:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode(encoding))
        return path

    return _write


@pytest.fixture
def read(write: Callable[..., Path], catalogue: Catalogue) -> Callable[..., LogReading]:
    """Read a log given as text or bytes, with a fixed today."""

    def _read(
        content: str | bytes | Path,
        *,
        name: str = "log.csv",
        roster: pl.DataFrame | None = None,
        mapping: Path | None = None,
        **options: object,
    ) -> LogReading:
        path = content if isinstance(content, Path) else write(content, name)
        settings = LogOptions(**{"today": TODAY, **options})  # type: ignore[arg-type]
        return read_log(path, catalogue=catalogue, roster=roster, mapping=mapping, options=settings)

    return _read


def people(*names: str, **more: object) -> pl.DataFrame:
    """An ATHLETE table of these names."""
    return ATHLETE.build([{"athlete_id": name.casefold(), "name": name, **more} for name in names])


def reasons(reading: LogReading) -> dict[int, list[str]]:
    """Row to reasons of the quarantined rows."""
    return {entry["row"]: entry["reasons"] for entry in reading.as_json()["quarantined"]}


def codes(reading: LogReading) -> set[str]:
    """Codes of the warnings about the file."""
    return {warning.code for warning in reading.warnings}
