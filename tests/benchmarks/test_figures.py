"""How long the weekly figures take beside pandas, polars and DuckDB, which must give the same figures.

    pytest tests/benchmarks --benchmark-only
    KEELMARK_BENCH_ATHLETES=500 pytest tests/benchmarks --benchmark-only --benchmark-json=out.json

All run on the same daily amounts, one after the other in turns; medians are compared. keelmark's own run does more
than the others: it keeps lower and upper bounds, counts known days, and gives the reason where a ratio is withheld.
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable
from datetime import date
from typing import Any

import duckdb
import numpy as np
import polars as pl
import pytest

from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, DAY_STATE
from keelmark.load import LoadSettings, weekly_figures
from tests.benchmarks.references import COLUMNS, with_duckdb, with_pandas, with_polars

ATHLETES = int(os.environ.get("KEELMARK_BENCH_ATHLETES", "100"))
ROUNDS = int(os.environ.get("KEELMARK_BENCH_ROUNDS", "5"))
WEEKS = 156
MONDAY = date(2023, 1, 2)
KEYS = [channel.key for channel in CHANNELS if channel.gather == "sum"][:16]
GOALS = {"pandas": 9.0, "polars": 13.0, "DuckDB": 5.0}
"""How many times as long the others should take."""


@pytest.fixture(scope="module")
def amounts() -> pl.DataFrame:
    """Daily amounts as plain numbers: athlete, channel, day, amount."""
    random = np.random.default_rng(0)
    shape = (7 * WEEKS, ATHLETES, len(KEYS))
    trained = random.random(shape[:2]) < 0.65
    trained[::7] = True
    done = trained[..., None] & (random.random(shape) < 0.65)
    done[..., KEYS.index("tonnage")] = trained
    day, athlete, channel = np.nonzero(done)
    return pl.DataFrame(
        {"athlete": athlete, "channel": channel, "day": day, "amount": random.lognormal(3.0, 0.7, len(day))}
    ).sort("athlete", "day", "channel")


@pytest.fixture(scope="module")
def tables(amounts: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    """The same amounts as a `DAILY_DOSE` table, and the athletes."""
    names = [f"a{number:05d}" for number in range(ATHLETES)]
    amount = pl.col("amount")
    daily = amounts.select(
        athlete_id=pl.lit(pl.Series(names)).gather(pl.col("athlete")),
        date=pl.lit(MONDAY) + pl.duration(days=pl.col("day")),
        channel=pl.lit(pl.Series(KEYS)).gather(pl.col("channel")),
        value=amount,
        low=amount,
        high=amount,
        efforts=pl.lit(1, pl.Int64),
        unknown=pl.lit(0, pl.Int64),
    )
    return DAILY_DOSE.check(daily, where="benchmark"), ATHLETE.build([{"athlete_id": n, "name": n} for n in names])


def with_keelmark(tables: tuple[pl.DataFrame, pl.DataFrame]) -> pl.DataFrame:
    return weekly_figures(*tables, DAY_STATE.empty(), LoadSettings(quiet_days="rest"))


def laid_out(frame: pl.DataFrame) -> dict[str, np.ndarray]:
    """Figures by athlete, channel and week, NaN where there is none."""
    place = tuple(frame[name].cast(pl.Int64).to_numpy() for name in ("athlete", "channel", "week"))
    found = {}
    for name in COLUMNS:
        found[name] = np.full((ATHLETES, len(KEYS), WEEKS), np.nan)
        found[name][place] = frame[name].cast(pl.Float64).to_numpy()
    return found


def own_figures(tables: tuple[pl.DataFrame, pl.DataFrame]) -> dict[str, np.ndarray]:
    frame = with_keelmark(tables)
    return laid_out(
        frame.with_columns(
            athlete=pl.col("athlete_id").str.slice(1).cast(pl.Int64),
            channel=pl.col("channel").replace_strict(
                {key: place for place, key in enumerate(KEYS)}, return_dtype=pl.Int64
            ),
            week=(pl.col("monday") - pl.lit(MONDAY)).dt.total_days() // 7,
        )
    )


def duckdb_alone(daily: pl.DataFrame, days: int) -> pl.DataFrame:
    with duckdb.connect() as connection:
        connection.register("daily", daily.to_arrow())
        return with_duckdb(connection, days)


REFERENCES: dict[str, Callable[[pl.DataFrame, int], Any]] = {
    "pandas": lambda daily, days: with_pandas(daily.to_pandas(), days),
    "polars": with_polars,
    "DuckDB": duckdb_alone,
}


@pytest.mark.parametrize("name", REFERENCES)
def test_the_figures_are_the_same(
    benchmark: Any, name: str, amounts: pl.DataFrame, tables: tuple[pl.DataFrame, pl.DataFrame]
) -> None:
    """To 1e-9 wherever keelmark gives a figure; nine in ten ratios are given."""
    raw = benchmark.pedantic(REFERENCES[name], (amounts, 7 * WEEKS), rounds=1)
    theirs, ours = laid_out(raw if isinstance(raw, pl.DataFrame) else pl.from_pandas(raw)), own_figures(tables)
    for column in COLUMNS:
        given = ~np.isnan(ours[column])
        assert given.mean() > 0.85, column
        np.testing.assert_allclose(ours[column][given], theirs[column][given], rtol=1e-9, atol=1e-9, err_msg=column)


def test_how_many_times_as_long_the_others_take(
    benchmark: Any, amounts: pl.DataFrame, tables: tuple[pl.DataFrame, pl.DataFrame]
) -> None:
    """Runs in turns on one machine; the ratios of the medians stand in the table and in the JSON."""
    runs: dict[str, Callable[[], Any]] = {"keelmark": lambda: with_keelmark(tables)}
    for name, reference in REFERENCES.items():
        runs[name] = lambda reference=reference: reference(amounts, 7 * WEEKS)
    seconds: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(ROUNDS):
        for name, run in runs.items():
            start = time.perf_counter()
            run()
            seconds[name].append(time.perf_counter() - start)
    medians = {name: statistics.median(values) for name, values in seconds.items()}
    times = {name: medians[name] / medians["keelmark"] for name in REFERENCES}
    benchmark.extra_info.update(athletes=ATHLETES, weeks=WEEKS, channels=len(KEYS), medians=medians, times=times)
    benchmark.pedantic(runs["keelmark"], rounds=1)
    print(f"\n{ATHLETES} athletes, {amounts.height:,} daily amounts; keelmark {medians['keelmark']:.2f} s")
    for name, goal in GOALS.items():
        print(f"{name:>8} {medians[name]:6.2f} s, {times[name]:5.1f} times as long (goal {goal:g})")
    assert all(times[name] >= 1.0 for name in GOALS)
