"""Accepted rows as effort and session rows."""

from __future__ import annotations

from collections import Counter
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import EFFORT, SESSION
from keelmark.ingest.body import Body
from keelmark.ingest.columns import Column
from keelmark.ingest.values.counts import Reps
from keelmark.ingest.warnings import FileWarning, counted
from keelmark.ingest.words import plain

__all__ = ["build_efforts", "build_sessions", "session_keys"]


_SESSION_FIGURES = (("session_rpe", "session_rpe"), ("duration_min", "session_min"))


def session_keys(columns: dict[str, Column], accepted: list[int]) -> tuple[list[str], list[str | None]]:
    """Session id and label of each accepted row: athlete, day and what the club calls the session."""
    athletes, days = columns["athlete"].values, columns["date"].values
    parts = [columns[kind].values for kind in ("session", "slot") if kind in columns]
    known: dict[tuple[Any, ...], tuple[str, str | None]] = {}
    found = []
    for position in accepted:
        key = (athletes[position], days[position], *(values[position] for values in parts))
        if key not in known:
            label = ", ".join(part for part in key[2:] if part) or None
            known[key] = "/".join((key[0], key[1].isoformat(), plain(label or ""))).rstrip("/"), label
        found.append(known[key])
    return [session_id for session_id, _ in found], [label for _, label in found]


def build_efforts(
    columns: dict[str, Column], body: Body, accepted: list[int], ids: list[str], import_id: str, catalogue: Catalogue
) -> pl.DataFrame:
    """The EFFORT table; rows that only rate a session add nothing to it."""
    movements = _values(columns, "movement", accepted)
    keep = [at for at, movement in enumerate(movements) if movement is not None]
    accepted = [accepted[at] for at in keep]
    ids = [ids[at] for at in keep]
    movements = [movements[at] for at in keep]
    reps = [_reps(columns, position) for position in accepted]
    loads = [load.kg if load else None for load in _values(columns, "load", accepted)]
    seen: Counter[str] = Counter()
    order = []
    for session_id in ids:
        order.append(seen[session_id])
        seen[session_id] += 1
    sources = [body.data[position] for position in accepted]
    count = len(accepted)
    table: dict[str, Any] = {
        "athlete_id": _values(columns, "athlete", accepted),
        "date": _values(columns, "date", accepted),
        "session_id": ids,
        "block": _values(columns, "block", accepted),
        "order": order,
        "movement": movements,
        "version": [version or "as_written" for version in _values(columns, "version", accepted)],
        "sets": [_sets(columns, position) for position in accepted],
        "reps": [reading.value if reading else None for reading in reps],
        "load_kg": loads,
        "load_basis": [
            _basis(load, stated, catalogue[movement].load)
            for load, stated, movement in zip(loads, _values(columns, "load", accepted), movements, strict=True)
        ],
        "height_cm": _values(columns, "height", accepted),
        "start_height_cm": [None] * count,
        "distance_m": _values(columns, "distance", accepted),
        "duration_s": _values(columns, "duration", accepted),
        "calories": _values(columns, "calories", accepted),
        "share_low": [reading.low / reading.value if reading else 1.0 for reading in reps],
        "share_high": [reading.high / reading.value if reading else 1.0 for reading in reps],
        "side": _values(columns, "side", accepted),
        "rpe": _values(columns, "rpe", accepted),
        "effort_s": [None] * count,
        "source": ["log"] * count,
        "import_id": [import_id] * count,
        "source_row": [body.numbers[index] for index in sources],
        "source_line": [body.lines[index] for index in sources],
        "text_start": [None] * count,
        "text_end": [None] * count,
        "text": [body.texts[index] for index in sources],
    }
    return EFFORT.check(pl.DataFrame(table, schema=EFFORT.polars), where="efforts of a log")


def build_sessions(
    columns: dict[str, Column], accepted: list[int], ids: list[str], labels: list[str | None], import_id: str
) -> tuple[pl.DataFrame, list[FileWarning]]:
    """The SESSION table.

    Where rows of one session give different ratings or lengths, none is taken, and that is told.
    """
    sessions: dict[str, dict[str, Any]] = {}
    clashes: Counter[str] = Counter()
    figures = [(name, columns[kind].values) for name, kind in _SESSION_FIGURES if kind in columns]
    notes = columns["note"].values if "note" in columns else None
    for position, session_id, label in zip(accepted, ids, labels, strict=True):
        session = sessions.get(session_id)
        if session is None:
            session = sessions[session_id] = {
                "session_id": session_id,
                "athlete_id": columns["athlete"].values[position],
                "date": columns["date"].values[position],
                "label": label,
                "import_id": import_id,
                "session_rpe": set(),
                "duration_min": set(),
                "note": {},
            }
        for name, values in figures:
            if values[position] is not None:
                session[name].add(values[position])
        if notes is not None and notes[position]:
            session["note"][notes[position]] = None
    rows: list[dict[str, object]] = []
    for session in sessions.values():
        for name in ("session_rpe", "duration_min"):
            clashes[name] += len(session[name]) > 1
            session[name] = session[name].pop() if len(session[name]) == 1 else None
        session["note"] = "; ".join(session["note"]) or None
        rows.append(session)
    return SESSION.build(rows), [_clash(name, count) for name, count in clashes.items() if count]


def _clash(name: str, count: int) -> FileWarning:
    what = "rating" if name == "session_rpe" else "length"
    text = f"In {counted(count, 'session')} the rows give different figures for its {what}; it is left unknown there."
    return FileWarning(f"{name}_differs", text)


def _values(columns: dict[str, Column], kind: str, accepted: list[int]) -> list[Any]:
    column = columns.get(kind)
    return [column.values[position] for position in accepted] if column else [None] * len(accepted)


def _sets(columns: dict[str, Column], position: int) -> int:
    for kind in ("sets", "volume"):
        value = columns[kind].values[position] if kind in columns else None
        if value is not None:
            return int(value[0] if kind == "volume" else value)
    return 1


def _reps(columns: dict[str, Column], position: int) -> Reps | None:
    stated = columns["reps"].values[position] if "reps" in columns else None
    if isinstance(stated, Reps):
        return stated
    pair = columns["volume"].values[position] if "volume" in columns else None
    if pair is not None:
        return Reps(pair[1], pair[1], pair[1])
    if "reps_low" in columns and "reps_high" in columns:
        low, high = columns["reps_low"].values[position], columns["reps_high"].values[position]
        if low is not None and high is not None:
            return Reps((low + high) / 2, low, high)
    return None


def _basis(load: float | None, stated: object, wants: str) -> str:
    if load is not None:
        return "external"
    return "none" if stated is not None or wants != "needs" else "unknown"
