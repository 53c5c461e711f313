"""The revised occupational lifting equation. An arithmetic check and context for Methods, never a limit for training.

It describes slow, two-handed, smooth lifts at work; it does not describe fast, one-handed, seated or kneeling lifts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

__all__ = [
    "COUPLING_TABLE",
    "FREQUENCY_TABLE",
    "METRIC",
    "US_CUSTOMARY",
    "Constants",
    "Coupling",
    "Duration",
    "Lift",
    "asymmetry_multiplier",
    "coupling_multiplier",
    "distance_multiplier",
    "duration_of_work",
    "frequency_multiplier",
    "frequency_over_15_minutes",
    "horizontal_multiplier",
    "lifting_index",
    "recommended_weight",
    "vertical_multiplier",
]

Duration = Literal["short", "moderate", "long"]
Coupling = Literal["good", "fair", "poor"]


@dataclass(frozen=True, slots=True)
class Constants:
    """One printed form of the equation, with its units. The two forms are not exact conversions of each other."""

    length: str
    weight: str
    load: float
    horizontal: float
    horizontal_limit: float
    vertical_slope: float
    vertical_reference: float
    vertical_limit: float
    distance_term: float
    distance_floor: float
    distance_limit: float


METRIC = Constants("cm", "kg", 23.0, 25.0, 63.0, 0.003, 75.0, 175.0, 4.5, 25.0, 175.0)
"""Metric form of the manual."""

US_CUSTOMARY = Constants("in", "lb", 51.0, 10.0, 25.0, 0.0075, 30.0, 70.0, 1.8, 10.0, 70.0)
"""Inch and pound form of the manual."""

FREQUENCY_TABLE: tuple[tuple[float, tuple[float, float, float, float, float, float]], ...] = (
    (0.2, (1.00, 1.00, 0.95, 0.95, 0.85, 0.85)),
    (0.5, (0.97, 0.97, 0.92, 0.92, 0.81, 0.81)),
    (1.0, (0.94, 0.94, 0.88, 0.88, 0.75, 0.75)),
    (2.0, (0.91, 0.91, 0.84, 0.84, 0.65, 0.65)),
    (3.0, (0.88, 0.88, 0.79, 0.79, 0.55, 0.55)),
    (4.0, (0.84, 0.84, 0.72, 0.72, 0.45, 0.45)),
    (5.0, (0.80, 0.80, 0.60, 0.60, 0.35, 0.35)),
    (6.0, (0.75, 0.75, 0.50, 0.50, 0.27, 0.27)),
    (7.0, (0.70, 0.70, 0.42, 0.42, 0.22, 0.22)),
    (8.0, (0.60, 0.60, 0.35, 0.35, 0.18, 0.18)),
    (9.0, (0.52, 0.52, 0.30, 0.30, 0.00, 0.15)),
    (10.0, (0.45, 0.45, 0.26, 0.26, 0.00, 0.13)),
    (11.0, (0.41, 0.41, 0.00, 0.23, 0.00, 0.00)),
    (12.0, (0.37, 0.37, 0.00, 0.21, 0.00, 0.00)),
    (13.0, (0.00, 0.34, 0.00, 0.00, 0.00, 0.00)),
    (14.0, (0.00, 0.31, 0.00, 0.00, 0.00, 0.00)),
    (15.0, (0.00, 0.28, 0.00, 0.00, 0.00, 0.00)),
)
"""Table 5 of the manual: lifts per minute; then for short, moderate and long work, below 75 cm and from there up."""

COUPLING_TABLE: dict[Coupling, tuple[float, float]] = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.9, 0.9)}
"""Table 7 of the manual: hold below 75 cm, and from 75 cm upward."""

_COLUMN: dict[Duration, int] = {"short": 0, "moderate": 2, "long": 4}


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift at work, at its start or at its end.

    Lengths in cm, or inches with `US_CUSTOMARY`; asymmetry in degrees; lifts per minute. `origin_height` chooses the
    column of frequencies, also for the end of a lift.
    """

    horizontal: float
    height: float
    distance: float
    asymmetry: float
    frequency: float
    duration: Duration
    coupling: Coupling
    origin_height: float
    constants: Constants = METRIC


def recommended_weight(lift: Lift) -> float:
    """Weight the equation recommends for one lift.

    Scope: slow, smooth, two-handed lifts at work; not fast, one-handed, seated or kneeling ones, and not a limit
    for training.

    Parameters
    ----------
    lift : Lift
        One end of a lift.

    Returns
    -------
    float [kg, or lb with US_CUSTOMARY]
        0 when a term lies outside its range.

    Notes
    -----
    RWL = LC * HM * VM * DM * AM * FM * CM, LC = 23 kg.

    References
    ----------
    Waters TR, Putz-Anderson V, Garg A. Applications Manual for the Revised NIOSH Lifting Equation. DHHS (NIOSH) 94-110,
    1994, revised 9/2021, doi:10.26616/NIOSHPUB94110revised092021.
    """
    return (
        lift.constants.load
        * horizontal_multiplier(lift.horizontal, lift.constants)
        * vertical_multiplier(lift.height, lift.constants)
        * distance_multiplier(lift.distance, lift.constants)
        * asymmetry_multiplier(lift.asymmetry)
        * frequency_multiplier(lift.frequency, lift.duration, lift.origin_height, lift.constants)
        * coupling_multiplier(lift.coupling, lift.height, lift.constants)
    )


def lifting_index(load: float, lift: Lift) -> float | None:
    """Load over recommended weight; None where the equation recommends no weight at all.

    Parameters
    ----------
    load : float [kg, or lb]
        Weight lifted.
    lift : Lift
        One end of the lift.

    Returns
    -------
    float or None

    Notes
    -----
    LI = load / RWL

    References
    ----------
    As `recommended_weight`.
    """
    recommended = recommended_weight(lift)
    return load / recommended if recommended > 0 else None


def horizontal_multiplier(horizontal: float, constants: Constants = METRIC) -> float:
    """HM = 25 / H (10 / H in inches); a shorter reach counts as 25 cm, beyond 63 cm is 0."""
    if horizontal > constants.horizontal_limit:
        return 0.0
    return constants.horizontal / max(horizontal, constants.horizontal)


def vertical_multiplier(height: float, constants: Constants = METRIC) -> float:
    """VM = 1 - 0.003 |V - 75| (1 - 0.0075 |V - 30| in inches); below the floor and beyond 175 cm is 0."""
    if not 0 <= height <= constants.vertical_limit:
        return 0.0
    return 1 - constants.vertical_slope * abs(height - constants.vertical_reference)


def distance_multiplier(distance: float, constants: Constants = METRIC) -> float:
    """DM = 0.82 + 4.5 / D (1.8 / D in inches); below 25 cm counts as 25, beyond 175 cm is 0."""
    if distance > constants.distance_limit:
        return 0.0
    return 0.82 + constants.distance_term / max(distance, constants.distance_floor)


def asymmetry_multiplier(asymmetry: float) -> float:
    """AM = 1 - 0.0032 A [degrees]; beyond 135 degrees is 0."""
    return 0.0 if asymmetry > 135 else 1 - 0.0032 * asymmetry


def frequency_multiplier(per_minute: float, duration: Duration, height: float, constants: Constants = METRIC) -> float:
    """FM from Table 5 of the manual, in a straight line between the rows; beyond 15 per minute is 0.

    Parameters
    ----------
    per_minute : float [lift/min]
        Below 0.2 counts as 0.2.
    duration : "short", "moderate" or "long"
        Up to 1 h, 1 to 2 h, 2 to 8 h; see `duration_of_work`.
    height : float [cm, or in]
        Height of the hands at the start of the lift.
    constants : Constants
        Which printed form.

    Returns
    -------
    float, 0 to 1
    """
    if per_minute > 15:
        return 0.0
    column = _COLUMN[duration] + (height >= constants.vertical_reference)
    rates = [rate for rate, _ in FREQUENCY_TABLE]
    return float(np.interp(max(per_minute, 0.2), rates, [row[column] for _, row in FREQUENCY_TABLE]))


def coupling_multiplier(coupling: Coupling, height: float, constants: Constants = METRIC) -> float:
    """CM from Table 7 of the manual, by quality of the hold and height of the point looked at."""
    return COUPLING_TABLE[coupling][height >= constants.vertical_reference]


def frequency_over_15_minutes(per_minute: float, minutes: float) -> float:
    """Lifts per minute when lifting fills only part of 15 minutes: F = per_minute * minutes / 15."""
    return per_minute * minutes / 15


def duration_of_work(periods: list[tuple[float, float]]) -> Duration:
    """Duration class of spells of lifting with rests between them.

    Scope: a rest as long as the work before it (short), or 0.3 times as long (moderate), starts the count afresh.

    Parameters
    ----------
    periods : list of (work, rest) [min]
        In order; the rest after each spell.

    Returns
    -------
    "short", "moderate" or "long"

    Notes
    -----
    Spells whose rest is shorter than the work are added up; the sum is then compared with 60 and 120 min.
    """
    longest, run = 0.0, 0.0
    for work, rest in periods:
        run += work
        longest = max(longest, run)
        if rest >= run:
            run = 0.0
    if longest <= 60:
        return "short"
    run = longest = 0.0
    for work, rest in periods:
        run += work
        longest = max(longest, run)
        if rest >= 0.3 * run and run > 60:
            run = 0.0
    return "moderate" if longest <= 120 else "long"
