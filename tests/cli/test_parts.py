"""Parts and their figures as they are typed."""

from __future__ import annotations

import json
from pathlib import Path

import polars as pl

from tests.cli.test_commands import Run, log, run

__all__ = ["log", "run"]


def test_parts_of_a_squad_and_their_figures(run: Run, log: Path, tmp_path: Path) -> None:
    run("ingest", log)
    source, target = tmp_path / "in", tmp_path / "out"
    assert run("parts", source, "--buckets", 4)[:2] == (
        0,
        f"2 efforts in 1 part. Next: keelmark figures {source} OUT\n",
    )
    code, out, err = run("figures", source, target, "--json")
    told = json.loads(out)
    assert (code, err) == (0, "")
    (file,) = target.glob("weekly/*/*.parquet")
    assert told == {"folder": str(target), "efforts": 2, "rows": pl.read_parquet(file).height}
    code, out, err = run("figures", source, target)
    assert code == 2
    assert "holds the figures of a finished run" in err


def test_one_folder_is_not_enough(run: Run, tmp_path: Path) -> None:
    code, _, err = run("figures", tmp_path)
    assert code == 2
    assert "give both, or none for the figures of your own squad" in err
