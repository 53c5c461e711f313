"""Small frames to store."""

from __future__ import annotations

import hashlib
from datetime import date

import polars as pl

from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.contracts.records import IMPORT_ROW
from keelmark.store import ImportOutcome, Store

MONDAY = date(2026, 1, 5)


def squad(*keys: str) -> pl.DataFrame:
    """People of whom only the name is known."""
    return ATHLETE.build([{"athlete_id": key, "name": key.title()} for key in keys])


def effort(
    athlete: str = "bo", movement: str = "deadlift", load: float | None = 100.0, **more: object
) -> dict[str, object]:
    """One row of three sets of five."""
    row: dict[str, object] = {
        "athlete_id": athlete, "date": MONDAY, "session_id": f"{athlete}/2026-01-05", "order": 0,
        "movement": movement, "version": "as_written", "sets": 3, "reps": 5.0, "load_kg": load,
        "load_basis": "external", "share_low": 1.0, "share_high": 1.0, "source": "log", "import_id": "not yet known",
    }  # fmt: skip
    return row | more


def efforts(*rows: dict[str, object]) -> pl.DataFrame:
    """A frame of such rows, in their order."""
    return EFFORT.build([{"order": place, **row} for place, row in enumerate(rows)])


def session(athlete: str = "bo", **more: object) -> dict[str, object]:
    """One session of the Monday."""
    row: dict[str, object] = {
        "session_id": f"{athlete}/2026-01-05", "athlete_id": athlete, "date": MONDAY, "import_id": "not yet known",
    }  # fmt: skip
    return row | more


def sessions(*rows: dict[str, object]) -> pl.DataFrame:
    """A frame of sessions."""
    return SESSION.build(list(rows))


def rep_maximum(load: float, day: date = MONDAY, athlete: str = "bo") -> pl.DataFrame:
    """One tested deadlift."""
    row = {"athlete_id": athlete, "movement": "deadlift", "date": day, "load_kg": load, "state": "tested"}
    return REP_MAXIMUM.build([row])


def day_state(state: str, day: date = MONDAY, athlete: str = "bo") -> pl.DataFrame:
    """What is known of one day."""
    return DAY_STATE.build([{"athlete_id": athlete, "date": day, "state": state}])


def verdicts(*rows: dict[str, object]) -> pl.DataFrame:
    """Verdicts on the rows of a file."""
    return IMPORT_ROW.build([{"row": place, **row} for place, row in enumerate(rows, start=1)])


def save(store: Store, content: str = "a log", *, kind: str = "log", **brought: object) -> ImportOutcome:
    """Save an import whose file holds that text."""
    original = content.encode()
    digest = hashlib.sha256(original).hexdigest()
    return store.save_import(kind=kind, file=f"{content}.csv", sha256=digest, original=original, **brought)  # type: ignore[arg-type]
