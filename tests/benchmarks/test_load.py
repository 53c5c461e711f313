"""Many at once get answers and no errors; times are printed by `python -m tests.benchmarks.load`, not judged here."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benchmarks.load import run


@pytest.mark.slow
def test_a_few_seconds_of_many_at_once_bring_no_error(tmp_path: Path) -> None:
    load = run(f"sqlite:///{tmp_path / 'squad.db'}", seconds=3.0, people=8, coaches=2)
    assert load.errors == []
    assert load.times["check-in"]
    assert load.times["page"]
    assert load.kept == len(load.times["check-in"]), "each check-in that was answered is kept"
