"""All windowed figures of a made-up log, beside pandas, polars, DuckDB, and the least that anybody must do.

    python -m tests.benchmarks.figures [--efforts 1.9e6 12e6 50e6] [--runs 5] [--rivals polars] [--json FILE]

Every run is a process of its own, in turns; medians are told, of the clock and of the processor, and goals are held
against the clock. `--rivals` names those to run against; none if nothing follows it. Before anything is timed, all give
the same figures to 1e-9. `keelmark` and `with usual` work file by file on the engine's own threads, one for each
processor unless `--threads` says otherwise, and hand the figures of each file on; the others use as many threads as
they do by themselves, and the floor keeps its daily sums. Told beside the times is how many processors other programs
used meanwhile, where the system says so. Made-up files lie in a temporary folder until the end.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
from scipy import stats

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import DAY_STATE
from keelmark.dose.amounts import AMOUNT_COLUMNS, daily_amounts
from keelmark.engine.local import on_threads
from keelmark.load import LoadSettings
from keelmark.load.plain import plain_figures
from tests.benchmarks.effort_references import KEYS, RIVALS, floor
from tests.benchmarks.made_up import DAYS, MONDAY, WEEKS, athletes_of, people, write_log
from tests.benchmarks.references import COLUMNS

__all__ = ["blocks", "main", "slope"]

GOALS = {"pandas": 9.0, "polars": 13.0, "DuckDB": 5.0}
MOST_RIVALS, MOST_USUAL = 3e6, 2e7
"""Largest logs that the others, and the range of past weeks, are tried on: beyond lie hours, or too much memory."""
FLOOR_GOALS = {1.9e6: (3.0, None), 12e6: (2.2, 4.0), 50e6: (1.4, None)}


def blocks(folder: Path, *, usual: bool = False, threads: int | None = None) -> Iterator[pl.DataFrame]:
    """keelmark's figures, block by block, on the engine's threads."""
    for several in on_threads(partial(_of_file, usual=usual), sorted(folder.glob("*.parquet")), threads):
        while several:
            yield several.pop()


def _of_file(file: Path, *, usual: bool) -> list[pl.DataFrame]:
    amounts = daily_amounts(pl.read_parquet(file, columns=list(AMOUNT_COLUMNS)), shipped_catalogue())
    return list(plain_figures(amounts, people(0), DAY_STATE.empty(), LoadSettings(quiet_days="rest"), usual=usual))


def _work(name: str, folder: Path, threads: int | None) -> int:
    if name == "floor":
        return floor(folder)
    if name in RIVALS:
        return RIVALS[name](folder).height
    return sum(frame.height for frame in blocks(folder, usual=name == "with usual", threads=threads))


def _child(name: str, folder: Path, small: Path, threads: int | None) -> None:
    """One run in this process, after a small one that loads what is loaded late."""
    _work(name, small, threads)
    clock, busy = time.perf_counter(), time.process_time()
    rows = _work(name, folder, threads)
    told = {"clock": time.perf_counter() - clock, "busy": time.process_time() - busy, "rows": rows}
    print(json.dumps({**told, "memory": _peak()}))


def _peak() -> float:
    """Most memory that this process held [MB]; the kernel's other figure begins with that of the process before it."""
    status = Path("/proc/self/status")
    if status.exists():
        (line,) = [line for line in status.read_text().splitlines() if line.startswith("VmHWM")]
        return float(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _run(name: str, folder: Path, small: Path, threads: int | None) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.benchmarks.figures", "--child", name, str(folder), str(small)]
    command += [] if threads is None else ["--threads", str(threads)]
    start, before = time.perf_counter(), _busy()
    found = subprocess.run(command, capture_output=True, text=True, check=True)
    others = max(0.0, _busy() - before) / (time.perf_counter() - start)
    return {**json.loads(found.stdout.splitlines()[-1]), "others": others}


def _busy() -> float:
    """Processor seconds that everything but this process and its finished children had so far; 0 where not told."""
    told = Path("/proc/stat")
    if not told.exists():
        return 0.0
    user, nice, system = (int(ticks) for ticks in told.read_text().split()[1:4])
    return (user + nice + system) / os.sysconf("SC_CLK_TCK") - sum(os.times()[:4])


def check_equal(folder: Path) -> None:
    """keelmark's figures and everybody else's, to 1e-9 wherever keelmark gives one."""
    athletes = len(pl.scan_parquet(folder / "*.parquet").select(pl.col("athlete_id").unique()).collect())
    ours = _laid_out(
        pl.concat(
            frame.with_columns(
                athlete=pl.col("athlete_id").cast(pl.String).str.slice(1).cast(pl.Int64),
                channel=pl.col("channel").cast(pl.String).replace_strict({key: at for at, key in enumerate(KEYS)}),
                week=(pl.col("monday") - pl.lit(MONDAY)).dt.total_days() // 7,
            ).drop("athlete_id", "monday")
            for frame in blocks(folder)
        ),
        athletes,
    )
    for name, rival in RIVALS.items():
        theirs = _laid_out(rival(folder), athletes)
        for column in COLUMNS:
            given = ~np.isnan(ours[column])
            assert given.mean() > 0.5, column
            np.testing.assert_allclose(
                ours[column][given], theirs[column][given], rtol=1e-9, atol=1e-9, err_msg=f"{name} {column}"
            )


def _laid_out(frame: pl.DataFrame, athletes: int) -> dict[str, np.ndarray]:
    place = tuple(frame[name].cast(pl.Int64).to_numpy() for name in ("athlete", "channel", "week"))
    found = {}
    for name in COLUMNS:
        found[name] = np.full((athletes, len(KEYS), WEEKS), np.nan)
        found[name][place] = frame[name].cast(pl.Float64).to_numpy()
    return found


def slope(sizes: list[float], times: list[float]) -> tuple[float, float, float]:
    """Exponent of time over size by regression of logarithms, with its 95 % interval."""
    line = stats.linregress(np.log(sizes), np.log(times))
    half = stats.t.ppf(0.975, len(sizes) - 2) * line.stderr
    return float(line.slope), float(line.slope - half), float(line.slope + half)


def cost_of(efforts: float, sizes: list[float], times: list[float]) -> dict[str, float]:
    """Seconds for a million efforts by a line fitted to relative errors, and what it predicts (95 % interval)."""
    size, took = np.array(sizes) / 1e6, np.array(times)
    design, weight = np.column_stack([np.ones_like(size), size]), 1.0 / took
    scaled = design * weight[:, None]
    inverse = np.linalg.inv(scaled.T @ scaled)
    start, each = inverse @ scaled.T @ (took * weight)
    spread = float(np.sum((1.0 - scaled @ np.array([start, each])) ** 2) / (len(size) - 2))
    at = np.array([1.0, efforts / 1e6])
    guess = float(at @ np.array([start, each]))
    half = float(stats.t.ppf(0.975, len(size) - 2) * np.sqrt(spread * (at @ inverse @ at + guess**2)))
    return {
        "start": float(start),
        "per_million": float(each),
        "predicted": guess,
        "low": guess - half,
        "high": guess + half,
    }


def _measured(
    root: Path, efforts: list[float], runs: list[int], rivals: list[str], threads: int | None
) -> list[dict[str, Any]]:
    small = root / "small"
    write_log(small, 20_000)
    write_log(root / "check", 400_000)
    check_equal(root / "check")
    found = []
    for size, several_runs in zip(efforts, runs * len(efforts) if len(runs) == 1 else runs, strict=False):
        folder = root / f"{size:g}"
        rows = write_log(folder, size)
        names = ["keelmark", "floor", *(["with usual"] if size <= MOST_USUAL else [])]
        names += rivals if size <= MOST_RIVALS else []
        times: dict[str, list[dict[str, float]]] = {name: [] for name in names}
        for turn in range(several_runs):
            for name in names[turn % 2 :] + names[: turn % 2]:
                times[name].append(_run(name, folder, small, threads))
        for name, several in times.items():
            middle = {
                key: statistics.median(one[key] for one in several) for key in ("clock", "busy", "memory", "others")
            }
            found.append({"efforts": rows, "asked": size, "what": name, **middle, "runs": several})
            print(_line(found[-1]), flush=True)
        for file in folder.glob("*.parquet"):
            file.unlink()
    return found


def _line(one: dict[str, Any]) -> str:
    told = f"| {one['efforts'] / 1e6:6.1f} | {one['what']:>10} | {one['clock']:7.2f} | {one['busy']:7.2f} |"
    return f"{told} {one['memory']:6.0f} | {one['others']:6.2f} |"


def _summary(found: list[dict[str, Any]]) -> dict[str, Any]:
    by = {(one["asked"], one["what"]): one for one in found}
    least = min(one["asked"] for one in found)
    told: dict[str, Any] = {"load": os.getloadavg(), "processors": os.cpu_count(), "ratios": []}
    for name in GOALS:
        if (least, name) in by:
            ours, theirs = by[least, "keelmark"], by[least, name]
            ratio = {kind: theirs[kind] / ours[kind] for kind in ("clock", "busy")}
            kept = ratio["clock"] >= GOALS[name]
            told["ratios"].append(
                {"efforts": least, "what": f"{name} takes, times as long", "goal": GOALS[name], **ratio, "kept": kept}
            )
    for size in sorted({one["asked"] for one in found}):
        for name in [name for name in ("keelmark", "with usual") if (size, name) in by]:
            ratio = {kind: by[size, name][kind] / by[size, "floor"][kind] for kind in ("clock", "busy")}
            goals = FLOOR_GOALS.get(size, (None, None))
            goal = goals[0] if name == "keelmark" else goals[1]
            kept = None if goal is None else ratio["clock"] <= goal
            told["ratios"].append(
                {"efforts": size, "what": f"{name}, times the floor", "goal": goal, **ratio, "kept": kept}
            )
    runs = [(one["efforts"], run["clock"]) for one in found if one["what"] == "keelmark" for run in one["runs"]]
    sizes, times = [run[0] for run in runs], [run[1] for run in runs]
    if len(set(sizes)) > 1:
        told["exponent"] = slope(sizes, times)
        told["billion"] = cost_of(1e9, sizes, times)
    return told


def main() -> int:
    """Run it as asked and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--efforts", type=float, nargs="+", default=[1.9e6, 12e6, 50e6])
    options.add_argument("--runs", type=int, nargs="+", default=[5], help="One number, or one for each size.")
    options.add_argument("--rivals", nargs="*", choices=list(RIVALS), default=list(RIVALS))
    options.add_argument("--threads", type=int, help="Of keelmark; as many as there are processors if not given.")
    options.add_argument("--json", type=Path)
    options.add_argument("--child", nargs=3, help=argparse.SUPPRESS)
    asked = options.parse_args()
    if asked.child:
        _child(asked.child[0], Path(asked.child[1]), Path(asked.child[2]), asked.threads)
        return 0
    print(f"{athletes_of(max(asked.efforts)):,} athletes at most, {DAYS} days, {len(KEYS)} channels")
    print("| million efforts | what | clock, s | processor, s | memory, MB | others |\n" + "| ---: " * 6 + "|")
    with tempfile.TemporaryDirectory(prefix="keelmark-figures-") as folder:
        found = _measured(Path(folder), asked.efforts, asked.runs, asked.rivals, asked.threads)
    summary = _summary(found)
    for ratio in summary["ratios"]:
        goal = f" (goal {ratio['goal']:g}, {'kept' if ratio['kept'] else 'NOT kept'})" if ratio["goal"] else ""
        print(f"{ratio['efforts'] / 1e6:g} million: {ratio['what']}: clock {ratio['clock']:.2f}{goal}, "
              f"processor {ratio['busy']:.2f}")  # fmt: skip
    if "exponent" in summary:
        print("exponent {:.3f} ({:.3f} to {:.3f})".format(*summary["exponent"]))
        print("{start:.2f} s and {per_million:.3f} s by the clock for each million efforts; a billion would take "
              "{predicted:,.0f} s ({low:,.0f} to {high:,.0f})".format(**summary["billion"]))  # fmt: skip
    if asked.json:
        asked.json.write_text(json.dumps({"measured": found, **summary}, indent=1))
    return 0


if __name__ == "__main__":
    sys.exit(main())
