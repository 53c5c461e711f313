"""Hanging: how long, and how hard pelvis and legs pull the lower back apart."""

from __future__ import annotations

import pytest

from keelmark.catalogue import catalogue_with
from keelmark.dose.hanging import hanging_efforts
from tests.dose.bodies import CATALOGUE, crew
from tests.dose.squad import athletes, efforts


def test_a_dead_hang_pulls_with_the_weight_below_the_joint() -> None:
    """Derived: de Leva's woman has 0.0668 + 0.1545 + 0.1465 + 2 (0.0255 + 0.0138 + 0.0056) + 0.4 x 0.1247 = 0.5075 of
    her mass above the joint, so 80 kg pull with 9.81 x 80 x (1 - 0.50748) = 386.5 N."""
    rows = hanging_efforts(efforts({"movement": "dead_hang", "duration_s": 60.0, "sets": 2}), crew(), CATALOGUE)
    row = rows.row(0, named=True)
    assert row["seconds"] == 120
    assert row["newtons"] == pytest.approx(386.5, abs=0.1)
    assert row["newtons_low"] < row["newtons"] < row["newtons_high"]


def test_feet_on_the_rope_take_part_of_the_pull() -> None:
    hang, climb = (
        hanging_efforts(efforts({"movement": name, "reps": 5.0}), crew(), CATALOGUE).row(0, named=True)
        for name in ("pull_up", "rope_climb")
    )
    assert climb["newtons"] < hang["newtons"]
    assert climb["newtons_low"] == 0


def test_work_on_the_feet_does_not_hang() -> None:
    rows = efforts({"movement": "deadlift", "reps": 5.0, "load_kg": 100.0}, {"movement": "ring_row", "reps": 5.0})
    assert hanging_efforts(rows, crew(), CATALOGUE).is_empty()


def test_a_heavier_body_pulls_harder_and_an_unknown_one_less_surely() -> None:
    rows = efforts({"movement": "dead_hang", "duration_s": 30.0})
    light, heavy, unknown = (
        hanging_efforts(rows, body, CATALOGUE).row(0, named=True)
        for body in (crew(body_mass_kg=60.0), crew(body_mass_kg=90.0), athletes("runa"))
    )
    assert heavy["newtons"] == pytest.approx(1.5 * light["newtons"])
    assert unknown["newtons_low"] < light["newtons_low"]
    assert unknown["newtons_high"] > heavy["newtons_high"]


def test_an_unknown_number_of_reps_is_an_unknown_time() -> None:
    row = hanging_efforts(efforts({"movement": "pull_up"}), crew(), CATALOGUE).row(0, named=True)
    assert (row["seconds"], row["seconds_low"], row["seconds_high"]) == (None, 0, None)


def test_a_squads_own_hang_takes_it_from_what_it_is_like() -> None:
    own = catalogue_with({"ours.toml": '[ladder_hang]\nlike = ["dead_hang"]\n'})
    rows = hanging_efforts(efforts({"movement": "ladder_hang", "duration_s": 30.0}), crew(), own)
    assert rows["newtons"].to_list() == pytest.approx([386.5], abs=0.1)
