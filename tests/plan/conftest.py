"""Weeks to plan, for two reference athletes and for a small crew."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import polars as pl
import pytest

from keelmark.catalogue import Catalogue, shipped_catalogue
from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM
from keelmark.plan import People, PlanDoser, PlannedWeek, read_week, reference_people

MONDAY = dt.date(2026, 6, 8)

Planned = Callable[..., PlannedWeek]


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The shipped movements."""
    return shipped_catalogue()


@pytest.fixture
def planned(catalogue: Catalogue) -> Planned:
    """Plan a text, for the reference athletes unless others are given."""

    def made(text: str, people: People | None = None) -> PlannedWeek:
        week = read_week(text, near=MONDAY)
        return PlannedWeek(week, PlanDoser(catalogue, people or reference_people(), week.monday))

    return made


@pytest.fixture
def crew() -> People:
    """Three of a lifeboat's crew, two of them with a known deadlift."""
    athletes = ATHLETE.build(
        [
            {"athlete_id": "ada", "name": "Ada", "sex": "female", "body_mass_kg": 64.0, "standard": "lighter"},
            {"athlete_id": "bo", "name": "Bo", "sex": "male", "body_mass_kg": 82.0, "standard": "heavier"},
            {"athlete_id": "cy", "name": "Cy", "standard": "heavier"},
        ]
    )
    maxima = REP_MAXIMUM.build(
        [
            {
                "athlete_id": "ada",
                "movement": "deadlift",
                "date": dt.date(2026, 5, 1),
                "load_kg": 100.0,
                "state": "tested",
            },
            {
                "athlete_id": "bo",
                "movement": "deadlift",
                "date": dt.date(2026, 5, 1),
                "load_kg": 160.0,
                "state": "tested",
            },
        ]
    )
    return People.of(athletes, maxima, EFFORT.empty(), MONDAY)


def efforts(rows: list[tuple[str, dt.date]]) -> pl.DataFrame:
    """Push-ups of some athletes on some days."""
    return EFFORT.build(
        [
            {
                "athlete_id": athlete_id, "date": day, "session_id": f"{athlete_id}/{day}", "order": 0,
                "movement": "push_up", "version": "as_written", "sets": 1, "reps": 10.0, "load_basis": "none",
                "share_low": 1.0, "share_high": 1.0, "source": "log", "import_id": "1",
            }
            for athlete_id, day in rows
        ]
    )  # fmt: skip
