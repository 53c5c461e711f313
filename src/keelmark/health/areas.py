"""Parts of the body that a complaint can name, and the groups in which they are looked at together."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["AREAS", "AREA_BY_KEY", "AREA_GROUPS", "Area", "area_label"]


@dataclass(frozen=True, slots=True)
class Area:
    """One part of the body: its key, what it is called, and the region it belongs to."""

    key: str
    label: str
    region: str


AREAS: tuple[Area, ...] = (
    Area("head", "Head", "Head and neck"),
    Area("neck", "Neck", "Head and neck"),
    Area("shoulder", "Shoulder", "Arm"),
    Area("upper_arm", "Upper arm", "Arm"),
    Area("elbow", "Elbow", "Arm"),
    Area("forearm", "Forearm", "Arm"),
    Area("wrist", "Wrist", "Arm"),
    Area("hand", "Hand and fingers", "Arm"),
    Area("chest", "Chest and ribs", "Trunk"),
    Area("thoracic_spine", "Upper back", "Trunk"),
    Area("lumbosacral", "Lower back", "Trunk"),
    Area("abdomen", "Belly", "Trunk"),
    Area("hip_groin", "Hip and groin", "Leg"),
    Area("thigh", "Thigh", "Leg"),
    Area("knee", "Knee", "Leg"),
    Area("lower_leg", "Lower leg", "Leg"),
    Area("ankle", "Ankle", "Leg"),
    Area("foot", "Foot and toes", "Leg"),
    Area("unspecified", "I cannot say where", "Elsewhere"),
    Area("multiple", "Several places at once", "Elsewhere"),
)
"""The body areas of the IOC consensus statement of 2020 under our own labels; the list itself is from memory.

Bahr R, Clarsen B, Derman W, et al. Br J Sports Med 2020;54(7):372-389, doi:10.1136/bjsports-2019-101969.
"""

AREA_BY_KEY: dict[str, Area] = {area.key: area for area in AREAS}

AREA_GROUPS: dict[str, tuple[str, ...]] = {
    "back": ("thoracic_spine", "lumbosacral"),
    "shoulders": ("shoulder", "upper_arm"),
    "hands and elbows": ("elbow", "forearm", "wrist", "hand"),
    "knees, ankles and feet": ("knee", "lower_leg", "ankle", "foot"),
    "any part of the body": tuple(area.key for area in AREAS),
}
"""Areas that are counted together when the whole squad is looked at: single areas are named too seldom."""


def area_label(key: str) -> str:
    """What an area is called; a key that this list does not hold is shown as it is."""
    return AREA_BY_KEY[key].label if key in AREA_BY_KEY else key.replace("_", " ").capitalize()
