"""Benchmarks run on purpose only: `pytest tests/benchmarks --benchmark-only -s`."""

from __future__ import annotations

from pathlib import Path

import pytest


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    return None if config.getoption("--benchmark-only", default=False) else True
