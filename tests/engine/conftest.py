"""Four small squads with days that are not known, in parts; and what the whole house makes of them at once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.dose import daily_dose
from keelmark.engine import Tables, write_partitions
from keelmark.load import LoadSettings, weekly_figures

CATALOGUE = shipped_catalogue()
MONDAY = date(2026, 1, 5)
WEEKS = 7
LAST = MONDAY + timedelta(days=7 * WEEKS - 1)
MOVEMENTS = ("deadlift", "pull_up", "thruster", "sit_up", "run")


def squads(people: int = 12, seed: int = 1) -> Tables:
    """People of four groups, one of them without a name, with some days unlogged and some at rest."""
    draw = np.random.default_rng(seed)
    groups = ("boat", "shore", "tower", None)
    keys = [f"p{number:02}" for number in range(people)]
    athletes = ATHLETE.build(
        [
            {"athlete_id": key, "name": key, "group": groups[number % 4], "sex": ("female", "male", None)[number % 3],
             "body_mass_kg": 60.0 + number, "stature_cm": 170.0}
            for number, key in enumerate(keys)
        ]
    )  # fmt: skip
    efforts, states = [], []
    for key in keys:
        for number in range(7 * WEEKS):
            day, chance = MONDAY + timedelta(days=number), draw.random()
            if chance < 0.55:
                efforts += _efforts(draw, key, day)
            elif chance < 0.9:
                states.append({"athlete_id": key, "date": day, "state": "rest"})
    return Tables(athletes, EFFORT.build(efforts), SESSION.empty(), REP_MAXIMUM.empty(), DAY_STATE.build(states))


def _efforts(draw: np.random.Generator, key: str, day: date) -> list[dict[str, object]]:
    return [
        {
            "athlete_id": key, "date": day, "session_id": f"{key} {day}", "order": place, "movement": name,
            "version": "as_written", "sets": 3, "reps": None if name == "run" else float(draw.integers(1, 15)),
            "distance_m": 400.0 if name == "run" else None,
            "load_kg": float(draw.uniform(30, 90)) if CATALOGUE[name].load == "needs" else None,
            "load_basis": "external" if CATALOGUE[name].load == "needs" else "none",
            "share_low": 0.9, "share_high": 1.0, "source": "log", "import_id": "i",
        }
        for place, name in enumerate(MOVEMENTS)
        if draw.random() < 0.7
    ]  # fmt: skip


def whole_house(tables: Tables) -> pl.DataFrame:
    """All figures at once, without parts."""
    daily = daily_dose(tables.efforts, tables.sessions, tables.athletes, tables.rep_maxima, CATALOGUE)
    return weekly_figures(daily, tables.athletes, tables.day_states, LoadSettings(until=LAST))


def written(folder: Path) -> pl.DataFrame:
    """What a run wrote, sorted as the whole house sorts it."""
    frame = pl.concat(pl.read_parquet(file) for file in sorted(folder.glob("weekly/*/*.parquet")))
    order = {channel.key: place for place, channel in enumerate(CHANNELS)}
    return frame.sort("athlete_id", pl.col("channel").replace_strict(order), "monday")


def apart(several: Iterator[Tables]) -> Iterator[Tables]:
    """The same squads with keys and groups of their own."""
    for turn, tables in enumerate(several):
        key = pl.format("{}-{}", pl.lit(turn), "athlete_id").alias("athlete_id")
        named = tables.athletes.with_columns(
            key, group=pl.format("{} {}", pl.col("group").fill_null("x"), pl.lit(turn))
        )
        frames = (getattr(tables, name).with_columns(key) for name in ("efforts", "sessions", "rep_maxima"))
        yield Tables(named, *frames, tables.day_states.with_columns(key))


@pytest.fixture(scope="session")
def tables() -> Tables:
    return squads()


@pytest.fixture(scope="session")
def parts(tables: Tables, tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("parts") / "in"
    write_partitions(tables, str(folder), buckets=64, last=LAST)
    return str(folder)
