"""The same records and version give the same figures, byte by byte, whatever a process happens to do first."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from keelmark.service import Squad
from tests.faults.doors import LOG

_FIGURES = """
import hashlib, sys
from keelmark.service import Squad
with Squad.open(sys.argv[1]) as squad:
    season = squad.season()
    for frame in (season.daily, season.weekly, season.marks, season.notices):
        print(hashlib.sha256(frame.write_json().encode()).hexdigest())
"""


def test_two_processes_with_other_hashes_and_threads_agree(tmp_path: Path) -> None:
    place = f"sqlite:///{tmp_path / 'squad.db'}"
    rows = [LOG.splitlines()[0]]
    for week in range(10):
        for line in LOG.splitlines()[1:]:
            day, _, rest = line.partition(",")
            rows.append(
                f"2025-{9 + (week * 7 + int(day[-2:])) // 30:02d}-{(week * 7 + int(day[-2:])) % 30 + 1:02d},{rest}"
            )
    (tmp_path / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    with Squad.open(place) as squad:
        squad.import_log(tmp_path / "log.csv")
    printed = [
        subprocess.run(
            [sys.executable, "-c", _FIGURES, place], capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": number, "POLARS_MAX_THREADS": threads},
        ).stdout
        for number, threads in (("1", "1"), ("4711", "4"))
    ]  # fmt: skip
    assert len(printed[0].split()) == 4
    assert printed[0] == printed[1]
