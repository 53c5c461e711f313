"""A small catalogue and small logs with round numbers, so that sums can be checked by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue, Figure, Movement, NameIndex
from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM, SESSION

MONDAY = date(2026, 3, 2)


def figure(value: float, low: float | None = None, high: float | None = None) -> Figure:
    return Figure(
        value=value,
        low=value if low is None else low,
        high=value if high is None else high,
        evidence="judgement",
    )


def movement(name: str, **fields: Any) -> Movement:
    usual = {"category": "accessory", "implement": "none", "load": "never", "measures": ("reps",)}
    return Movement(name=name, **{**usual, "body_mass_share": figure(0.5), **fields})


def small_catalogue() -> Catalogue:
    movements = (
        movement(
            "deadlift",
            implement="barbell",
            load="needs",
            per_rep={"hip_hinge": figure(1), "hip_opening": figure(1), "grip_s": figure(2, 1, 4)},
        ),
        movement("back_squat", implement="barbell", load="needs", per_rep={"knee": figure(1), "two_legged": figure(1)}),
        movement("lunge", load="may", per_rep={"knee": figure(1), "one_legged": figure(1)}),
        movement("air_squat", per_rep={"knee": figure(1)}),
        movement(
            "box_jump", landing_class="low", per_rep={"jump_contacts": figure(1)}, seconds_per_rep=figure(3, 2, 5)
        ),
        movement("depth_jump", landing_class="high", per_rep={"jump_contacts": figure(2)}),
        movement(
            "run",
            measures=("distance_m", "duration_s", "calories"),
            per_metre={"foot_strikes": figure(0.8, 0.6, 1.0)},
            metres_per_second=figure(3, 2, 5),
            metres_per_calorie=figure(12, 10, 16),
        ),
        movement("dead_hang", measures=("duration_s",), per_second={"grip_s": figure(1)}),
        movement(
            "carry",
            implement="kettlebell",
            load="needs",
            measures=("distance_m",),
            per_second={"grip_s": figure(1)},
            per_metre={"one_legged": figure(1)},
            metres_per_second=figure(1, 0.5, 2),
        ),
        movement("stretch", category="mobility", measures=("duration_s",)),
    )
    return Catalogue({entry.name: entry for entry in movements}, NameIndex({"en": {}}))


def efforts(*rows: dict[str, Any]) -> pl.DataFrame:
    """Efforts from what matters in a test; the rest is usual."""
    usual = {
        "athlete_id": "runa",
        "date": MONDAY,
        "session_id": "s1",
        "order": 0,
        "version": "as_written",
        "sets": 1,
        "load_basis": "none",
        "share_low": 1.0,
        "share_high": 1.0,
        "source": "log",
        "import_id": "i1",
    }
    filled: list[dict[str, object]] = []
    for place, row in enumerate(rows):
        entry = {**usual, "source_row": place + 1, **row}
        if row.get("load_kg") is not None:
            entry["load_basis"] = "external"
        filled.append(entry)
    return EFFORT.build(filled)


def sessions(*rows: dict[str, Any]) -> pl.DataFrame:
    usual = {"session_id": "s1", "athlete_id": "runa", "date": MONDAY, "import_id": "i1"}
    return SESSION.build([{**usual, **row} for row in rows])


def athletes(*names: str) -> pl.DataFrame:
    return ATHLETE.build([{"athlete_id": name, "name": name.title()} for name in names or ("runa",)])


def no_maxima() -> pl.DataFrame:
    return REP_MAXIMUM.empty()
