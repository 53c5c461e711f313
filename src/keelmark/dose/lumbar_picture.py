"""A stick figure of a posture, from the same geometry as the figures, for the Methods page and explanations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from keelmark.catalogue.posture import PostureTable, shipped_postures
from keelmark.dose.lumbar_inputs import INPUTS, families_table, inputs_of_body
from keelmark.dose.lumbar_model import lines
from keelmark.mechanics.anthropometry import SEGMENT_LENGTHS, Arms, Body, body_of

__all__ = ["LIMBS", "PosturePicture", "posture_picture"]

Point = tuple[float, float]

LIMBS: tuple[tuple[str, str], ...] = (
    ("toe", "heel"),
    ("ankle", "knee"),
    ("knee", "hip"),
    ("hip", "shoulder"),
    ("shoulder", "head"),
    ("shoulder", "load"),
)
"""Which points are joined by a line."""


@dataclass(frozen=True, slots=True)
class PosturePicture:
    """Points of a person seen from the side, in metres: forward from the ankle, up from the floor."""

    movement: str
    family: str
    label: str
    instant: str
    lean_deg: float
    points: dict[str, Point]


def posture_picture(
    movement: str, body: Body | None = None, *, postures: PostureTable | None = None
) -> PosturePicture | None:
    """A stick figure at the instant that loads the back most.

    Scope: a picture, not a measurement. Trunk and load stand as in the model; where the model needs no legs, they are
    drawn so that the hips balance the trunk.

    Parameters
    ----------
    movement : str
        Canonical name.
    body : Body, optional
        80 kg and 175 cm unless given.
    postures : PostureTable, optional
        The shipped one unless given.

    Returns
    -------
    PosturePicture or None
        None where the posture rests on measured compression, or the movement is not counted.
    """
    family = (postures or shipped_postures()).family_of.get(movement)
    if family is None or family.kind == "published":
        return None
    posture = families_table([(movement, family)])
    inputs = inputs_of_body(body or body_of(80.0, 175.0, None))
    inputs |= {name: float(posture[name][0]) for name in INPUTS if name in posture.columns}
    found = lines(family.kind, family.arms, family.impact, {name: np.full((1, 1), inputs[name]) for name in INPUTS})
    lean = float(found.inclination[0, 0])
    points = _points(family.kind, family.arms, inputs, lean)
    return PosturePicture(movement, family.name, family.label, family.instant, float(np.degrees(lean)), points)


def _points(kind: str, arms: Arms, inputs: dict[str, float], lean: float) -> dict[str, Point]:
    length = {name: share * inputs["stature"] / 100 for name, share in SEGMENT_LENGTHS.items()}
    trunk = length["hip_to_shoulder"]
    knee, hip = _legs(kind, inputs, lean, length)
    shoulder = hip[0] + trunk * np.sin(lean), hip[1] + trunk * np.cos(lean)
    joint = length["hip_to_lowest_lumbar_joint"]
    lumbar = hip[0] + joint * np.sin(lean), hip[1] + joint * np.cos(lean)
    head = shoulder[0] + 0.13 * trunk * np.sin(lean), shoulder[1] + 0.45 * trunk
    points = {
        "heel": (-length["foot"] * 0.25, 0.0),
        "toe": (length["foot"] * 0.75, 0.0),
        "ankle": (0.0, length["ankle_height"]),
        "knee": knee,
        "hip": hip,
        "lumbar": lumbar,
        "shoulder": shoulder,
        "head": head,
        "load": _load(kind, arms, inputs, lean, length, lumbar, shoulder),
    }
    return {name: (float(x), float(y)) for name, (x, y) in points.items()}


def _legs(kind: str, inputs: dict[str, float], lean: float, length: dict[str, float]) -> tuple[Point, Point]:
    """Knee and hip; for a stated trunk the hip goes back by half of what the shoulder goes forward."""
    tilt = np.radians(inputs["shank_tilt_deg"] if kind != "stated" else 10.0 * np.sin(lean))
    knee = length["shank"] * np.sin(tilt), length["ankle_height"] + length["shank"] * np.cos(tilt)
    thigh = length["thigh"]
    if kind == "squat":
        rise = np.radians(inputs["thigh_deg"])
        return knee, (knee[0] - thigh * np.cos(rise), knee[1] + thigh * np.sin(rise))
    if kind == "stated":
        back = np.clip(0.5 * length["hip_to_shoulder"] * np.sin(lean) + knee[0], 0.0, thigh)
        return knee, (knee[0] - back, knee[1] + np.sqrt(thigh**2 - back**2))
    shoulder_x = length["ankle_to_midfoot"] + inputs["shoulder_ahead_m"]
    hip_x = shoulder_x - length["hip_to_shoulder"] * np.sin(lean)
    back = np.clip(knee[0] - hip_x, -thigh, thigh)
    return knee, (knee[0] - back, knee[1] + np.sqrt(thigh**2 - back**2))


def _load(
    kind: str,
    arms: Arms,
    inputs: dict[str, float],
    lean: float,
    length: dict[str, float],
    lumbar: Point,
    shoulder: Point,
) -> Point:
    """Where the load is held: as far forward as in the model, and as high as the arms put it."""
    above = length["hip_to_shoulder"] - length["hip_to_lowest_lumbar_joint"]
    along, forward = inputs["load_along"] * above, inputs["load_forward_m"]
    if kind == "pull":
        return lumbar[0] + along * np.sin(lean) - inputs["shoulder_ahead_m"], inputs["start_height_cm"] / 100
    x = lumbar[0] + along * np.sin(lean) + forward * (np.cos(lean) if kind == "squat" else 1.0)
    if arms == "at_chest":
        return x, lumbar[1] + along * np.cos(lean)
    arm = length["upper_arm"] + length["forearm"] + length["hand"] / 2
    rise = np.sqrt(max(arm**2 - (x - shoulder[0]) ** 2, 0.0))
    return x, shoulder[1] + (rise if arms == "overhead" else -rise)
