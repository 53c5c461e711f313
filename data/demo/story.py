"""The story of the demo season, as data: who is in the crew, what they train, and what happens to them.

Everything here is made up. Weeks are counted from 1; week 1 starts on Monday, 1 September 2025.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

FIRST_MONDAY = date(2025, 9, 1)
WEEKS = 40
LAST_DAY = FIRST_MONDAY + timedelta(weeks=WEEKS, days=-1)


class Person(NamedTuple):
    """Somebody of the crew: strength is a factor on the maxima usual for sex and body mass, keen the share of
    squad evenings that he or she comes to."""

    name: str
    group: str
    sex: str
    body_mass_kg: float
    stature_cm: int
    standard: str
    strength: float
    keen: float
    joined_week: int = 1


INSHORE, ALL_WEATHER = "inshore", "all-weather"
CREW = (
    Person("Aled", ALL_WEATHER, "male", 84.0, 182, "heavier", 1.10, 0.90),
    Person("Bridie", INSHORE, "female", 63.5, 167, "lighter", 1.02, 0.84),
    Person("Callum", ALL_WEATHER, "male", 91.0, 186, "heavier", 1.00, 0.78),
    Person("Dagny", ALL_WEATHER, "female", 71.0, 174, "heavier", 1.16, 0.93),
    Person("Eamon", INSHORE, "male", 77.5, 176, "heavier", 0.92, 0.72),
    Person("Fenna", INSHORE, "female", 66.0, 171, "lighter", 0.98, 0.80),
    Person("Gethin", ALL_WEATHER, "male", 96.5, 188, "heavier", 1.06, 0.74),
    Person("Hanne", INSHORE, "female", 60.0, 164, "lighter", 1.08, 0.88),
    Person("Idris", ALL_WEATHER, "male", 80.0, 179, "heavier", 1.04, 0.86),
    Person("Jorun", ALL_WEATHER, "female", 68.5, 170, "lighter", 1.10, 0.82),
    Person("Kasper", INSHORE, "male", 74.0, 178, "lighter", 0.86, 0.70),
    Person("Lowri", INSHORE, "female", 58.5, 162, "lighter", 0.94, 0.78),
    Person("Marek", ALL_WEATHER, "male", 88.0, 183, "heavier", 1.12, 0.88),
    Person("Nadia", INSHORE, "female", 64.0, 168, "lighter", 1.00, 0.80),
    Person("Oskar", ALL_WEATHER, "male", 86.5, 185, "heavier", 0.98, 0.76),
    Person("Priya", INSHORE, "female", 57.0, 160, "lighter", 1.05, 0.90),
    Person("Ronan", ALL_WEATHER, "male", 82.0, 180, "heavier", 1.00, 0.72),
    Person("Signe", ALL_WEATHER, "female", 69.5, 172, "heavier", 1.14, 0.94),
    Person("Tomas", INSHORE, "male", 72.5, 174, "lighter", 0.96, 0.80),
    Person("Tove", INSHORE, "female", 62.0, 169, "lighter", 1.03, 0.90),
    Person("Una", INSHORE, "female", 65.5, 166, "lighter", 0.90, 0.68),
    Person("Vigo", ALL_WEATHER, "male", 93.0, 190, "heavier", 1.08, 0.82),
    Person("Wren", INSHORE, "female", 59.5, 165, "lighter", 1.00, 0.84),
    Person("Ximena", ALL_WEATHER, "female", 67.0, 169, "heavier", 1.12, 0.86),
    Person("Yusuf", ALL_WEATHER, "male", 79.0, 181, "lighter", 0.84, 0.82, joined_week=24),
    Person("Zofia", INSHORE, "female", 61.0, 168, "lighter", 0.86, 0.80, joined_week=12),
)

# One-repetition maxima as multiples of body mass at strength 1, made up for the demo.
MAXIMA = {
    "back squat": {"male": 1.55, "female": 1.25},
    "front squat": {"male": 1.28, "female": 1.04},
    "deadlift": {"male": 1.95, "female": 1.60},
    "clean": {"male": 1.08, "female": 0.86},
    "snatch": {"male": 0.84, "female": 0.66},
    "strict press": {"male": 0.72, "female": 0.50},
    "bench press": {"male": 1.12, "female": 0.74},
}
TESTED = FIRST_MONDAY + timedelta(weeks=14)
NOT_TESTED = {("Yusuf", "snatch"), ("Yusuf", "clean"), ("Una", "snatch"), ("Kasper", "front squat")}

# Four weeks go round: sets, reps, share of the maximum, and how many rounds the mixed part has.
WAVE = ((4, 6, 0.68, 4), (5, 5, 0.73, 4), (5, 4, 0.78, 5), (3, 5, 0.62, 3))

# The squad's evenings: weekday (0 is Monday), length in minutes, strength parts that take turns week by week.
# A strength part is a lift and the maximum it is counted from, with a factor on the share.
EVENINGS = {
    "Monday squats": (0, 70, ((("back squat", "back squat", 1.0), ("bent over row", "bench press", 0.8)),
                              (("front squat", "front squat", 1.0), ("bent over row", "bench press", 0.8)))),
    "Tuesday pulls": (1, 75, ((("deadlift", "deadlift", 0.95), ("strict press", "strict press", 0.95)),
                              (("romanian deadlift", "deadlift", 0.7), ("push press", "strict press", 1.1)))),
    "Thursday lifts": (3, 75, ((("power clean", "clean", 0.78), ("bench press", "bench press", 0.95)),
                               (("power snatch", "snatch", 0.78), ("overhead squat", "snatch", 0.8)))),
    "Saturday long": (5, 85, ((("walking lunge", "back squat", 0.35), ("good morning", "back squat", 0.35)),) * 2),
    "Wednesday skills": (2, 50, ((), ())),
}  # fmt: skip
WEDNESDAY_SHARE = 0.45

# Jumps, planned and few: sets, reps, box heights in cm of the heavier and the lighter standard. They take turns too.
JUMPS = {
    "Tuesday pulls": (("box jump", 5, 5, (60, 50)), ("hurdle jump", 4, 6, (45, 40))),
    "Thursday lifts": (("broad jump", 4, 4, None), ("tuck jump", 4, 5, None)),
}


class Part(NamedTuple):
    """A movement of a mixed part: the column of its amount, the amount a round, the loads in kg and box heights in cm
    of the heavier and the lighter standard."""

    movement: str
    column: str
    amount: int
    loads: tuple[float, float] | None = None
    heights: tuple[int, int] | None = None


# Mixed parts take turns too.
MIXED = {
    "Monday squats": (
        (
            Part("wall ball", "reps", 16, (9, 6)),
            Part("pull-up", "reps", 8),
            Part("row", "distance_m", 300),
        ),
        (
            Part("thruster", "reps", 10, (42.5, 30)),
            Part("toes to bar", "reps", 9),
            Part("bike", "calories", 12),
        ),
        (
            Part("goblet squat", "reps", 14, (24, 16)),
            Part("push-up", "reps", 12),
            Part("run", "distance_m", 300),
        ),
    ),
    "Tuesday pulls": (
        (
            Part("kettlebell swing", "reps", 16, (24, 16)),
            Part("air squat", "reps", 15),
            Part("sit-up", "reps", 15),
        ),
        (
            Part("ring row", "reps", 10),
            Part("row", "distance_m", 350),
            Part("hollow hold", "duration_s", 30),
        ),
        (
            Part("double under", "reps", 40),
            Part("push-up", "reps", 12),
            Part("back extension", "reps", 12),
        ),
    ),
    "Thursday lifts": (
        (
            Part("dumbbell snatch", "reps", 12, (22.5, 15)),
            Part("run", "distance_m", 400),
            Part("ring row", "reps", 10),
        ),
        (
            Part("toes to bar", "reps", 8),
            Part("step-up", "reps", 14, heights=(60, 50)),
            Part("ski erg", "distance_m", 250),
        ),
        (
            Part("pull-up", "reps", 7),
            Part("box step over", "reps", 12, heights=(60, 50)),
            Part("wall ball", "reps", 14, (9, 6)),
        ),
    ),
    "Saturday long": (
        (
            Part("run", "distance_m", 600),
            Part("sandbag clean", "reps", 7, (45, 30)),
            Part("farmers carry", "distance_m", 50, (48, 32)),
        ),
        (
            Part("row", "distance_m", 500),
            Part("hand-release push-up", "reps", 12),
            Part("sandbag carry", "distance_m", 60, (45, 30)),
        ),
        (
            Part("run", "distance_m", 800),
            Part("kettlebell swing", "reps", 18, (24, 16)),
            Part("rope climb", "reps", 1),
        ),
    ),
    "Wednesday skills": (
        (
            Part("dead hang", "duration_s", 35),
            Part("handstand push-up", "reps", 5),
            Part("plank hold", "duration_s", 45),
            Part("swim", "distance_m", 200),
        ),
        (
            Part("pull-up", "reps", 6),
            Part("v-up", "reps", 10),
            Part("cossack squat", "reps", 10),
            Part("bike", "calories", 15),
        ),
    ),
}

# What the crew does on a call-out: lifting that no programme asked for. Times done, amount each time, kg.
CALL_OUT = (
    ("rope pull", "distance_m", (8, 18), 20, (50, 50)),
    ("casualty carry", "distance_m", (2, 6), 25, (75, 75)),
    ("farmers carry", "distance_m", (6, 14), 30, (40, 40)),
    ("sandbag over shoulder", "reps", (3, 7), 8, (25, 25)),
)
CALL_OUT_NOTES = ("northerly gale", "fishing boat adrift", "sandbags for the harbour wall", "two kayaks overdue")
STORM_WEEKS = (22, 23)
CALL_OUTS_EACH = (2, 5)

HOLIDAY_WEEKS = (17, 18)
COMPETITION_WEEKS = (33, 34, 35, 36)
RELAY_DAY = FIRST_MONDAY + timedelta(weeks=35, days=5)
RELAY = (
    ("run", "distance_m", 2, 800, None), ("row", "distance_m", 2, 500, None), ("burpee", "reps", 3, 20, None),
    ("casualty carry", "distance_m", 3, 40, (75, 60)), ("rope pull", "distance_m", 4, 25, (50, 40)),
)  # fmt: skip
PLANNED_WEEKS, PLANNED_GROUP = (28, 29), ALL_WEATHER

# Whose back works harder week by week while the evenings feel the same: extra pulls, paid for with mixed rounds.
SLOW_RISE, SLOW_RISE_FROM = "Signe", 19

# Who jumps far more than ever, in the last week, with nobody having planned it. Sets, reps, height of the box in cm.
SPIKE, SPIKE_WEEK = "Tove", 40
SPIKE_DAYS = (1, 3, 5)
SPIKE_NOTE = "with friends on the beach wall"
SPIKE_WORK = (("depth jump", 3, 6, 50), ("box jump", 4, 6, 60), ("hurdle jump", 2, 6, 40))

# From week, weekday to week, weekday: what is known of days off.
ABSENCES = (
    ("Marek", "ill", (26, 0), (27, 2), "chest cold"),
    ("Marek", "restricted", (27, 3), (27, 6), "easy walking only"),
    ("Fenna", "travel", (7, 0), (7, 6), "away for work"),
    ("Gethin", "travel", (15, 2), (16, 3), "delivering a boat"),
    ("Priya", "away", (31, 0), (31, 6), "leave"),
    ("Oskar", "away", (9, 0), (10, 1), "leave"),
    ("Ximena", "travel", (20, 0), (20, 4), "course"),
    ("Lowri", "ill", (13, 1), (13, 4), "stomach upset"),
    ("Wren", "away", (38, 0), (38, 6), "leave"),
)
# Weeks in which somebody trained or not, and nobody wrote it down.
GAPS = {"Callum": (14, 15), "Nadia": (25, 26), "Eamon": (5,), "Una": (21, 34)}
PATCHY, PATCHY_SHARE = "Ronan", 0.25
FORGOTTEN_SHARE = 0.015

LABELS = (
    (HOLIDAY_WEEKS[0], HOLIDAY_WEEKS[-1], "holidays", ""),
    (STORM_WEEKS[0], STORM_WEEKS[-1], "storm fortnight", ""),
    (PLANNED_WEEKS[0], PLANNED_WEEKS[-1], "planned heavy weeks", PLANNED_GROUP),
    (COMPETITION_WEEKS[0], COMPETITION_WEEKS[-1], "competition block", ""),
)

# Rows that no import should take, each placed after the row of that number: cells by column.
DIRTY = (
    (310, {"name": "Tova"}),
    (1205, {"load_kg": "-60"}),
    (2480, {}),
    (4031, {"date": "2062-03-02"}),
    (6007, {"movement": "mast dance"}),
    (8214, {"reps": "a few"}),
    (9950, {"rpe": "14"}),
    (11303, {"name": "Jo"}),
    (12870, {}),
    (13999, {"date": "", "name": "", "session": "", "block": "", "movement": "", "note": ""}),
)
