"""One process, a plain pool of two processes, and Dask with two workers on the same parts.

    python -m tests.benchmarks.engines [--efforts 12e6] [--parts 32] [--runs 5] [--json FILE] [--whole]

Each of them does what `keelmark figures IN OUT --plain` does: reads every part, works its figures out, writes them; and
each is checked to have read all efforts and to have written the same bytes. In turns, medians of the clock; workers are
started before and warmed up by a run of their own, so that what is timed is the work. Each process keeps to one thread
of the libraries and one of its own, so that two of them have two processors at most.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from datetime import timedelta
from multiprocessing import get_context
from pathlib import Path
from typing import Any

os.environ.update(dict.fromkeys(("POLARS_MAX_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1"))

import polars as pl
from distributed import Client, LocalCluster

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import DAY_STATE, REP_MAXIMUM, SESSION
from keelmark.engine import Tables, Work, read_manifest, run_figures, write_partitions
from keelmark.engine.work import Done, work_on
from keelmark.load import LoadSettings
from tests.benchmarks.made_up import DAYS, MONDAY, people, write_log

__all__ = ["main"]

GOALS = {"dask to one process": 1.75, "dask to pool": 0.95}
LAST = MONDAY + timedelta(days=DAYS - 1)


def _parts(log: Path) -> Iterator[Tables]:
    """A log's files as squads of twenty, which the parts keep together."""
    for file in sorted(log.glob("*.parquet")):
        efforts = pl.read_parquet(file)
        first = int(efforts["athlete_id"][0][1:])
        athletes = people(first + efforts["athlete_id"].n_unique())[first:]
        yield Tables(athletes, efforts, SESSION.empty(), REP_MAXIMUM.empty(), DAY_STATE.empty())


def _one(task: tuple[Work, int]) -> Done:
    return work_on(*task)


def main() -> int:
    """Run it as asked and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--efforts", type=float, default=12e6)
    options.add_argument("--parts", type=int, default=32)
    options.add_argument("--runs", type=int, default=5)
    options.add_argument("--json", type=Path)
    options.add_argument("--whole", action="store_true", help="All figures with bounds, in place of plain ones.")
    asked = options.parse_args()
    with tempfile.TemporaryDirectory(prefix="keelmark-engines-") as name:
        folder = Path(name)
        write_log(folder / "log", asked.efforts)
        source = str(folder / "in")
        manifest = write_partitions(_parts(folder / "log"), source, buckets=asked.parts, last=LAST, quiet_days="rest")
        shutil.rmtree(folder / "log")
        seconds = _timed(folder, source, asked.runs, plain=not asked.whole)
    medians = {name: statistics.median(several) for name, several in seconds.items()}
    told = {
        "efforts": sum(manifest.efforts), "parts": len(manifest.buckets), "load": os.getloadavg(), "seconds": seconds,
        "medians": medians, "dask to one process": medians["one process"] / medians["Dask, 2 workers"],
        "dask to pool": medians["pool of 2"] / medians["Dask, 2 workers"],
    }  # fmt: skip
    print(f"{told['efforts']:,} efforts in {told['parts']} parts")
    for name, middle in medians.items():
        print(f"| {name:>15} | {middle:6.2f} s |")
    for name, goal in GOALS.items():
        print(f"{name}: {told[name]:.2f} times as fast (goal {goal:g}, {'kept' if told[name] >= goal else 'NOT kept'})")
    if asked.json:
        asked.json.write_text(json.dumps(told))
    return 0


def _timed(folder: Path, source: str, runs: int, *, plain: bool) -> dict[str, list[float]]:
    catalogue, manifest = shipped_catalogue(), read_manifest(source)
    settings = LoadSettings(until=manifest.last, quiet_days="rest")
    seconds: dict[str, list[float]] = {"one process": [], "pool of 2": [], "Dask, 2 workers": []}
    cluster = LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None)
    with cluster, Client(cluster), ProcessPoolExecutor(2, get_context("spawn")) as pool:

        def pooled(target: str) -> list[Done]:
            files = dict(zip(manifest.buckets, manifest.files, strict=True))
            work = Work(source, target, files, catalogue, settings, plain)
            return list(pool.map(_one, [(work, bucket) for bucket in manifest.buckets]))

        def run(engine: str, **more: Any) -> Callable[[str], list[Done]]:
            return lambda target: list(run_figures(source, target, catalogue, engine=engine, plain=plain, **more).done)

        ways = {
            "one process": run("local", workers=1),
            "pool of 2": pooled,
            "Dask, 2 workers": run("dask", scheduler=cluster.scheduler_address),
        }
        first: list[Done] = []
        for turn in range(runs + 1):
            for name, way in ways.items():
                target = str(folder / f"{name} {turn}")
                start = time.perf_counter()
                done = way(target)
                first = first or done
                assert done == first
                assert sum(one.efforts for one in done) == sum(manifest.efforts)
                if turn:
                    seconds[name].append(time.perf_counter() - start)
                    print(f"{turn} {name}: {seconds[name][-1]:.2f} s", flush=True)
                shutil.rmtree(target)
    return seconds


if __name__ == "__main__":
    sys.exit(main())
