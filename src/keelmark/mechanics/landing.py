"""Landings: speed at touch-down, and the forces measured under the feet."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from keelmark.mechanics.lumbar import GRAVITY

__all__ = ["CLASS_FORCES", "GROUND_REACTION", "landing_class_of_drop", "landing_force_ratio", "landing_speed"]

Array = NDArray[np.float64]
Intensity = Literal["low", "moderate", "high"]

GROUND_REACTION: dict[str, float] = {
    "depth drop from 90 cm": 5.39,
    "depth jump from 90 cm": 4.93,
    "depth drop from 60 cm": 4.30,
    "standing long jump": 4.22,
    "vertical jump": 3.34,
    "depth jump from 30 cm": 2.78,
}
"""Peak vertical force under both feet in body weights, 14 track-and-field men. Wallace BJ et al. J Strength Cond Res
2010;24(1):207-212."""

CLASS_FORCES: dict[Intensity, tuple[float, float]] = {"low": (1.5, 3.0), "moderate": (2.5, 4.3), "high": (4.0, 6.0)}
"""Peak force in body weights that each landing class stands for. Moderate and high from Wallace 2010; low, for rope
skipping and small bounces, from memory."""


def landing_speed(height_m: Array | float) -> Array | float:
    """Speed at touch-down after a fall.

    Parameters
    ----------
    height_m : float or array [m]
        Height fallen, 0 or more.

    Returns
    -------
    float or array [m/s]

    Notes
    -----
    v = sqrt(2 g h)

    References
    ----------
    Free fall.
    """
    return (
        np.sqrt(2 * GRAVITY * np.asarray(height_m))
        if isinstance(height_m, np.ndarray)
        else float(np.sqrt(2 * GRAVITY * height_m))
    )


def landing_force_ratio(height_m: float, reference_m: float) -> float:
    """How much larger the landing force is than from a reference height.

    Scope: two-legged landings; force grew in a straight line with the root of the height across 26 studies. The line's
    start above zero is left out, so that the ratio is a little too large.

    Parameters
    ----------
    height_m, reference_m : float [m]
        Drop heights, the reference above 0.

    Returns
    -------
    float

    Notes
    -----
    F / F_ref = sqrt(h / h_ref)

    References
    ----------
    Niu W et al. BioMed Res Int 2014:126860.
    """
    return float(np.sqrt(height_m / reference_m))


def landing_class_of_drop(height_m: float) -> Intensity:
    """Intensity class of a landing from a known height.

    Scope: two-legged. Below 20 cm low, below 45 cm moderate, from there high; the borders are judgement between the
    published forces of a 30 cm depth jump (2.78 body weights) and a 60 cm drop (4.30).

    Parameters
    ----------
    height_m : float [m]
        Drop height, 0 or more.

    Returns
    -------
    "low", "moderate" or "high"
    """
    if height_m < 0.20:
        return "low"
    return "moderate" if height_m < 0.45 else "high"
