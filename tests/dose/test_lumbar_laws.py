"""Laws of the lumbar model that hold for every movement, body and load."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.catalogue.posture import Family, shipped_postures
from keelmark.dose.lumbar_inputs import BODY_INPUTS, INPUTS, families_table, inputs_of_body
from keelmark.dose.lumbar_model import Lines, lines
from keelmark.mechanics.anthropometry import body_of
from tests.dose.bodies import crew, one_rep

TABLE = shipped_postures()
LOADED = sorted(name for name, family in TABLE.family_of.items() if family.kind != "published")
PULLS = sorted({family.name: name for name, family in TABLE.family_of.items() if family.kind == "pull"}.values())

masses, statures = st.floats(45, 125), st.floats(150, 200)


def model(movement: str, mass: float = 80.0, stature: float = 178.0, **changed: float) -> Lines:
    family: Family = TABLE.family_of[movement]
    posture = families_table([(movement, family)])
    stated = {name: float(posture[name][0]) for name in INPUTS if name not in BODY_INPUTS}
    inputs = {**inputs_of_body(body_of(mass, stature, "male")), **stated, **changed}
    return lines(family.kind, family.arms, family.impact, {name: np.full((1, 1), inputs[name]) for name in INPUTS})


@given(movement=st.sampled_from(LOADED), mass=masses, stature=statures)
@settings(deadline=None)
def test_more_load_never_lowers_moment_or_compression(movement: str, mass: float, stature: float) -> None:
    found = model(movement, mass, stature)
    assert found.moment_per_kg[0, 0] >= 0
    assert found.compression_per_kg[0, 0] >= 0
    assert found.moment[0, 0] >= 0


@given(
    movement=st.sampled_from([name for name in LOADED if TABLE.family_of[name].kind == "stated"]),
    more=st.floats(0, 0.4),
)
@settings(deadline=None)
def test_more_reach_never_lowers_the_moment(movement: str, more: float) -> None:
    near, far = model(movement), model(movement, load_forward_m=float(_forward(movement)) + more)
    assert far.moment_per_kg[0, 0] >= near.moment_per_kg[0, 0]
    assert far.moment[0, 0] >= near.moment[0, 0]


@given(
    movement=st.sampled_from(PULLS), stature=statures, bar=st.floats(0, 70), lower=st.floats(0, 30),
    tilt=st.floats(0, 40), ahead=st.floats(-0.12, 0.1),
)  # fmt: skip
@settings(max_examples=300, deadline=None)
def test_a_lower_bar_never_lowers_the_moment(
    movement: str, stature: float, bar: float, lower: float, tilt: float, ahead: float
) -> None:
    def at(height: float) -> Lines:
        return model(
            movement,
            stature=stature,
            start_height_cm=height,
            deficit_cm=0.0,
            shank_tilt_deg=tilt,
            shoulder_ahead_m=ahead,
        )

    high, low = at(bar), at(bar - lower)
    assert low.moment_per_kg[0, 0] >= high.moment_per_kg[0, 0] - 1e-9
    assert low.moment[0, 0] >= high.moment[0, 0] - 1e-9


@pytest.mark.parametrize("movement", ["deadlift", "clean", "snatch", "sumo_deadlift", "sandbag_clean", "back_squat"])
def test_stature_changes_the_moment(movement: str) -> None:
    short, tall = (one_rep(movement, crew(stature_cm=stature), load_kg=60.0) for stature in (158.0, 190.0))
    assert short["moment"] < tall["moment"]


def test_a_raised_bar_lowers_and_a_platform_raises_the_moment() -> None:
    floor = one_rep("deadlift", load_kg=100.0)["moment"]
    raised = one_rep("deadlift", load_kg=100.0, start_height_cm=40.0)["moment"]
    assert raised < 0.95 * floor
    low, high = (one_rep("deficit_deadlift", load_kg=100.0, height_cm=height)["moment"] for height in (2.0, 12.0))
    assert floor < low < high


def test_a_written_start_height_narrows_the_range() -> None:
    open_, said = one_rep("rack_pull", load_kg=150.0), one_rep("rack_pull", load_kg=150.0, start_height_cm=45.0)
    assert said["moment"] == pytest.approx(open_["moment"])
    assert said["moment_high"] - said["moment_low"] < open_["moment_high"] - open_["moment_low"]


def test_a_box_at_knee_height_asks_more_lean_than_a_high_one() -> None:
    knee, high = (one_rep("box_squat", load_kg=80.0, height_cm=height) for height in (38.0, 70.0))
    assert high["inclination"] < knee["inclination"]


def test_a_higher_drop_lands_harder_by_the_root_of_the_height() -> None:
    """Derived: sqrt(80 / 20) = 2; straight in the root of the height (Niu 2014)."""
    low, high = (one_rep("depth_jump", height_cm=height) for height in (20.0, 80.0))
    assert high["moment"] == pytest.approx(2 * low["moment"])
    assert high["compression"] == pytest.approx(2 * low["compression"])


def test_standing_is_the_least_a_loaded_hinge_presses() -> None:
    standing = 9.81 * 80 * 0.5075
    for name in ("deadlift", "romanian_deadlift", "good_morning", "kettlebell_swing", "clean"):
        assert one_rep(name, load_kg=20.0)["compression"] > standing


@given(load=st.floats(0, 300), mass=masses)
@settings(max_examples=25, deadline=None)
def test_bounds_rise_with_load(load: float, mass: float) -> None:
    body = crew(body_mass_kg=mass)
    light, heavy = (one_rep("deadlift", body, load_kg=kg) for kg in (load, load + 5))
    for figure in ("moment", "compression", "impulse"):
        for end in ("_low", "", "_high"):
            assert heavy[figure + end] > light[figure + end]


def test_shares_of_the_posture_table_that_lie_below_the_model_are_told_as_such() -> None:
    shares = [family.load_share for family in TABLE.families.values() if family.load_share is not None]
    assert all(0 <= share.low <= share.high <= 3 for share in shares)
    inclined = pl.Series([family.inclination_deg.high for family in TABLE.families.values() if family.inclination_deg])
    assert inclined.max() <= 90


def _forward(movement: str) -> float:
    figure = TABLE.family_of[movement].load_forward_m
    return figure.value if figure else 0.0
