"""A bent trunk held by one slanted muscle, in closed form, as textbooks solve it. It checks the model from outside."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

__all__ = ["SlantedExtensor", "slanted_extensor"]


class SlantedExtensor(NamedTuple):
    """Pull of the muscle and force on the joint [N]."""

    muscle: float
    joint: float


def slanted_extensor(
    trunk_weight: float, end_weight: float, inclination: float, attachment: float, slant: float
) -> SlantedExtensor:
    """Pull of a back muscle that runs at a small angle to a leaning trunk.

    Scope: static; the trunk's weight acts half way up, head, arms and load at its upper end.

    Parameters
    ----------
    trunk_weight, end_weight : float [N]
        Weight of the trunk; weight at its upper end.
    inclination, slant : float [degrees]
        Trunk from vertical; muscle from trunk.
    attachment : float
        Where the muscle takes hold, as a share of trunk length.

    Returns
    -------
    SlantedExtensor [N]

    Notes
    -----
    T a sin(s) = (W / 2 + E) sin(i); joint force = hypot(T cos(s) + (W + E) cos(i), (W + E) sin(i) - T sin(s)).

    References
    ----------
    The textbook problem of Davidovits P, Physics in Biology and Medicine, section 1.8 (attribution from memory).
    """
    lean, angle = np.radians(inclination), np.radians(slant)
    pull = np.sin(lean) * (trunk_weight / 2 + end_weight) / (attachment * np.sin(angle))
    weight = trunk_weight + end_weight
    along = pull * np.cos(angle) + weight * np.cos(lean)
    across = weight * np.sin(lean) - pull * np.sin(angle)
    return SlantedExtensor(float(pull), float(np.hypot(along, across)))
