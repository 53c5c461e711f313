"""All benchmarks, one after another, with what each printed as one report and its figures as JSON.

    python -m tests.benchmarks FOLDER [--only figures engines …] [--list]

FOLDER then holds `<benchmark>.json` for each that gives JSON, `<benchmark>.txt` with what it printed, and `report.md`
with all of it. Run it on a quiet machine; all of them take about half an hour on two processors. It ends with 1 when
one of them failed.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from pathlib import Path

__all__ = ["BENCHMARKS", "main"]

BENCHMARKS = {
    "figures": ("weekly figures beside pandas, polars, DuckDB and the floor", True),
    "engines": ("one process, a pool of two, and Dask with two workers", True),
    "a_new_day": ("a new day of 500 athletes", True),
    "reading": ("whiteboard texts, the longest of the bad cases, and a megabyte", True),
    "start_up": ("`--help` and `serve`", True),
    "pages": ("the pages with a large squad behind them", True),
    "load": ("many people at once", False),
}
"""What each measures, and whether it takes `--json`."""


def main() -> int:
    """Run what was asked for and write the report."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("folder", type=Path, nargs="?")
    options.add_argument("--only", nargs="+", choices=list(BENCHMARKS), default=list(BENCHMARKS))
    options.add_argument("--list", action="store_true", help="Say what there is and leave.")
    asked = options.parse_args()
    if asked.list or asked.folder is None:
        for name, (what, _) in BENCHMARKS.items():
            print(f"{name:>10}  {what}")
        return 0
    asked.folder.mkdir(parents=True, exist_ok=True)
    failed, report = [], ["# Benchmarks", ""]
    for name in asked.only:
        print(f"{name}: {BENCHMARKS[name][0]}", flush=True)
        start = time.perf_counter()
        code, printed = _run(name, asked.folder)
        took = time.perf_counter() - start
        report += [
            f"## {name}: {BENCHMARKS[name][0]}",
            "",
            printed.strip(),
            "",
            f"Took {took:.0f} s, ended with {code}.",
            "",
        ]
        (asked.folder / "report.md").write_text("\n".join(report))
        print(printed, flush=True)
        if code:
            failed.append(name)
    print(f"Failed: {', '.join(failed)}" if failed else "All of them ran and kept what they check.")
    return 1 if failed else 0


def _run(name: str, folder: Path) -> tuple[int, str]:
    command = [sys.executable, "-m", f"tests.benchmarks.{name}"]
    command += ["--json", str(folder / f"{name}.json")] if BENCHMARKS[name][1] else []
    found = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    (folder / f"{name}.txt").write_text(found.stdout)
    return found.returncode, found.stdout


if __name__ == "__main__":
    sys.exit(main())
