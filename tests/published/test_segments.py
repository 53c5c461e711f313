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


# Winter 2009 (secondary copy): share of body mass / centre of mass from the proximal end.
WINTER_PRINTED = """
hand .006 .506; forearm .016 .430; upper_arm .028 .436; forearm_and_hand .022 .682; total_arm .050 .530; foot .0145 .50
leg .0465 .433; thigh .100 .433; foot_and_leg .061 .606; total_leg .161 .447; head_and_neck .081 1.0; thorax .216 .82
abdomen .139 .44; pelvis .142 .105; trunk .497 .50; trunk_head_neck .578 .66; head_arms_trunk .678 .626
thorax_and_abdomen .355 .63; abdomen_and_pelvis .281 .27
"""
# de Leva 1996 (secondary copy): men's mass and centre, women's mass and centre.
DE_LEVA_PRINTED = """
head .0694 .5976 .0668 .5894; trunk .4346 .4486 .4257 .4151; upper_trunk .1596 .2999 .1545 .2077
middle_trunk .1633 .4502 .1465 .4512; lower_trunk .1117 .6115 .1247 .4920; upper_arm .0271 .5772 .0255 .5754
forearm .0162 .4574 .0138 .4559; hand .0061 .7900 .0056 .7474; thigh .1416 .4095 .1478 .3612
shank .0433 .4395 .0481 .4352; foot .0137 .4415 .0129 .4014
"""


def rows(printed: str) -> dict[str, list[float]]:
    """Figures by segment."""
    lines = [line.split() for line in printed.replace("\n", ";").split(";") if line.strip()]
    return {name: [float(figure) for figure in figures] for name, *figures in lines}


def test_winters_table_is_the_printed_one() -> None:
    found = {name: [segment.mass, segment.centre] for name, segment in WINTER.items()}
    assert found == rows(WINTER_PRINTED)


def test_de_levas_tables_are_the_printed_ones() -> None:
    found = {
        name: [DE_LEVA[sex][name].mass if field == "mass" else DE_LEVA[sex][name].centre
               for sex in ("male", "female") for field in ("mass", "centre")]
        for name in DE_LEVA["male"]
    }  # fmt: skip
    assert found == rows(DE_LEVA_PRINTED)
    assert DE_LEVA["male"].keys() == DE_LEVA["female"].keys()
