"""Athletes of known and unknown build, and single efforts, for tests of the lumbar figures."""

from __future__ import annotations

from typing import Any

import polars as pl

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import ATHLETE
from keelmark.dose.lumbar import lumbar_reps
from tests.dose.squad import efforts

CATALOGUE = shipped_catalogue()


def crew(**fields: Any) -> pl.DataFrame:
    """One athlete, 80 kg and 178 cm unless told otherwise."""
    usual = {"athlete_id": "runa", "name": "Runa", "sex": "female", "body_mass_kg": 80.0, "stature_cm": 178.0}
    return ATHLETE.build([{**usual, **fields}])


def one_rep(movement: str, body: pl.DataFrame | None = None, **fields: Any) -> dict[str, Any]:
    """The mechanics of one effort, ten reps unless told otherwise."""
    rows = efforts({"movement": movement, "reps": 10.0, **fields})
    return lumbar_reps(rows, crew() if body is None else body, CATALOGUE).row(0, named=True)
