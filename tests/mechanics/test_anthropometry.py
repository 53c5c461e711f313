"""Bodies: ranges where something is not known, and refusals where a value cannot be one of a person."""

from __future__ import annotations

import pytest

from keelmark.contracts.errors import MechanicsError
from keelmark.mechanics.anthropometry import Body, body_of, upper_body_centre, upper_body_share


def test_a_known_body_assumes_nothing() -> None:
    body = body_of(80.0, 178.0, "male")
    assert body.assumptions == ()
    assert body.mass_kg.known
    assert body.stature_cm.known
    assert not body.upper_share.known


@pytest.mark.parametrize("sex", ["female", "male", None])
def test_a_missing_value_becomes_a_range_and_is_named(sex: str | None) -> None:
    body: Body = body_of(None, None, sex)  # type: ignore[arg-type]
    assert body.mass_kg.low < body.mass_kg.value < body.mass_kg.high
    assert body.stature_cm.low < body.stature_cm.value < body.stature_cm.high
    assert [sentence.split(" not on record")[0] for sentence in body.assumptions] == [
        "body mass",
        "stature",
        *(["sex"] if sex is None else []),
    ]


@pytest.mark.parametrize("mass", [7.0, 700.0, 19.9, 300.1, float("nan")])
def test_a_mass_no_adult_has_is_refused(mass: float) -> None:
    with pytest.raises(
        MechanicsError, match=r"body mass: body mass .* kg\. Wanted: 20 to 300 kg\. What to do: check the unit"
    ):
        body_of(mass, 178.0, "male")


@pytest.mark.parametrize("stature", [70.0, 5.11, 1.78, 251.0])
def test_a_stature_in_another_unit_is_refused(stature: float) -> None:
    with pytest.raises(MechanicsError, match=r"Wanted: 100 to 250 cm\. What to do: .*inches times 2\.54"):
        body_of(80.0, stature, "male")


def test_an_unknown_sex_spans_both_tables() -> None:
    female, male, either = (upper_body_share(sex) for sex in ("female", "male", None))
    assert either.low == min(female.low, male.low)
    assert either.high == max(female.high, male.high)
    assert either.low < either.value < either.high


def test_arms_overhead_raise_the_centre_and_arms_hanging_keep_it_above_arms_at_the_chest() -> None:
    """Derived from Winter's table: about 0.71 (chest), 0.79 (hanging from a leaning trunk), 0.93 (overhead)."""
    chest, hanging, overhead = (upper_body_centre(arms) for arms in ("at_chest", "hanging", "overhead"))
    assert chest < hanging < overhead
    assert hanging == pytest.approx(0.79, abs=0.01)
    assert overhead == pytest.approx(0.93, abs=0.015)


def test_arms_at_the_sides_give_back_winters_own_centre() -> None:
    """Winter 2009: head, arms and trunk .678 at .626 of hip to shoulder. Derived: parts put back."""
    hip_to_shoulder, joint, arm_length = 0.288, 0.055, 0.332
    length = hip_to_shoulder - joint
    hanging = upper_body_centre("hanging") * length + joint
    without_arms = (0.536 * hanging - 0.1 * hip_to_shoulder) / 0.436
    arms_at_sides = hip_to_shoulder - 0.530 * arm_length
    whole = 0.436 * without_arms + 0.1 * arms_at_sides + 0.142 * 0.09 * (1 - 0.105)
    assert whole / 0.678 / hip_to_shoulder == pytest.approx(0.626, abs=1e-9)
