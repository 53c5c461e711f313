"""How hard the hands hold, as a share of the hardest they could, and what that means for finger tendons."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.mechanics.anthropometry import Range, Sex

__all__ = ["STRENGTH_AT_FULL_GRIP", "grip_capacity_share", "tendon_share"]

Number = TypeVar("Number", float, NDArray[np.float64], pl.Expr)

STRENGTH_AT_FULL_GRIP = 71.4
"""Tendon stress at the hardest grip, in percent of ultimate strength: effort 10 of 10 in the hand model of Gallagher,
Schall, Sesek and Huangfu (Hum Factors 2018;60(8):1146-1162; secondary copy)."""

_BY_SEX: dict[Sex | None, Range] = {
    "female": Range(1.1, 0.8, 1.5),
    "male": Range(1.4, 1.0, 1.9),
    None: Range(1.25, 0.8, 1.9),
}


def grip_capacity_share(sex: Sex | None) -> Range:
    """Hardest hold of both hands together, as a multiple of body mass.

    Scope: trained adults, fingers round a bar; set so that adults who train can hang from two hands for about half a
    minute to two minutes. Judgement, wide on purpose.

    Parameters
    ----------
    sex : "female", "male" or None
        None spans both.

    Returns
    -------
    Range
        kg held per kg of body mass.
    """
    return _BY_SEX[sex]


def tendon_share(held: Number, body_mass: Number, capacity: Number) -> Number:
    """Tendon stress while holding, in percent of ultimate strength.

    Scope: an estimate in three steps, each rough: the load is shared by both hands, grip effort is the load over the
    hardest hold, and tendon stress is that share of the stress at the hardest grip. Whatever was held asked the hardest
    grip at the most. Good for ranking one athlete's weeks only.

    Parameters
    ----------
    held, body_mass : float, array or expression [kg]
        Mass that the hands hold; body mass.
    capacity : float, array or expression
        Hardest hold in multiples of body mass.

    Returns
    -------
    same kind [%]

    Notes
    -----
    S = 71.4 held / (capacity * body_mass)

    References
    ----------
    Stress at the hardest grip: Gallagher S et al. Hum Factors 2018;60(8):1146-1162 (secondary copy). The rest is
    judgement.
    """
    return STRENGTH_AT_FULL_GRIP * held / (capacity * body_mass)
