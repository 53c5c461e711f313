"""Made-up check-ins and weeks."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta

import numpy as np
import polars as pl

from keelmark.contracts.frames import DAILY_DOSE, DAY_STATE, WEEKLY_FIGURE
from keelmark.contracts.records import CHECK_IN
from keelmark.health import SCALE_ID, Answers, severity
from keelmark.load.calendar import iso_week

MONDAY = date(2025, 9, 1)


def monday(place: int) -> date:
    """The Monday of a week counted from 0."""
    return MONDAY + timedelta(weeks=place)


def week(place: int) -> str:
    """The same as an ISO week."""
    return iso_week(monday(place))


def said(*told: tuple[str, int, str | None] | tuple[str, int, str | None, Answers]) -> pl.DataFrame:
    """Check-ins in the order told: athlete, number of the week, area (None for all well), answers if they matter."""
    rows = []
    for place, (athlete, number, area, *more) in enumerate(told):
        answers = more[0] if more else Answers(0) if area is None else Answers(1, 1, 0, 1)
        rows.append({
            "check_in_id": str(place), "athlete_id": athlete, "week": week(number), "scale_id": SCALE_ID, "area": area,
            "severity": float(severity(answers)), "answers": json.dumps(answers.as_json()),
            "created_at": datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=place),
        })  # fmt: skip
    return CHECK_IN.build(rows)


def weekly(values: dict[str, list[float | None]], channel: str, known_days: int = 7) -> pl.DataFrame:
    """Weekly amounts of athletes, week by week from the first."""
    rows = [
        {
            "athlete_id": athlete, "week": week(place), "monday": monday(place), "channel": channel, "value": value,
            "low": value, "high": value, "known_days": 0 if value is None else known_days, "assumed_rest_days": 0,
            "trained_days": 3,
        }
        for athlete, own in values.items()
        for place, value in enumerate(own)
    ]  # fmt: skip
    return WEEKLY_FIGURE.build(rows)


def daily(athlete: str, days: list[date]) -> pl.DataFrame:
    """Days with training."""
    fixed = {
        "athlete_id": athlete,
        "channel": "tonnage",
        "value": 1.0,
        "low": 1.0,
        "high": 1.0,
        "efforts": 1,
        "unknown": 0,
    }
    return DAILY_DOSE.build([{"date": day, **fixed} for day in days])


def days(athlete: str, *told: tuple[date, date, str]) -> pl.DataFrame:
    """Days of which something is known, from and to."""
    rows = [
        {"athlete_id": athlete, "date": first + timedelta(days=number), "state": state}
        for first, last, state in told
        for number in range((last - first).days + 1)
    ]
    return DAY_STATE.build(rows)


def squad_season(
    athletes: int, weeks: int, complaints: float, draw: np.random.Generator, log_ratio: float = 0.0
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Check-ins and weekly lumbar loading of a squad: some complain more than others, and after work of the week
    before as often as `log_ratio` says."""
    steps = draw.standard_normal((athletes, weeks))
    often = draw.gamma(2.0, 0.5, athletes)[:, None] * np.exp(log_ratio * np.roll(steps, 1, axis=1))
    began = draw.random((athletes, weeks)) < 1 - np.exp(-often * complaints / often.sum())
    names = [f"a{number:03d}" for number in range(athletes)]
    told = [
        (name, place, "lumbosacral" if began[number, place] else None)
        for number, name in enumerate(names)
        for place in range(weeks)
    ]
    loading = {name: list(1000.0 + 200.0 * steps[number]) for number, name in enumerate(names)}
    return said(*told), weekly(loading, "lumbar_moment")
