"""How long a week's plan takes: everything but versions, and versions with their proof, for 40 and for 200 athletes.

    pytest tests/benchmarks/test_plan.py --benchmark-only -s

Prints seconds on the clock and of the processor, the size of the programme and the gap that was proven. Athletes are
made up; marks lie so that the week's amounts would pass some of them.
"""

from __future__ import annotations

import time
from datetime import date
from typing import Any

import numpy as np
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM
from keelmark.plan import (
    PLAN_CHANNELS,
    People,
    PlanDoser,
    PlanMarks,
    PlannedWeek,
    balance_of_squad,
    clashes,
    projection,
    read_week,
    versions,
)

MONDAY = date(2026, 6, 8)
GOALS = {40: (1.0, 10.0), 200: (5.0, 60.0)}
"""Athletes, with seconds for all but versions and for versions."""
WEEK = """Monday 8 June 2026
5 x 5 back squat @ 75%

4 rounds for time
10 toes to bar
15 kettlebell swings 24/16 kg

Tuesday
21-15-9
thrusters 42.5/30 kg
pull-ups

Wednesday
5 rounds for time
400 m run
12 deadlift 100/70 kg
12 hand release push-ups

Thursday
Every 2:00 x 10: 8 box jumps 60/50 cm, 8 power snatch 35/25 kg

Friday
5 x 3 bench press @ 80%

4 x 12 bent over row 50/35 kg

Saturday
AMRAP 20
500 m row
20 sit-ups
15 wall balls 9/6 kg
"""


def _people(athletes: int) -> People:
    draw = np.random.default_rng(0)
    frame = ATHLETE.build(
        [
            {
                "athlete_id": f"a{at:03}", "name": f"A{at:03}", "sex": ("female", "male")[at % 2],
                "body_mass_kg": float(draw.uniform(55, 95)), "stature_cm": float(draw.uniform(158, 195)),
                "standard": ("lighter", "heavier")[at % 2],
            }
            for at in range(athletes)
        ]
    )  # fmt: skip
    maxima = REP_MAXIMUM.build(
        [
            {
                "athlete_id": f"a{at:03}", "movement": lift, "date": date(2026, 5, 1),
                "load_kg": float(draw.uniform(60, 160)), "state": "tested",
            }
            for at in range(athletes)
            for lift in ("back_squat", "bench_press", "deadlift", "snatch")
        ]
    )  # fmt: skip
    return People.of(frame, maxima, EFFORT.empty(), MONDAY)


def _marks(planned: PlannedWeek) -> PlanMarks:
    draw = np.random.default_rng(1)
    edges = {}
    for person in planned.persons:
        total = planned.week_of(person)
        for channel in PLAN_CHANNELS:
            if total.of(channel.key) > 0:
                upper = total.of(channel.key) * float(draw.uniform(0.9, 1.7))
                edges[person.athlete_id, channel.key] = (0.0, upper / 2, upper)
    return PlanMarks(edges, {})


@pytest.mark.parametrize("athletes", [40, 200])
def test_a_week_of_six_sessions(benchmark: Any, athletes: int) -> None:
    catalogue, people, week = shipped_catalogue(), _people(athletes), read_week(WEEK)
    PlannedWeek(week, PlanDoser(catalogue, People((), people.athletes, people.rep_maxima, people.history), MONDAY))
    own = _marks(PlannedWeek(week, PlanDoser(catalogue, people, MONDAY)))

    def without_versions() -> PlannedWeek:
        planned = PlannedWeek(week, PlanDoser(catalogue, people, MONDAY))
        for person in planned.persons[:1]:
            planned.matrix(person)
        balance_of_squad(planned)
        clashes(planned)
        projection(planned, own)
        return planned

    planned = benchmark.pedantic(without_versions, rounds=3)
    began = time.perf_counter()
    projection(planned, own, days={"a001": [0, 1]})
    what_if = time.perf_counter() - began
    began, worked = time.perf_counter(), time.process_time()
    found = versions(planned, own.upper)
    spent, busy = time.perf_counter() - began, time.process_time() - worked
    solution = found.solution
    quick = benchmark.stats.stats.min
    print(
        f"\n{athletes} athletes, 6 sessions: {quick:.2f} s without versions, what if {what_if:.2f} s, "
        f"versions {spent:.1f} s ({busy:.1f} s of the processor); {solution.variables} variables "
        f"({solution.binaries} whole), {solution.rows} rows, {sum(found.offered)} versions offered, "
        f"proven gap {solution.gap:.2%}"
    )
    assert solution.feasible
    assert solution.gap <= 0.01
    assert what_if < 1.0
    goal_quick, goal_versions = GOALS[athletes]
    assert quick < goal_quick
    assert spent < goal_versions
