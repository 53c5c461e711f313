"""Where the trunk must be when hands or hips are at a given height: plane geometry of linked segments."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["pull_inclination", "squat_inclination"]

Array = NDArray[np.floating[Any]]


def pull_inclination(
    bar_height: Array, arm: Array, trunk: Array, thigh: Array, knee_x: Array, knee_y: Array, shoulder_x: Array
) -> Array:
    """Trunk inclination when straight arms hang from the shoulders to a bar at a given height.

    Scope: sagittal plane, both feet side by side, straight trunk from hip to shoulder, bar over the middle of the foot.
    The hip is the point behind the knee that is one thigh from the knee and one trunk from the shoulder.

    Parameters
    ----------
    bar_height, arm, trunk, thigh : array [m]
        Height of the bar's centre; shoulder to grip (vertical part); hip to shoulder; knee to hip.
    knee_x, knee_y : array [m]
        Knee, measured from the ankle forward and from the floor upward.
    shoulder_x : array [m]
        Shoulder, measured from the ankle forward.

    Returns
    -------
    array [rad]
        Inclination of the trunk from vertical, 0 to pi/2. Where the bar is out of reach of bent legs, the legs are
        taken as far as they go. The hip never goes below the knee: from there on a lower bar is reached by leaning.

    Notes
    -----
    Intersection of two circles: around the knee with the thigh as radius, around the shoulder with the trunk. A lower
    bar never gives a smaller inclination: with the hip on its circle the inclination is largest when the thigh is
    level.

    References
    ----------
    Plane geometry; segment lengths of Drillis and Contini 1966 as printed in Winter 2009 (from memory).
    """
    dx, dy = shoulder_x - knee_x, bar_height + arm - knee_y
    distance = np.clip(np.hypot(dx, dy), np.abs(trunk - thigh) + 1e-9, trunk + thigh - 1e-9)
    at_shoulder = np.arccos(np.clip((trunk**2 + distance**2 - thigh**2) / (2 * trunk * distance), -1.0, 1.0))
    leaning = np.clip(np.arctan2(dx, dy) + at_shoulder, 0.0, np.pi / 2)
    hip_at_knee = np.arccos(np.clip(dy / trunk, 0.0, 1.0))
    return np.where(trunk * np.cos(leaning) > dy, hip_at_knee, leaning)


def squat_inclination(hip_behind: Array, trunk: Array, bar_forward: Array) -> Array:
    """Trunk inclination that keeps a load on the shoulders over the middle of the foot.

    Scope: sagittal plane, straight trunk, at one instant of a squat.

    Parameters
    ----------
    hip_behind : array [m]
        How far the hip is behind the middle of the foot.
    trunk : array [m]
        Hip to shoulder.
    bar_forward : array [m]
        How far the load lies in front of the trunk line at the shoulder, square to the trunk; negative behind it.

    Returns
    -------
    array [rad]
        Inclination from vertical, 0 to pi/2.

    Notes
    -----
    trunk sin(a) + bar_forward cos(a) = hip_behind.

    References
    ----------
    Plane geometry; segment lengths as for `pull_inclination`.
    """
    reach = np.hypot(trunk, bar_forward)
    angle: Array = np.arcsin(np.clip(hip_behind / reach, -1.0, 1.0)) - np.arctan2(bar_forward, trunk)
    return angle.clip(0.0, np.pi / 2)
