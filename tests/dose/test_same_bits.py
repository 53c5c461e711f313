"""A figure of one athlete has the same bits whoever else is in the table."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import polars as pl
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.dose import daily_dose
from keelmark.dose.adding import added_up

CATALOGUE = shipped_catalogue()
PEOPLE = ATHLETE.build(
    [
        {"athlete_id": "ana", "name": "Ana", "sex": "female", "body_mass_kg": 61.5, "stature_cm": 168.0},
        {"athlete_id": "ben", "name": "Ben", "sex": "male"},
        {"athlete_id": "cai", "name": "Cai", "body_mass_kg": 88.0},
    ]
)


def efforts_of_all(rows: int) -> pl.DataFrame:
    draw = np.random.default_rng(5)
    names = sorted(CATALOGUE.movements)
    return EFFORT.build(
        [
            {
                "athlete_id": ("ana", "ben", "cai")[int(draw.integers(3))],
                "date": date(2026, 3, 2) + timedelta(days=int(draw.integers(9))),
                "session_id": "s",
                "order": place,
                "movement": (name := names[int(draw.integers(len(names)))]),
                "version": "as_written",
                "sets": int(draw.integers(1, 6)),
                "reps": float(draw.integers(1, 40)),
                "load_kg": None if CATALOGUE[name].load == "never" else float(draw.uniform(20, 120)),
                "load_basis": "none" if CATALOGUE[name].load == "never" else "external",
                "share_low": float(draw.uniform(0.8, 1.0)),
                "share_high": 1.0,
                "source": "log",
                "import_id": "i",
            }
            for place in range(rows)
        ]
    )


def test_days_of_one_athlete_do_not_depend_on_the_others() -> None:
    efforts = efforts_of_all(700)
    others = SESSION.empty(), REP_MAXIMUM.empty()

    def doses(rows: pl.DataFrame, people: pl.DataFrame) -> pl.DataFrame:
        return daily_dose(rows, others[0], people, others[1], CATALOGUE)

    whole = doses(efforts, PEOPLE)
    alone = [
        doses(efforts.filter(pl.col("athlete_id") == key), PEOPLE.filter(pl.col("athlete_id") == key))
        for key in ("ana", "ben", "cai")
    ]
    assert whole.height > 400
    assert whole.equals(pl.concat(alone))


def test_rows_are_added_in_their_order() -> None:
    """1e16 + 1 - 1e16 is 0 in floats and 1e16 - 1e16 + 1 is 1 (derived: IEEE 754 doubles have 53 bits)."""

    def summed(*amounts: float) -> float:
        rows = pl.DataFrame({"athlete_id": "ana", "date": date(2026, 3, 2), "channel": "tonnage", "value": amounts})
        return added_up(rows.with_columns(low="value", high="value"))["value"].item()

    assert summed(1e16, 1.0, -1e16) == 0.0
    assert summed(1e16, -1e16, 1.0) == 1.0


@pytest.mark.parametrize(("channel", "value"), [("lumbar_peak", 7.0), ("lumbar_moment", 12.0)])
def test_amounts_add_up_and_peaks_do_not(channel: str, value: float) -> None:
    """Derived: 5 + 7, and the larger of the two; what was at least 3 of an unknown third counts in the sum alone."""
    rows = pl.DataFrame(
        {"athlete_id": "ana", "date": date(2026, 3, 2), "channel": channel, "value": [5.0, 7.0, None],
         "low": [4.0, 6.0, 3.0], "high": [6.0, 8.0, None]}
    )  # fmt: skip
    (day,) = added_up(rows).to_dicts()
    assert day["value"] == (value if channel == "lumbar_peak" else value + 3.0)
    assert (day["high"], day["efforts"], day["unknown"]) == (None, 2, 1)
