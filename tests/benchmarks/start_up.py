"""How long it takes until `keelmark --help` is printed and until the pages of `keelmark serve` answer.

    python -m tests.benchmarks.start_up [--runs 9] [--db URL] [--json FILE]

Medians of the clock, each run a process of its own. Told beside them is what was imported longest, by -X importtime:
milliseconds of each library with what it imports in turn. Without --db the squad is an empty one; --db names another,
such as one that `python -m tests.benchmarks.large_squad` made.
"""

from __future__ import annotations

import argparse
import json
import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.request import urlopen

__all__ = ["main"]

GOALS = {"--help": 0.3, "serve": 3.0}
_LINE = re.compile(r"import time:\s*\d+ \|\s*(\d+) \| (\S+)$")
"""A library that nothing else imported: its name stands without spaces before it."""


def main() -> int:
    """Run it as asked and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--runs", type=int, default=9)
    options.add_argument("--db")
    options.add_argument("--json", type=Path)
    asked = options.parse_args()
    with tempfile.TemporaryDirectory(prefix="keelmark-start-") as folder:
        place = asked.db or f"sqlite:///{folder}/squad.db"
        _answered_after(place)
        times = {
            "--help": [_help_after() for _ in range(asked.runs)],
            "serve": [_answered_after(place) for _ in range(asked.runs)],
        }
    imported = {"--help": _imported("-m", "keelmark", "--help"), "serve": _imported("-c", "import keelmark_dash.serve")}
    medians = {name: statistics.median(several) for name, several in times.items()}
    for name, middle in medians.items():
        kept = "kept" if middle < GOALS[name] else "NOT kept"
        print(f"{name}: {1000 * middle:.0f} ms (goal {1000 * GOALS[name]:.0f} ms, {kept})")
        print("  " + ", ".join(f"{library} {spent:.0f}" for library, spent in imported[name]))
    if asked.json:
        asked.json.write_text(json.dumps({"medians": medians, "runs": times, "imported": imported}, indent=1))
    return 0


def _help_after() -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-m", "keelmark", "--help"], check=True, capture_output=True)
    return time.perf_counter() - start


def _answered_after(place: str) -> float:
    """Seconds from the command to the first answered page."""
    start = time.perf_counter()
    command = [sys.executable, "-m", "keelmark", "serve", "--db", place, "--port", "0", "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as server:
        try:
            assert server.stdout is not None
            address = next(found[0] for line in server.stdout if (found := re.findall(r"http://\S+/", line)))
            with urlopen(address, timeout=60) as page:
                page.read()
            return time.perf_counter() - start
        finally:
            server.terminate()


def _imported(*words: str) -> list[tuple[str, float]]:
    """The six libraries that took longest, with milliseconds."""
    told = subprocess.run([sys.executable, "-X", "importtime", *words], capture_output=True, text=True, check=True)
    found = [(match[2], int(match[1]) / 1000) for line in told.stderr.splitlines() if (match := _LINE.match(line))]
    nested = re.findall(r"import time:\s*\d+ \|\s*(\d+) \| +(\w+)$", told.stderr, re.MULTILINE)
    every = dict(found) | {name: max(int(spent) / 1000, dict(found).get(name, 0)) for spent, name in nested}
    return sorted(every.items(), key=lambda one: -one[1])[:6]


if __name__ == "__main__":
    sys.exit(main())
