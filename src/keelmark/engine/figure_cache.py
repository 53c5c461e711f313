"""Days and weeks kept beside the store, so that they need not be worked out again after a restart.

Plain Arrow files in a folder that only its owner can read. They hold what `Derived` holds: no names, no words, nothing
that anybody said about a body. What was worked out by other rules or another release is never read. Losing the folder
costs time and nothing else.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import polars as pl
import pyarrow as pa

from keelmark.engine.derived import Derived

__all__ = ["LEAST_EFFORTS", "FigureCache"]

LEAST_EFFORTS = 50_000
"""Figures of fewer efforts than this are worked out about as fast as they are looked up; they are not kept."""
_CURRENT = "current.json"
_FORMAT = 1


@dataclass(frozen=True, slots=True)
class FigureCache:
    """A folder of kept figures, mode 0700, its files 0600."""

    folder: Path

    def save(self, derived: Derived) -> None:
        """Keep figures in place of those kept before; others go on reading what they have opened."""
        self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        run = self.folder / secrets.token_hex(8)
        run.mkdir(mode=0o700)
        for name in _FRAMES:
            frame: pl.DataFrame = getattr(derived, name)
            with os.fdopen(_own_file(run / f"{name}.arrow"), "wb") as file:
                frame.rechunk().write_ipc(file, compression="uncompressed")
        runs = derived.weekly["athlete_id"].rle().struct.unnest()
        starts = runs["len"].cum_sum() - runs["len"]
        told = {
            "format": _FORMAT,
            "run": run.name,
            "rules": derived.rules,
            "choices": derived.choices,
            "athletes": dict(zip(runs["value"], zip(starts, runs["len"], strict=True), strict=True)),
        }
        beside = run / _CURRENT
        with os.fdopen(_own_file(beside), "w", encoding="utf-8") as file:
            json.dump(told, file)
        beside.replace(self.folder / _CURRENT)
        for other in self.folder.iterdir():
            if other.is_dir() and other != run:
                shutil.rmtree(other, ignore_errors=True)

    def load(self) -> Derived | None:
        """What was kept last; None where nothing is, or not by this release."""
        told = self._current()
        if told is None:
            return None
        try:
            frames = {name: pl.read_ipc(self._file(told, name)) for name in _FRAMES}
        except (OSError, pl.exceptions.PolarsError):
            return None
        return Derived(**frames, rules=told["rules"], choices=told["choices"])

    def athlete(self, athlete_id: str) -> pl.DataFrame | None:
        """Weekly figures of one athlete, read alone from the mapped file; None where none are kept."""
        told = self._current()
        place = told and told["athletes"].get(athlete_id)
        if told is None or place is None:
            return None
        with pa.memory_map(str(self._file(told, "weekly"))) as mapped:
            rows = pl.from_arrow(pa.ipc.open_file(mapped).read_all().slice(*place))
        return rows if isinstance(rows, pl.DataFrame) else rows.to_frame()

    def clear(self) -> None:
        """Remove everything that is kept."""
        shutil.rmtree(self.folder, ignore_errors=True)

    def _current(self) -> dict[str, Any] | None:
        try:
            told = json.loads((self.folder / _CURRENT).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return None
        return told if isinstance(told, dict) and told.get("format") == _FORMAT else None

    def _file(self, told: dict[str, Any], name: str) -> Path:
        return self.folder / str(told["run"]) / f"{name}.arrow"


_FRAMES = tuple(field.name for field in fields(Derived) if field.name not in ("rules", "choices"))


def _own_file(path: Path) -> int:
    return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
