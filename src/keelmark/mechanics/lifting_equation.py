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
    "LOAD_CONSTANT_KG",
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

LOAD_CONSTANT_KG = 23.0
_SPLIT_CM = 75.0

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

    Lengths in cm, asymmetry in degrees, lifts per minute; `origin_height_cm` chooses the frequency column also at the
    end.
    """

    horizontal_cm: float
    height_cm: float
    distance_cm: float
    asymmetry_deg: float
    frequency_per_min: float
    duration: Duration
    coupling: Coupling
    origin_height_cm: float


def recommended_weight(lift: Lift) -> float:
    """Weight the equation recommends for one lift.

    Scope: occupational lifts as said at the top of this file; not a limit for training.

    Parameters
    ----------
    lift : Lift
        One end of a lift.

    Returns
    -------
    float [kg]
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
        LOAD_CONSTANT_KG
        * horizontal_multiplier(lift.horizontal_cm)
        * vertical_multiplier(lift.height_cm)
        * distance_multiplier(lift.distance_cm)
        * asymmetry_multiplier(lift.asymmetry_deg)
        * frequency_multiplier(lift.frequency_per_min, lift.duration, lift.origin_height_cm)
        * coupling_multiplier(lift.coupling, lift.height_cm)
    )


def lifting_index(load_kg: float, lift: Lift) -> float | None:
    """Load over recommended weight; None where the equation recommends no weight at all.

    Parameters
    ----------
    load_kg : float [kg]
        Weight lifted.
    lift : Lift
        One end of the lift.

    Returns
    -------
    float or None

    Notes
    -----
    LI = load / RWL
    """
    recommended = recommended_weight(lift)
    return load_kg / recommended if recommended > 0 else None


def horizontal_multiplier(horizontal_cm: float) -> float:
    """HM = 25 / H [cm]; below 25 cm counts as 25, beyond 63 cm is 0."""
    return 0.0 if horizontal_cm > 63 else 25 / max(horizontal_cm, 25)


def vertical_multiplier(height_cm: float) -> float:
    """VM = 1 - 0.003 |V - 75| [cm]; beyond 175 cm is 0."""
    return 0.0 if not 0 <= height_cm <= 175 else 1 - 0.003 * abs(height_cm - 75)


def distance_multiplier(distance_cm: float) -> float:
    """DM = 0.82 + 4.5 / D [cm]; below 25 cm counts as 25, beyond 175 cm is 0."""
    return 0.0 if distance_cm > 175 else 0.82 + 4.5 / max(distance_cm, 25)


def asymmetry_multiplier(asymmetry_deg: float) -> float:
    """AM = 1 - 0.0032 A [degrees]; beyond 135 degrees is 0."""
    return 0.0 if asymmetry_deg > 135 else 1 - 0.0032 * asymmetry_deg


def frequency_multiplier(per_minute: float, duration: Duration, height_cm: float) -> float:
    """FM from Table 5 of the manual, in a straight line between whole frequencies; beyond 15 per minute is 0.

    Parameters
    ----------
    per_minute : float [lift/min]
        Below 0.2 counts as 0.2.
    duration : "short", "moderate" or "long"
        Up to 1 h, 1 to 2 h, 2 to 8 h; see `duration_of_work`.
    height_cm : float [cm]
        Height of the hands at the start of the lift.

    Returns
    -------
    float, 0 to 1
    """
    if per_minute > 15:
        return 0.0
    column = _COLUMN[duration] + (height_cm >= _SPLIT_CM)
    rates = [rate for rate, _ in FREQUENCY_TABLE]
    return float(np.interp(max(per_minute, 0.2), rates, [row[column] for _, row in FREQUENCY_TABLE]))


def coupling_multiplier(coupling: Coupling, height_cm: float) -> float:
    """CM from Table 7 of the manual, by quality of the hold and height [cm] of the point looked at."""
    return COUPLING_TABLE[coupling][height_cm >= _SPLIT_CM]


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
