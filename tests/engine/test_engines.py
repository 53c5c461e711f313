"""Whichever engine works the parts out, and whatever happens to a worker: the same figures to the last bit."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import polars as pl
import pytest

from keelmark.contracts.errors import CatalogueError, SettingError
from keelmark.engine import Tables, read_manifest, run_figures, write_partitions
from tests.engine.conftest import CATALOGUE, LAST, apart, squads, whole_house, written


def test_parts_give_what_the_whole_house_gives(tables: Tables, parts: str, tmp_path: Path) -> None:
    outcome = run_figures(parts, str(tmp_path), CATALOGUE)
    whole = whole_house(tables)
    assert written(tmp_path).equals(whole, null_equal=True)
    assert (outcome.rows, outcome.efforts) == (whole.height, tables.efforts.height)
    assert whole["ratio_coupled_low"].is_not_null().any(), "no missing day was filled, so groups were not tried"


def test_threads_and_one_thread_write_the_same_bytes(parts: str, tmp_path: Path) -> None:
    several = run_figures(parts, str(tmp_path / "2"), CATALOGUE, workers=2)
    assert run_figures(parts, str(tmp_path / "1"), CATALOGUE, workers=1) == several


def test_a_cluster_started_for_the_run(parts: str, tmp_path: Path) -> None:
    """Two worker processes."""
    here = run_figures(parts, str(tmp_path / "here"), CATALOGUE)
    there = run_figures(parts, str(tmp_path / "there"), CATALOGUE, engine="dask", workers=2)
    assert there == here
    assert written(tmp_path / "there").equals(written(tmp_path / "here"), null_equal=True)


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers, each started by a command of its own."""
    address = tmp_path / "scheduler.json"
    quiet = {**os.environ, "DASK_DISTRIBUTED__ADMIN__LOG_LENGTH": "0"}

    def started(*words: str) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "dask", *words, "--scheduler-file", str(address)]
        return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=quiet)

    scheduler = started("scheduler", "--port", "0", "--host", "127.0.0.1", "--no-dashboard", "--no-show")
    options = ("--nthreads", "1", "--no-nanny", "--no-dashboard", "--local-directory", str(tmp_path))
    workers = [started("worker", *options) for _ in range(2)]
    try:
        from distributed import Client

        with Client(scheduler_file=str(address), timeout="30s") as client:
            client.wait_for_workers(2, timeout=30)
        yield json.loads(address.read_text())["address"], workers
    finally:
        for process in (*workers, scheduler):
            process.kill()
            process.wait()


def test_workers_of_another_start_and_one_that_is_killed(
    cluster: tuple[str, list[subprocess.Popen[bytes]]], tmp_path: Path
) -> None:
    """The first run is left in peace; in the second a worker is killed once two parts are done."""
    address, workers = cluster
    several = (squads(8, seed) for seed in range(5))
    source = str(tmp_path / "in")
    write_partitions(apart(several), source, buckets=1_000, last=LAST)
    buckets = len(read_manifest(source).buckets)
    assert buckets >= 12
    here = run_figures(source, str(tmp_path / "here"), CATALOGUE)
    peace = run_figures(source, str(tmp_path / "peace"), CATALOGUE, engine="dask", scheduler=address)
    killed: list[int] = []

    def kill_one(done: int, of: int) -> None:
        if done == 2 and not killed:
            killed.append(of - done)
            workers[0].send_signal(signal.SIGKILL)

    through = run_figures(
        source, str(tmp_path / "through"), CATALOGUE, engine="dask", scheduler=address, progress=kill_one
    )
    assert killed == [buckets - 2]
    assert workers[0].wait(10) == -signal.SIGKILL
    assert here == peace == through


def test_a_fault_of_the_figures_ends_the_run_and_leaves_no_summary(tables: Tables, tmp_path: Path) -> None:
    odd = replace(tables, efforts=tables.efforts.with_columns(movement=pl.lit("plank_walk_on_water")))
    write_partitions(odd, str(tmp_path / "in"), last=LAST)
    with pytest.raises(CatalogueError, match="is not in the catalogue"):
        run_figures(str(tmp_path / "in"), str(tmp_path / "out"), CATALOGUE)
    assert not (tmp_path / "out" / "figures.json").exists()


@pytest.mark.parametrize(
    ("options", "found"),
    [
        ({"engine": "steam"}, "'steam' is not an engine"),
        ({"engine": "dask", "scheduler": "no such place"}, "no scheduler answers at no such place"),
    ],
)
def test_what_cannot_be_run_is_refused(options: dict[str, str], found: str, parts: str, tmp_path: Path) -> None:
    with pytest.raises(SettingError) as refused:
        run_figures(parts, str(tmp_path), CATALOGUE, **options)
    assert refused.value.found == found


def test_a_finished_run_is_not_written_over(parts: str, tmp_path: Path) -> None:
    run_figures(parts, str(tmp_path), CATALOGUE, plain=True)
    with pytest.raises(SettingError, match="holds the figures of a finished run"):
        run_figures(parts, str(tmp_path), CATALOGUE, plain=True)
