"""The posture table: complete, in one place per movement, and refused with a clear message where it is not."""

from __future__ import annotations

import pytest

from keelmark.catalogue import shipped_catalogue
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
