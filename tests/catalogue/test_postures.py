"""The posture table: complete, in one place per movement, and refused with a clear message where it is not."""

from __future__ import annotations

import pytest

from keelmark.catalogue import catalogue_with, shipped_catalogue
from keelmark.catalogue.heights import height_kinds
from keelmark.catalogue.posture import read_postures, shipped_postures
from keelmark.contracts.errors import CatalogueError
from keelmark.dose.lumbar_amounts import cycle_rates


def test_every_movement_either_loads_the_back_in_a_stated_posture_or_has_a_reason_why_not() -> None:
    table, names = shipped_postures(), set(shipped_catalogue().movements)
    assert set(table.family_of) | set(table.unloaded) == names
    assert not set(table.family_of) & set(table.unloaded)
    assert set(table.hands) <= names


def test_every_family_states_time_dynamic_or_measured_compression_with_evidence() -> None:
    for family in shipped_postures().families.values():
        figures = family.figures()
        assert {"seconds", "mean_share"} <= set(figures)
        assert ("dynamic" in figures) != ("compression_n" in figures)
        assert all(figure.evidence for figure in figures.values())


def test_every_amount_a_coach_may_write_leads_to_cycles() -> None:
    catalogue, table = shipped_catalogue(), shipped_postures()
    for row in cycle_rates(table.family_of, catalogue).iter_rows(named=True):
        measures = catalogue[row["movement"]].measures
        assert {name: row[f"by_{name}"] for name in measures if not row[f"by_{name}"]} == {}, row["movement"]


def test_a_movement_in_two_families_is_refused() -> None:
    entry = """
[[unloaded]]
reason = "carried by water all the way"
movements = ["swim"]
"""
    with pytest.raises(CatalogueError, match=r"swim is listed under .* and again under .*delete one of the two"):
        read_postures([("one.toml", entry), ("two.toml", entry)])


def test_an_incomplete_family_names_its_file_and_the_missing_figures() -> None:
    entry = """
[[family]]
name = "half"
label = "half stated"
instant = "top"
kind = "pull"
movements = ["deadlift"]
seconds = { value = 1, low = 1, high = 1, evidence = "judgement" }
mean_share = { value = 1, low = 1, high = 1, evidence = "judgement" }
"""
    with pytest.raises(CatalogueError, match=r"own\.toml, family half: .*start_height_cm, shank_tilt_deg"):
        read_postures([("own.toml", entry)])


def test_a_file_that_is_not_toml_is_refused() -> None:
    with pytest.raises(CatalogueError, match=r"broken\.toml: not TOML"):
        read_postures([("broken.toml", "[[family")])


OWN = """
[hawser_lift]
like = ["deadlift"]

[[family]]
name = "our_hawser_lift"
like = "floor_pull"
label = "Hawser from the slip"
movements = ["hawser_lift", "sumo_deadlift"]
start_height_cm = [8, 5, 12, "judgement", "a hawser lies lower than a bar"]

[[unloaded]]
reason = "Ours are done leaning on the rail."
movements = ["good_morning"]
"""


def test_a_squads_own_family_takes_what_it_does_not_state_from_the_one_it_is_like() -> None:
    own, shipped = catalogue_with({"ours.toml": OWN}).postures, shipped_postures()
    family, floor = own.family_of["hawser_lift"], shipped.family_of["deadlift"]
    assert family is own.family_of["sumo_deadlift"]
    assert (family.start_height_cm.value, family.dynamic) == (8, floor.dynamic)
    assert own.family_of["deadlift"] == floor
    assert own.unloaded["good_morning"] == "Ours are done leaning on the rail."
    assert "good_morning" not in own.family_of
    assert "good_morning" in shipped.family_of, "the shipped table stays as it is"


def test_a_later_own_file_counts() -> None:
    later = '[[unloaded]]\nreason = "Ours are done on a bench."\nmovements = ["hawser_lift"]\n'
    table = catalogue_with({"a.toml": OWN, "b.toml": later}).postures
    assert "hawser_lift" not in table.family_of
    assert table.unloaded["hawser_lift"] == "Ours are done on a bench."


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            '[[unloaded]]\nreason = "no such thing here"\nmovements = ["hawser_fling"]\n',
            "hawser_fling, which is no movement",
        ),
        (
            '[[family]]\nname = "x"\nlike = "floor_pul"\nmovements = ["deadlift"]\n',
            "'floor_pul', which is no posture family",
        ),
        (
            '[[family]]\nname = "floor_pull"\nlike = "floor_pull"\nmovements = ["deadlift"]\n',
            "two posture families called",
        ),
        (
            '[[family]]\nname = "x"\nlike = "floor_pull"\nmovements = ["deadlift"]\nseconds = [2, 3, 1, "judgement"]\n',
            "rising",
        ),
        (
            '[[family]]\nname = "x"\nlike = "floor_pull"\nmovements = ["deadlift"]\n'
            'load_forward_m = [30, 20, 40, "judgement"]\n',
            r"load_forward_m of 20 to 40 is not believed: it lies between -0\.6 and 1\.2; check its unit",
        ),
        (
            '[[family]]\nname = "x"\nlike = "floor_pull"\nmovements = ["deadlift"]\n'
            'inclination_deg = [40, 20, 160, "judgement"]\n',
            "inclination_deg of 20 to 160 is not believed",
        ),
        ('[[hands]]\nlabel = "x"\nmovements = ["deadlift"]\n', "body_share"),
    ],
)
def test_an_own_posture_that_cannot_be_is_refused_with_its_file(text: str, words: str) -> None:
    with pytest.raises(CatalogueError, match=words) as refused:
        catalogue_with({"ours.toml": text})
    assert refused.value.remedy


def test_every_height_kind_names_movements_of_the_catalogue_once() -> None:
    names = set(shipped_catalogue().movements)
    claimed = [name for kind in height_kinds().values() for name in kind.movements]
    assert set(claimed) <= names
    assert len(claimed) == len(set(claimed))
    assert all(kind.low_cm < kind.high_cm for kind in height_kinds().values())


def test_an_own_movement_takes_its_height_from_what_it_is_like() -> None:
    own = catalogue_with({"ours.toml": '[net_climb]\nlike = ["rope_climb"]\n'})
    assert own.height_kind("net_climb").name == "rope"
    assert own.height_kind("deadlift").name == "other"
