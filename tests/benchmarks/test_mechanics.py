"""Speed of the lumbar figures. Run on purpose: `pytest tests/benchmarks --benchmark-only -s`.

Ratios compare two readings of the same file in the same run; a bare time says little about another machine.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.catalogue.posture import shipped_postures
from keelmark.contracts.frames import ATHLETE, EFFORT
from keelmark.dose.lumbar import LUMBAR_CHANNELS, lumbar_daily
from keelmark.dose.lumbar_points import lumbar_points
from keelmark.dose.lumbar_width import width_by_input

pytestmark = pytest.mark.slow

LONG_LOG = 12_000_000
CATALOGUE = shipped_catalogue()


def squad(people: int) -> pl.DataFrame:
    sexes = ("female", "male", None)
    return ATHLETE.build(
        [
            {
                "athlete_id": f"a{place}",
                "name": "Runa",
                "sex": sexes[place % 3],
                "body_mass_kg": 60.0 + place % 40 if place % 4 else None,
                "stature_cm": 160.0 + place % 30 if place % 5 else None,
            }
            for place in range(people)
        ]
    )


def log(rows: int, people: int, days: int, movements: list[str]) -> pl.DataFrame:
    """Efforts spread at random over people, days and movements, with loads in steps of 2.5 kg."""
    generator = np.random.default_rng(11)
    picked = generator.integers(0, len(movements), rows)
    carries = np.array([CATALOGUE[name].load != "never" for name in movements])[picked]
    load = np.where(carries, np.round(generator.uniform(10, 140, rows) / 2.5) * 2.5, np.nan)
    plain = pl.DataFrame(
        {
            "who": generator.integers(0, people, rows),
            "day": generator.integers(0, days, rows),
            "movement": pl.Series(movements).gather(picked),
            "load": pl.Series(load).fill_nan(None),
        }
    )
    stated = {
        "athlete_id": pl.format("a{}", "who"),
        "date": pl.date(2024, 1, 1) + pl.duration(days="day"),
        "session_id": pl.format("s{}", "day"),
        "order": pl.lit(0),
        "movement": pl.col("movement"),
        "version": pl.lit("as_written"),
        "sets": pl.lit(3),
        "reps": pl.lit(10.0),
        "load_kg": pl.col("load"),
        "load_basis": pl.when(pl.col("load").is_null()).then(pl.lit("none")).otherwise(pl.lit("external")),
        "share_low": pl.lit(1.0),
        "share_high": pl.lit(1.0),
        "source": pl.lit("log"),
        "import_id": pl.lit("i"),
    }
    columns = [stated.get(c.name, pl.lit(None)).cast(c.dtype).alias(c.name) for c in EFFORT.columns]
    return EFFORT.check(plain.select(columns).sort("athlete_id", "date"), where="benchmark")


@pytest.fixture(scope="module")
def long_log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("log") / "efforts.parquet"
    log(LONG_LOG, 500, 1095, sorted(CATALOGUE.movements)).write_parquet(path)
    return path


def plain_reading(path: Path, table: pl.DataFrame) -> pl.DataFrame:
    """Scan, join on the same keys, group by the same days, five sums: the least any such dose must do."""
    line = pl.col("fixed") + pl.col("per_kg") * pl.col("load_kg")
    sums = [
        ((line * pl.col("sets") * pl.col("reps")) * (place + 1)).sum().alias(name)
        for place, name in enumerate(LUMBAR_CHANNELS)
    ]
    joined = pl.scan_parquet(path).join(table.lazy(), on=["athlete_id", "movement"])
    return joined.group_by("athlete_id", "date").agg(*sums, pl.len()).collect(engine="streaming")


def test_points_of_twelve_million_efforts_against_scan_join_and_group_by(
    long_log: Path, benchmark: Callable[..., object], record_property: Callable[[str, object], None]
) -> None:
    people = squad(500)
    names = pl.DataFrame({"movement": list(shipped_postures().family_of)})
    table = people.select("athlete_id").join(names, how="cross").with_columns(fixed=pl.lit(1.0), per_kg=pl.lit(2.0))

    def points() -> pl.DataFrame:
        return lumbar_points(pl.scan_parquet(long_log), people, CATALOGUE)

    plain = [timed(lambda: plain_reading(long_log, table)) for _ in range(2)]
    whole = [timed(points) for _ in range(2)]
    for _ in range(4):
        plain.append(timed(lambda: plain_reading(long_log, table)))
        whole.append(timed(points))
    ratio = min(whole) / min(plain)
    benchmark.pedantic(points, rounds=3)  # type: ignore[attr-defined]
    record_property("ratio_to_scan_join_group_by", ratio)
    print(f"\nprocessor time of points over scan + join + group-by, best of 6: {ratio:.2f}")
    assert ratio <= 1.5


def timed(work: Callable[[], object]) -> float:
    """Processor time of all threads [s]: the ratio then does not depend on what else the machine does."""
    start = time.process_time()
    work()
    return time.process_time() - start


def season(movements: list[str]) -> tuple[pl.DataFrame, pl.DataFrame]:
    return log(26 * 40 * 20, 26, 280, movements), squad(26)


@pytest.mark.parametrize("width", [40, 212])
def test_bounds_for_one_squads_season(width: int, benchmark: Callable[..., pl.DataFrame]) -> None:
    """26 athletes, 40 weeks, 20 efforts a week each; 40 movements in use, or every one there is."""
    movements = sorted(shipped_postures().family_of)
    efforts, athletes = season(movements[:: max(1, len(movements) // width)][:width])
    daily = benchmark(lumbar_daily, efforts, athletes, CATALOGUE)
    assert daily["date"].n_unique() == 280
    assert min(timed(lambda: lumbar_daily(efforts, athletes, CATALOGUE)) for _ in range(3)) < 2.0


def test_what_widens_one_athletes_week(benchmark: Callable[..., pl.DataFrame]) -> None:
    efforts, athletes = season(sorted(shipped_postures().family_of))
    one_week = efforts.filter(pl.col("athlete_id") == "a0").head(20)
    found = benchmark(width_by_input, one_week, athletes, CATALOGUE)
    assert not found.is_empty()
