"""Energy of locomotion from distance, or from what a machine counts. Kept apart from every other dose."""

from __future__ import annotations

from keelmark.mechanics.anthropometry import Range

__all__ = ["RUNNING_COST", "running_energy"]

RUNNING_COST = Range(1.0, 0.9, 1.1)
"""Net energy of running on the level [kcal per kg and km], much the same at all speeds. Margaria 1963 (from memory)."""


def running_energy(body_mass_kg: Range, distance_m: float) -> Range:
    """Net energy of running a distance on the level.

    Scope: level ground, no load carried; net of rest. Machines' calorie counts are taken as they stand and are not
    this.

    Parameters
    ----------
    body_mass_kg : Range [kg]
        Body mass, with a range where it is not known.
    distance_m : float [m]
        Distance.

    Returns
    -------
    Range [kcal]

    Notes
    -----
    E = c m d, c = 1 kcal per kg and km

    References
    ----------
    Margaria R et al. J Appl Physiol 1963;18:367-370 (from memory).
    """
    kilometres = distance_m / 1000.0
    return Range(
        RUNNING_COST.value * body_mass_kg.value * kilometres,
        RUNNING_COST.low * body_mass_kg.low * kilometres,
        RUNNING_COST.high * body_mass_kg.high * kilometres,
    )
