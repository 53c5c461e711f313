"""A squad's own movements: added, put in place of shipped ones, and read back as written."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.catalogue import Figure, catalogue_with, load_catalogue, shipped_catalogue
from keelmark.contracts.channels import EXPOSURES

STATION = """
[hose_haul]
like = ["rope_pull"]
category = "odd_object"
implement = "bag"
per_metre.grip_s = [3, 2, 6, "judgement", "a charged hose is stiff"]
opposes = ["push_up"]
swaps.rope_pull = [1.5, 1, 2, "judgement", "tried at the station"]
names.en = ["hose haul", "charged hose"]
names.de = ["Schlauchziehen"]
"""


def test_an_own_movement_is_added_with_its_names(tmp_path: Path) -> None:
    path = tmp_path / "station.toml"
    path.write_text(STATION, encoding="utf-8")
    catalogue = load_catalogue([path])
    assert len(catalogue) == len(shipped_catalogue()) + 1
    assert catalogue.names.find("Charged Hose") == "hose_haul"
    assert catalogue.names.find("schlauchziehen") == "hose_haul"
    assert catalogue.names.label("hose_haul", "de") == "Schlauchziehen"
    assert catalogue["hose_haul"].per_metre["grip_s"].value == 3
    assert (
        catalogue["hose_haul"].per_metre["horizontal_pull"]
        == shipped_catalogue()["rope_pull"].per_metre["horizontal_pull"]
    )
    assert "hose_haul" in catalogue.opposing("push_up")
    assert "hose_haul" not in shipped_catalogue()


def test_an_own_movement_without_names_goes_by_its_canonical_name() -> None:
    names = catalogue_with({"ours.toml": '[hose_haul]\nlike = ["rope_pull"]\n'}).names
    assert names.find("Hose haul") == "hose_haul"
    assert names.label("hose_haul", "fr") == "hose haul"


def test_no_own_file_gives_the_shipped_catalogue() -> None:
    assert load_catalogue() is shipped_catalogue()


def test_an_override_keeps_what_it_does_not_state() -> None:
    text = '[toes_to_bar]\nlike = ["toes_to_bar"]\nper_rep.grip_s = [3, 2, 4, "judgement", "ours pause at the bar"]\n'
    ours, shipped = catalogue_with({"ours.toml": text})["toes_to_bar"], shipped_catalogue()["toes_to_bar"]
    assert ours.per_rep["grip_s"].value == 3
    assert ours.per_rep["spinal_flexion"] == shipped.per_rep["spinal_flexion"]
    assert ours.swaps == shipped.swaps
    assert ours.opposes == shipped.opposes


def test_an_override_without_like_replaces_the_entry_whole() -> None:
    text = """
[toes_to_bar]
category = "gymnastics"
implement = "none"
load = "never"
measures = ["reps"]
body_mass_share = [0.5, 0.4, 0.6, "judgement"]
"""
    ours = catalogue_with({"ours.toml": text})["toes_to_bar"]
    assert ours.per_rep == {}
    assert ours.swaps == ()


def test_an_override_reaches_the_squads_own_movements_but_not_the_shipped_ones() -> None:
    text = """
[toes_to_bar]
like = ["toes_to_bar"]
per_rep.grip_s = [3, 2, 4, "judgement"]

[strict_toes_to_ladder]
like = ["toes_to_bar"]
"""
    catalogue = catalogue_with({"ours.toml": text})
    assert catalogue["strict_toes_to_ladder"].per_rep["grip_s"].value == 3
    assert catalogue["toes_to_ring"] == shipped_catalogue()["toes_to_ring"]


def test_of_two_own_files_the_later_one_counts() -> None:
    first = '[hose_haul]\nlike = ["rope_pull"]\n'
    later = '[hose_haul]\nlike = ["sled_drag"]\n'
    assert catalogue_with({"a.toml": first, "b.toml": later})["hose_haul"].implement == "sled"
    assert catalogue_with({"b.toml": later, "a.toml": first})["hose_haul"].implement == "rope"


def test_a_file_saved_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    path = tmp_path / "bom.toml"
    path.write_text(STATION.strip(), encoding="utf-8-sig")
    assert "hose_haul" in load_catalogue([path])


def test_the_later_name_in_like_counts_and_the_own_line_before_all() -> None:
    text = '[slow_clean]\nlike = ["deadlift", "clean"]\nper_rep.grip_s = [4, 3, 5, "judgement"]\n'
    movement = catalogue_with({"ours.toml": text})["slow_clean"]
    clean = shipped_catalogue()["clean"]
    assert movement.seconds_per_rep == clean.seconds_per_rep
    assert movement.per_rep["knee"] == clean.per_rep["knee"]
    assert movement.per_rep["grip_s"].value == 4
    assert movement.like == ("deadlift", "clean")


@pytest.mark.parametrize(
    "written",
    [
        '[2, 1, 3, "judgement", "tried"]',
        '{ value = 2, low = 1, high = 3, evidence = "judgement", source = "tried" }',
    ],
)
def test_a_figure_may_be_a_row_or_a_table(written: str) -> None:
    text = f'[hose_haul]\nlike = ["rope_pull"]\nper_rep.grip_s = {written}\n'
    figure = catalogue_with({"ours.toml": text})["hose_haul"].per_rep["grip_s"]
    assert figure == Figure(value=2, low=1, high=3, evidence="judgement", source="tried")


amounts = st.floats(min_value=0, max_value=500, allow_nan=False).map(lambda value: round(value, 3))
notes = st.text(st.characters(blacklist_categories=("Cs", "Cc"), blacklist_characters='"\\'), min_size=1, max_size=30)
figures = st.builds(
    lambda numbers, evidence, note: Figure(
        low=min(numbers), value=sorted(numbers)[1], high=max(numbers), evidence=evidence, source=note
    ),
    st.tuples(amounts, amounts, amounts),
    st.sampled_from(["published", "derived", "judgement"]),
    notes,
)
tables = st.dictionaries(st.sampled_from(sorted(set(EXPOSURES) - {"jump_contacts"})), figures, max_size=6)


def row(figure: Figure) -> str:
    """The figure as it is written in a file."""
    return f'[{figure.value!r}, {figure.low!r}, {figure.high!r}, "{figure.evidence}", "{figure.source}"]'


@settings(max_examples=25, deadline=None)
@given(per_rep=tables, per_metre=tables)
def test_an_own_file_is_read_back_as_it_was_written(per_rep: dict[str, Figure], per_metre: dict[str, Figure]) -> None:
    lines = [
        "[buoy_lift]",
        'category = "odd_object"',
        'implement = "bag"',
        'load = "needs"',
        'measures = ["reps", "distance_m"]' if per_rep and per_metre else 'measures = ["duration_s"]',
        'body_mass_share = [0.5, 0, 1, "judgement", "not weighed"]',
        'seconds_per_rep = [3, 2, 5, "judgement", "timed once"]',
        'metres_per_second = [1, 0.5, 2, "judgement", "timed once"]',
    ]
    lines += [f"per_rep.{key} = {row(figure)}" for key, figure in per_rep.items()]
    lines += [f"per_metre.{key} = {row(figure)}" for key, figure in per_metre.items()]
    movement = catalogue_with({"ours.toml": "\n".join(lines)})["buoy_lift"]
    assert movement.per_rep == per_rep
    assert movement.per_metre == per_metre
