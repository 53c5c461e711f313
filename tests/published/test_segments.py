"""Segment tables: the sums their authors' tables must keep."""

from __future__ import annotations

import pytest

from keelmark.mechanics.anthropometry import DE_LEVA, WINTER, upper_body_share

ONCE = ("head", "trunk")
TWICE = ("upper_arm", "forearm", "hand", "thigh", "shank", "foot")


def test_winter_segments_add_up() -> None:
    """Winter 2009, second-hand: head, arms and trunk .678 and two legs of .161 make 1; the trunk's parts make .497."""
    mass = {name: segment.mass for name, segment in WINTER.items()}
    assert mass["head_arms_trunk"] + 2 * mass["total_leg"] == pytest.approx(1.0)
    assert mass["trunk_head_neck"] + 2 * mass["total_arm"] == pytest.approx(0.678)
    assert mass["thorax"] + mass["abdomen"] + mass["pelvis"] == pytest.approx(0.497)
    assert mass["trunk"] + mass["head_and_neck"] == pytest.approx(0.578)
    assert mass["forearm"] + mass["hand"] == pytest.approx(mass["forearm_and_hand"])


@pytest.mark.parametrize(("sex", "whole", "trunk"), [("male", 1.0000, 0.4346), ("female", 0.9999, 0.4257)])
def test_de_leva_segments_add_up(sex: str, whole: float, trunk: float) -> None:
    """de Leva 1996 (secondary copy)."""
    mass = {name: segment.mass for name, segment in DE_LEVA[sex].items()}  # type: ignore[index]
    assert sum(mass[name] for name in ONCE) + 2 * sum(mass[name] for name in TWICE) == pytest.approx(whole, abs=5e-5)
    assert mass["upper_trunk"] + mass["middle_trunk"] + mass["lower_trunk"] == pytest.approx(trunk, abs=5e-5)


def test_both_tables_agree_on_what_lies_above_the_lowest_lumbar_joint() -> None:
    """Derived: Winter's head, arms and trunk less pelvis = .678 - .142 = .536; de Leva's men within 1 % of it."""
    assert upper_body_share("male").value == pytest.approx(0.678 - 0.142, rel=0.01)
    assert upper_body_share("female").low < upper_body_share("female").value < upper_body_share("male").value
