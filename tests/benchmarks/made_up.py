"""Made-up logs of any length for the benchmarks: seeded, sorted by athlete and day, written as Parquet in parts.

An athlete has 156 weeks of four sessions or so with six efforts each, about 3,800 efforts, and no week without any; a
log of more efforts has more athletes. Squads of 20 form the training groups.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import polars as pl

from keelmark.catalogue import Catalogue, shipped_catalogue
from keelmark.contracts.frames import ATHLETE, EFFORT

__all__ = ["DAYS", "EFFORTS_EACH", "MONDAY", "MOVEMENTS", "WEEKS", "athletes_of", "people", "write_log"]

WEEKS = 156
DAYS = 7 * WEEKS
MONDAY = date(2023, 1, 2)
EFFORTS_EACH = 3_800
MOVEMENTS = (
    "deadlift", "back_squat", "front_squat", "power_clean", "power_snatch", "push_press", "bench_press", "thruster",
    "kettlebell_swing", "wall_ball", "pull_up", "toes_to_bar", "push_up", "sit_up", "bent_over_row", "overhead_squat",
)  # fmt: skip
"""Together they feed 16 channels."""
_ATHLETES_AT_ONCE = 125
_SESSIONS_A_WEEK, _EFFORTS_A_SESSION = 4, 6.1


def athletes_of(efforts: float) -> int:
    """How many athletes a log of so many efforts has."""
    return max(1, round(efforts / EFFORTS_EACH))


def people(athletes: int) -> pl.DataFrame:
    """The `ATHLETE` table: bodies of many sizes, squads of 20."""
    number = np.arange(athletes)
    frame = pl.DataFrame({"athlete_id": [f"a{one:06d}" for one in number]}).with_columns(
        name=pl.lit("Runa"),
        group=pl.Series([f"squad {one // 20}" for one in number]),
        sex=pl.Series(np.array(["female", "male"])[number % 2]),
        body_mass_kg=pl.Series(60.0 + number % 40),
        stature_cm=pl.Series(160.0 + number % 30),
    )
    columns = [
        (pl.col(c.name) if c.name in frame.columns else pl.lit(None)).cast(c.dtype).alias(c.name)
        for c in ATHLETE.columns
    ]
    return ATHLETE.check(frame.select(columns), where="benchmark")


def write_log(folder: Path, efforts: float, catalogue: Catalogue | None = None) -> int:
    """Write a log as files of 125 athletes; gives how many efforts there are."""
    folder.mkdir(parents=True, exist_ok=True)
    total = 0
    for place, frame in enumerate(_parts(athletes_of(efforts), catalogue or shipped_catalogue())):
        frame.write_parquet(folder / f"part-{place:04d}.parquet")
        total += frame.height
    return total


def _parts(athletes: int, catalogue: Catalogue) -> Iterator[pl.DataFrame]:
    for first in range(0, athletes, _ATHLETES_AT_ONCE):
        yield _part(first, min(_ATHLETES_AT_ONCE, athletes - first), catalogue)


def _part(first: int, athletes: int, catalogue: Catalogue) -> pl.DataFrame:
    draw = np.random.default_rng(first)
    trained = draw.random((athletes, WEEKS, 7)) < _SESSIONS_A_WEEK / 7
    trained[..., 0] |= ~trained.any(axis=2)
    trained[:, 0, 0] = True
    who, week, weekday = np.nonzero(trained)
    of = draw.poisson(_EFFORTS_A_SESSION - 1, len(who)) + 1
    session = np.repeat(np.arange(len(who)), of)
    picked = draw.integers(0, len(MOVEMENTS), len(session))
    carries = np.array([catalogue[name].load != "never" for name in MOVEMENTS])[picked]
    load = np.where(carries, np.round(draw.uniform(10, 140, len(session)) / 2.5) * 2.5, np.nan)
    day = (7 * week + weekday)[session]
    start = np.cumsum(of) - of
    columns = {
        "athlete_id": pl.Series([f"a{first + one:06d}" for one in range(athletes)]).gather(who[session]),
        "date": pl.Series(day + (MONDAY - date(1970, 1, 1)).days, dtype=pl.Int32).cast(pl.Date),
        "session_id": pl.Series([f"d{one}" for one in range(DAYS)]).gather(day),
        "order": np.arange(len(session)) - start[session],
        "movement": pl.Series(MOVEMENTS).gather(picked),
        "sets": draw.integers(1, 6, len(session)),
        "reps": draw.integers(1, 30, len(session)).astype(np.float64),
        "load_kg": pl.Series(load).fill_nan(None),
        "load_basis": pl.Series(("none", "external")).gather(carries.astype(np.uint32)),
    }
    constant = {
        "version": pl.lit("as_written"), "share_low": pl.lit(1.0), "share_high": pl.lit(1.0), "source": pl.lit("log"),
        "import_id": pl.lit("i"),
    }  # fmt: skip
    frame = pl.DataFrame(columns).with_columns(**constant)
    chosen = [
        (pl.col(c.name) if c.name in frame.columns else pl.lit(None)).cast(c.dtype).alias(c.name)
        for c in EFFORT.columns
    ]
    return EFFORT.check(frame.select(chosen), where="benchmark")
