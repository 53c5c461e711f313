"""A large squad to measure with: made-up athletes over three years, stored through the doors that files come in by.

The store is made once and kept in the user's cache folder (`XDG_CACHE_HOME`), under a name that says what is in it.
The work is drawn with a fixed start; it is for measuring how long things take, never for checking a formula.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import polars as pl

from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.service import Squad
from keelmark.store import Store

__all__ = ["FIRST_NAMES", "copy_of", "large_frames", "large_store", "with_figures"]

FIRST_NAMES = (
    "Ada", "Bram", "Cora", "Dilys", "Edda", "Fenno", "Greta", "Hauke", "Ines", "Jory", "Kerra", "Lowen", "Mara",
    "Nils", "Orla", "Piet", "Quinn", "Runa", "Silke", "Tamsin", "Ubbo", "Vesna", "Wenna", "Xaver", "Yara",
)  # fmt: skip
WORK = (
    # movement, reps (or metres, seconds), load in kg (0 for none), amount in
    ("deadlift", 5, 110, "reps"), ("power_clean", 3, 70, "reps"), ("back_squat", 6, 95, "reps"),
    ("box_jump", 12, 0, "reps"), ("toes_to_bar", 10, 0, "reps"), ("pull_up", 8, 0, "reps"),
    ("push_press", 7, 50, "reps"), ("kettlebell_swing", 15, 24, "reps"), ("run", 400, 0, "distance_m"),
    ("row", 500, 0, "distance_m"), ("burpee", 10, 0, "reps"), ("double_under", 50, 0, "reps"),
)  # fmt: skip
SESSIONS_A_WEEK, EFFORTS_A_SESSION, BATCH = 3.4, 4, 50
VERSION = 1
"""Grows when other work would be drawn."""


def large_store(athletes: int = 500, weeks: int = 156, *, until: date | None = None) -> Path:
    """A file with the squad in it, made when there is none yet.

    Parameters
    ----------
    athletes, weeks : int
        How many.
    until : date, optional
        The Sunday on which the last week ends; the last one that is over, if not given.
    """
    until = until or _last_sunday()
    cache = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "keelmark-benchmarks"
    kept = cache / f"squad-{athletes}x{weeks}-{until}-v{VERSION}.db"
    if not kept.exists():
        cache.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=cache) as folder:
            made = Path(folder) / "squad.db"
            _fill(f"sqlite:///{made}", athletes, weeks, until)
            shutil.move(made, kept)
    return kept


def copy_of(store: Path, folder: Path) -> Path:
    """A store with what is kept beside it, to be written to."""
    copied = folder / "squad.db"
    shutil.copy(store, copied)
    beside = store.with_name(store.name + ".figures")
    if beside.exists():
        shutil.copytree(beside, copied.with_name(copied.name + ".figures"))
    return copied


def _last_sunday() -> date:
    today = date.today()
    return today - timedelta(days=today.isoweekday() % 7)


def _fill(address: str, athletes: int, weeks: int, until: date) -> None:
    people, rep_maxima, states, batches = large_frames(athletes, weeks, until)
    with Store.open(address) as store:
        for place, (efforts, sessions) in enumerate(batches):
            said = f"log {place}".encode()
            store.save_import(
                kind="log",
                file=f"log-{place + 1}.csv",
                sha256=hashlib.sha256(said).hexdigest(),
                original=said,
                efforts=efforts,
                sessions=sessions,
                athletes=people,
                rep_maxima=rep_maxima,
            )
        store.set_day_states(states)
    with Squad.open(address) as squad:
        squad.set_setting("quiet_days", "rest")


def with_figures(store: Path) -> Path:
    """The store, opened once, so that what keelmark keeps of its figures lies beside it."""
    if not store.with_name(store.name + ".figures").exists():
        with Squad.open(f"sqlite:///{store}") as squad:
            squad.season()
    return store


def large_frames(
    athletes: int, weeks: int, until: date
) -> tuple[pl.DataFrame, pl.DataFrame, pl.DataFrame, list[tuple[pl.DataFrame, pl.DataFrame]]]:
    """People, maxima, days of illness and travel, and efforts with their sessions in batches of athletes."""
    draw = np.random.default_rng(11)
    names = [f"{FIRST_NAMES[n % 25]} {n // 25 + 1}" if n >= 25 else FIRST_NAMES[n] for n in range(athletes)]
    keys = [name.lower().replace(" ", "_") for name in names]
    people = ATHLETE.build([
        {"athlete_id": key, "name": name, "group": f"Watch {n % 8 + 1}", "sex": ("female", "male")[n % 2],
         "body_mass_kg": 62.0 + n % 30, "stature_cm": 160.0 + n % 35, "standard": ("lighter", "heavier")[n % 2]}
        for n, (key, name) in enumerate(zip(keys, names, strict=True))
    ])  # fmt: skip
    first = until - timedelta(days=7 * weeks - 1)
    rep_maxima = REP_MAXIMUM.build([
        {"athlete_id": key, "movement": movement, "date": first, "load_kg": load * draw.uniform(1.3, 1.8),
         "state": "tested"}
        for key in keys for movement, _, load, _ in WORK if load and movement != "kettlebell_swing"
    ])  # fmt: skip
    batches = [_work(draw, keys[start : start + BATCH], weeks, first) for start in range(0, athletes, BATCH)]
    trained = pl.concat([sessions.select("athlete_id", "date") for _, sessions in batches])
    return people, rep_maxima, _states(draw, keys, weeks, first, trained), batches


def _work(draw: np.random.Generator, keys: list[str], weeks: int, first: date) -> tuple[pl.DataFrame, pl.DataFrame]:
    days = 7 * weeks
    trains = draw.random((len(keys), days)) < SESSIONS_A_WEEK / 7
    who, day = np.nonzero(trains)
    of_session = pl.DataFrame({"who": who, "day": day}).select(
        athlete_id=pl.lit(pl.Series(keys)).gather(pl.col("who")), date=pl.lit(first) + pl.duration(days=pl.col("day"))
    )
    of_session = of_session.with_columns(session_id=pl.col("athlete_id") + "-" + pl.col("date").cast(pl.String))
    sessions = of_session.with_columns(
        label=pl.lit("Evening"),
        session_rpe=pl.Series(draw.integers(3, 10, of_session.height).astype(float)),
        duration_min=pl.Series(draw.integers(30, 80, of_session.height).astype(float)),
        import_id=pl.lit("new"),
    )
    chosen = draw.integers(0, len(WORK), (of_session.height, EFFORTS_A_SESSION)).ravel()
    scale = draw.lognormal(0, 0.25, chosen.size)
    unit = np.array([one[3] for one in WORK])[chosen]
    amount = np.maximum(1, np.round(np.array([one[1] for one in WORK])[chosen] * scale))
    load = np.round(np.array([one[2] for one in WORK])[chosen] * draw.uniform(0.7, 1.1, chosen.size) / 2.5) * 2.5
    rows = of_session.select(pl.all().repeat_by(EFFORTS_A_SESSION).explode())
    place = np.tile(np.arange(EFFORTS_A_SESSION), of_session.height)
    efforts = rows.with_columns(
        order=pl.Series(place.astype(np.int32)),
        movement=pl.Series(np.array([one[0] for one in WORK])[chosen]),
        version=pl.lit("as_written"),
        sets=pl.Series(draw.integers(2, 6, chosen.size).astype(np.int32)),
        reps=pl.when(pl.Series(unit) == "reps").then(pl.Series(amount)),
        distance_m=pl.when(pl.Series(unit) == "distance_m").then(pl.Series(amount)),
        load_kg=pl.when(pl.Series(load) > 0).then(pl.Series(load)),
        load_basis=pl.when(pl.Series(load) > 0).then(pl.lit("external")).otherwise(pl.lit("none")),
        share_low=pl.lit(1.0),
        share_high=pl.lit(1.0),
        source=pl.lit("log"),
        import_id=pl.lit("new"),
        source_row=pl.int_range(1, chosen.size + 1),
        source_line=pl.int_range(2, chosen.size + 2),
        text=pl.Series(np.array([f"{one[0]} as logged" for one in WORK])[chosen]),
    )
    return _whole(EFFORT, efforts), _whole(SESSION, sessions)


def _states(draw: np.random.Generator, keys: list[str], weeks: int, first: date, trained: pl.DataFrame) -> pl.DataFrame:
    """A week of illness or travel now and then."""
    said = [
        {"athlete_id": key, "date": first + timedelta(days=int(start) + day), "state": ("ill", "travel")[n % 2]}
        for key in keys
        for n, start in enumerate(draw.integers(0, 7 * weeks - 7, 6 * weeks // 52))
        for day in range(5)
    ]
    return DAY_STATE.build(said).unique(["athlete_id", "date"]).join(trained, on=["athlete_id", "date"], how="anti")


def _whole(schema: object, frame: pl.DataFrame) -> pl.DataFrame:
    """A frame with every column of its schema, empty where nothing was drawn."""
    columns = schema.columns  # type: ignore[attr-defined]
    return frame.select(
        (pl.col(one.name) if one.name in frame.columns else pl.lit(None).alias(one.name)).cast(one.dtype)
        for one in columns
    )
