"""Moment and compression of a task, each as a straight line in the external load."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from keelmark.mechanics.anthropometry import SEGMENT_LENGTHS, Arms, upper_body_centre
from keelmark.mechanics.geometry import pull_inclination, squat_inclination
from keelmark.mechanics.lumbar import compression, extension_moment

__all__ = ["Array", "Lines", "lines"]

Array = NDArray[np.floating[Any]]

_UPPER_SHARE_OF_REFERENCE = 0.52


class Lines(NamedTuple):
    """At no load, and per kilogram of load: moment [N m], compression [N], mass that presses on the joint [kg]; trunk
    inclination; reach of the load from the joint [m].

    A landing counts its braking as mass; shear is the part of the weight across the trunk.
    """

    moment: Array
    moment_per_kg: Array
    compression: Array
    compression_per_kg: Array
    upper_mass: Array
    held_per_kg: Array
    inclination: Array
    reach: Array


def lines(kind: str, arms: Arms, impact: bool, inputs: Mapping[str, Array]) -> Lines:
    """Evaluate the model for tasks of one kind.

    Parameters
    ----------
    kind, arms, impact
        As in the posture family.
    inputs : mapping of input name to array, shape (tasks, draws) or (tasks, 1)
        See `lumbar_inputs.INPUTS`; lengths in the unit of the name.

    Returns
    -------
    Lines
        Arrays of shape (tasks, draws).
    """
    if kind == "published":
        return _published(inputs)
    inclination = _INCLINATION[kind](inputs)
    length = _length("hip_to_shoulder", inputs) - _length("hip_to_lowest_lumbar_joint", inputs)
    sine = np.sin(inclination)
    forward = inputs["load_forward_m"] * (np.cos(inclination) if kind == "squat" else 1.0)
    if kind == "pull":
        forward = forward - inputs["shoulder_ahead_m"]
    load_arm = np.maximum(inputs["load_along"] * length * sine + forward, 0.0)
    upper_mass = inputs["mass"] * inputs["upper_share"] * inputs["family_upper_share"]
    upper_arm = upper_body_centre(arms) * length * sine
    from_body, per_kg = inputs["body_load_share"] * inputs["mass"], inputs["load_share"]
    dynamic = inputs["dynamic"]
    axial = dynamic if impact else np.ones_like(dynamic)
    zero = np.zeros_like(upper_mass)
    moment = extension_moment(upper_mass, upper_arm, from_body, load_arm, dynamic)
    moment_per_kg = extension_moment(zero, upper_arm, per_kg, load_arm, dynamic)
    arm = inputs["extensor_arm"]
    return Lines(
        moment,
        moment_per_kg,
        compression(moment, arm, upper_mass, from_body, inclination, axial),
        compression(moment_per_kg, arm, zero, per_kg, inclination, axial),
        (upper_mass + from_body) * axial,
        per_kg * axial,
        inclination,
        load_arm,
    )


def _published(inputs: Mapping[str, Array]) -> Lines:
    """Measured compression scaled by body mass; a load adds like the same mass of trunk. No extension moment."""
    per_mass = inputs["compression_n"] / inputs["reference_mass_kg"]
    zero = np.zeros_like(per_mass * inputs["mass"])
    per_kg = per_mass * inputs["load_share"] / _UPPER_SHARE_OF_REFERENCE
    return Lines(zero, zero, per_mass * inputs["mass"], per_kg + zero, zero, zero, zero, zero)


def _length(segment: str, inputs: Mapping[str, Array]) -> Array:
    scaled = SEGMENT_LENGTHS[segment] * inputs["stature"] / 100.0
    return scaled * inputs["proportion"] if segment == "hip_to_shoulder" else scaled


def _stated(inputs: Mapping[str, Array]) -> Array:
    return np.radians(inputs["inclination_deg"])


def _pull(inputs: Mapping[str, Array]) -> Array:
    arm = _length("upper_arm", inputs) + _length("forearm", inputs) + _length("hand", inputs) / 2
    tilt, shank = np.radians(inputs["shank_tilt_deg"]), _length("shank", inputs)
    ahead = inputs["shoulder_ahead_m"]
    return pull_inclination(
        bar_height=(inputs["start_height_cm"] - inputs["deficit_cm"]) / 100.0,
        arm=np.sqrt(np.maximum((arm * inputs["arm_drop"]) ** 2 - ahead**2, 0.0)),
        trunk=_length("hip_to_shoulder", inputs),
        thigh=_length("thigh", inputs) * inputs["thigh_share"],
        knee_x=shank * np.sin(tilt),
        knee_y=_length("ankle_height", inputs) + shank * np.cos(tilt),
        shoulder_x=_length("ankle_to_midfoot", inputs) + ahead,
    )


def _squat(inputs: Mapping[str, Array]) -> Array:
    knee_x = _length("shank", inputs) * np.sin(np.radians(inputs["shank_tilt_deg"]))
    back = _length("thigh", inputs) * inputs["thigh_share"] * np.cos(np.radians(inputs["thigh_deg"]))
    hip_behind = np.maximum(_length("ankle_to_midfoot", inputs) - knee_x + back, 0.0)
    return squat_inclination(hip_behind, _length("hip_to_shoulder", inputs), inputs["load_forward_m"])


_INCLINATION = {"stated": _stated, "pull": _pull, "squat": _squat}
