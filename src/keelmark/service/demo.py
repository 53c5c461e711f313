"""The demo season: found where it was installed, and loaded through the same doors as anybody's files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from keelmark.contracts.errors import StoreError
from keelmark.ingest import LogOptions
from keelmark.service.bringing import Brought
from keelmark.service.squad import Squad

__all__ = ["LAST_DAY", "demo_folder", "load_demo"]

LAST_DAY = dt.date(2026, 6, 7)
"""The demo is read as on its own last day, so that it is the same on every calendar."""


def demo_folder() -> Path:
    """The folder of the demo's files: inside an installed wheel, else in the checkout.

    Raises
    ------
    StoreError
        When it is in neither place.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "demo", package.parents[1] / "data" / "demo"):
        if (folder / "log.csv").is_file():
            return folder
    raise StoreError(
        "the demo's files are missing",
        where=str(package),
        wanted="demo/log.csv inside the package, or data/demo/log.csv in the checkout",
        remedy="install keelmark again",
    )


def load_demo(squad: Squad, progress: Callable[[str], None] = lambda _: None) -> Brought:
    """Import the demo's roster, log, days, calendar labels and check-ins."""
    folder = demo_folder()
    brought = squad.import_log(
        folder / "log.csv", roster=folder / "roster.csv", options=LogOptions(today=LAST_DAY), progress=progress
    )
    progress("Reading days.csv and labels.csv")
    squad.import_days(folder / "days.csv", LogOptions(today=LAST_DAY))
    squad.import_labels(folder / "labels.csv")
    progress("Reading check_ins.csv")
    squad.import_check_ins(folder / "check_ins.csv")
    return brought
