"""Weekly figures written down as series of weeks, and a squad in which nothing changes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.frames import ATHLETE, WEEKLY_FIGURE
from keelmark.load.calendar import iso_week

MONDAY = date(2025, 9, 1)


def weekly(series: dict[tuple[str, str], Sequence[float | None]], known_days: int = 7) -> pl.DataFrame:
    """`WEEKLY_FIGURE` rows: amounts per week for each athlete and channel; None is a week of which nothing is known."""
    rows: list[dict[str, object]] = []
    for (athlete, channel), values in series.items():
        for week, value in enumerate(values):
            monday = MONDAY + timedelta(days=7 * week)
            rows.append(
                {
                    "athlete_id": athlete,
                    "week": iso_week(monday),
                    "monday": monday,
                    "channel": channel,
                    "value": value,
                    "low": value,
                    "high": value,
                    "known_days": 0 if value is None else known_days,
                    "assumed_rest_days": 0,
                    "trained_days": 0 if value is None else 3,
                }
            )
    return WEEKLY_FIGURE.build(rows)


def athletes(*names: str) -> pl.DataFrame:
    return ATHLETE.build([{"athlete_id": name, "name": name.title()} for name in names])


def week(number: int) -> str:
    """The ISO week with a number from 0."""
    return iso_week(MONDAY + timedelta(days=7 * number))


CHANNELS = (
    "tonnage", "lumbar_moment", "lumbar_compression", "spinal_flexion", "hip_hinge_reps", "hip_hinge_kg", "knee_reps",
    "hip_opening", "two_legged", "jump_contacts", "foot_strikes", "overhead_reps", "vertical_pull", "vertical_push",
    "grip_s", "hand_contacts",
)  # fmt: skip


def unchanging_squad(number: int, people: int = 26, weeks: int = 40) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Daily work of a squad whose programme, attendance and scatter stay the same.

    A coach's plan has four blocks on each day of the week, a third of them swapped at random; a block feeds two to four
    channels. Each athlete comes on three to five fixed days, misses one in eight, and does each block a little
    differently each time. Returns amounts of shape (day, athlete, channel) and trained days of shape (day, athlete).
    """
    random = np.random.default_rng(number)
    kinds = np.zeros((30, len(CHANNELS)))
    for block in kinds:
        fed = random.choice(len(CHANNELS), size=random.integers(2, 5), replace=False)
        block[fed] = random.lognormal(3.0, 0.7, len(fed))
    plan = random.integers(30, size=(7, 4))
    size = random.lognormal(0.0, 0.3, people)
    comes = np.array([np.isin(np.arange(7), random.choice(7, random.integers(3, 6), False)) for _ in range(people)]).T
    amounts = np.zeros((7 * weeks, people, len(CHANNELS)))
    trained = np.zeros((7 * weeks, people), dtype=bool)
    for day in range(7 * weeks):
        swapped = random.random(4) < 0.33
        blocks = np.where(swapped, random.integers(30, size=4), plan[day % 7])
        trained[day] = comes[day % 7] & (random.random(people) > 0.12)
        own = random.lognormal(0.0, 0.3, (people, 4)) * size[:, None]
        amounts[day] = np.where(trained[day][:, None], own @ kinds[blocks], 0.0)
    return amounts, trained


def weeks_of(amounts: NDArray[np.float64]) -> dict[tuple[str, str], list[float | None]]:
    """Weekly series of a squad's daily work, channels that an athlete never did left out."""
    summed = amounts.reshape(-1, 7, *amounts.shape[1:]).sum(axis=1)
    return {
        (f"a{athlete:02d}", channel): summed[:, athlete, place].tolist()
        for athlete in range(amounts.shape[1])
        for place, channel in enumerate(CHANNELS)
        if summed[:, athlete, place].any()
    }
