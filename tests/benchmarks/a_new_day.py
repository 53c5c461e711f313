"""A new day of 500 athletes with three years behind them: going on, beside working everything out anew.

    python -m tests.benchmarks.a_new_day [--athletes 500] [--runs 9] [--json FILE]

Told are medians of the clock and of the processor in milliseconds, from the day's efforts to the figures of all weeks;
the two are checked to have the same bits first.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import numpy as np
import polars as pl

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import DAY_STATE
from keelmark.dose.amounts import AMOUNT_COLUMNS, daily_amounts
from keelmark.load import LoadSettings
from keelmark.load.running import begin, go_on
from tests.benchmarks.made_up import DAYS, EFFORTS_EACH, MONDAY, people, write_log

__all__ = ["main"]


def main() -> int:
    """Run it as asked and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--athletes", type=int, default=500)
    options.add_argument("--runs", type=int, default=9)
    options.add_argument("--json", type=Path)
    asked = options.parse_args()
    with tempfile.TemporaryDirectory(prefix="keelmark-day-") as folder:
        write_log(Path(folder), asked.athletes * EFFORTS_EACH)
        efforts = pl.read_parquet(Path(folder) / "*.parquet", columns=list(AMOUNT_COLUMNS))
    last, catalogue, nobody, states = (
        MONDAY + timedelta(days=DAYS - 1),
        shipped_catalogue(),
        people(0),
        DAY_STATE.empty(),
    )
    day = last - timedelta(days=1)
    settings = LoadSettings(quiet_days="rest", until=day)
    start = day - timedelta(days=day.weekday() + 35)
    before = begin(
        daily_amounts(efforts.filter(pl.col("date") < day), catalogue), nobody, states,
        LoadSettings(quiet_days="rest", until=day - timedelta(days=1)),
    )  # fmt: skip
    known, late = efforts.filter(pl.col("date") <= day), efforts.filter(pl.col("date").is_between(start, day))
    ways = {
        "going on": lambda: go_on(before, daily_amounts(late, catalogue), nobody, states, settings, day),
        "all anew": lambda: begin(daily_amounts(known, catalogue), nobody, states, settings),
    }
    went_on, anew = (way() for way in ways.values())
    assert went_on is not None
    for name, figure in anew.figures.items():
        np.testing.assert_array_equal(went_on.figures[name], figure)
    new = late.filter(pl.col("date") == day).height
    print(f"{asked.athletes} athletes, {known.height:,} efforts, {new:,} of them new")
    medians = _timed(ways, asked.runs)
    for name, (clock, busy) in medians.items():
        print(f"{name}: {clock:.0f} ms, {busy:.0f} ms of the processor")
    if asked.json:
        told = {name: {"clock_ms": clock, "processor_ms": busy} for name, (clock, busy) in medians.items()}
        asked.json.write_text(
            json.dumps({"athletes": asked.athletes, "efforts": known.height, "medians": told}, indent=1)
        )
    return 0


def _timed(ways: dict[str, Callable[[], object]], runs: int) -> dict[str, tuple[float, float]]:
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in ways}
    for _ in range(runs):
        for name, way in ways.items():
            clock, busy = time.perf_counter(), time.process_time()
            way()
            times[name].append((1000 * (time.perf_counter() - clock), 1000 * (time.process_time() - busy)))
    return {name: tuple(map(statistics.median, zip(*several, strict=True))) for name, several in times.items()}


if __name__ == "__main__":
    sys.exit(main())
