"""Stick figures: limbs keep their lengths, and the picture shows the lean that the figures use."""

from __future__ import annotations

import math

import pytest

from keelmark.catalogue.posture import shipped_postures
from keelmark.dose.lumbar_picture import LIMBS, PosturePicture, posture_picture
from keelmark.mechanics.anthropometry import SEGMENT_LENGTHS, body_of

DRAWN = sorted(name for name, family in shipped_postures().family_of.items() if family.kind != "published")


def distance(picture: PosturePicture, one: str, other: str) -> float:
    return math.dist(picture.points[one], picture.points[other])


@pytest.mark.parametrize("movement", DRAWN)
def test_limbs_keep_their_lengths(movement: str) -> None:
    """Derived: shares of a stature of 175 cm."""
    picture = posture_picture(movement)
    assert picture is not None
    assert distance(picture, "ankle", "knee") == pytest.approx(1.75 * SEGMENT_LENGTHS["shank"])
    assert distance(picture, "knee", "hip") == pytest.approx(1.75 * SEGMENT_LENGTHS["thigh"])
    assert distance(picture, "hip", "shoulder") == pytest.approx(1.75 * SEGMENT_LENGTHS["hip_to_shoulder"])
    assert {name for limb in LIMBS for name in limb} <= set(picture.points)


def test_the_drawn_trunk_leans_as_the_figures_say() -> None:
    picture = posture_picture("deadlift", body_of(80.0, 190.0, "male"))
    assert picture is not None
    (hip_x, hip_y), (shoulder_x, shoulder_y) = picture.points["hip"], picture.points["shoulder"]
    assert math.degrees(math.atan2(shoulder_x - hip_x, shoulder_y - hip_y)) == pytest.approx(picture.lean_deg)
    assert picture.points["load"][1] == pytest.approx(0.225)


def test_a_pull_puts_the_shoulders_where_straight_arms_reach_the_bar() -> None:
    """Derived: shoulder height = bar + root of (arm squared less the sweep squared), arm .386 of stature."""
    picture = posture_picture("deadlift")
    assert picture is not None
    assert picture.points["shoulder"][1] == pytest.approx(0.225 + math.sqrt((0.386 * 1.75) ** 2 - 0.05**2), abs=1e-6)


@pytest.mark.parametrize(("movement", "above"), [("overhead_carry", True), ("romanian_deadlift", False)])
def test_arms_reach_up_or_hang_down_from_the_shoulder_at_their_own_length(movement: str, above: bool) -> None:
    """Derived: upper arm, forearm and half a hand are .386 of stature."""
    picture = posture_picture(movement)
    assert picture is not None
    assert distance(picture, "shoulder", "load") == pytest.approx(0.386 * 1.75)
    assert (picture.points["load"][1] > picture.points["shoulder"][1]) == above


def test_measured_postures_and_movements_that_are_not_counted_have_no_picture() -> None:
    assert posture_picture("toes_to_bar") is None
    assert posture_picture("pull_up") is None
