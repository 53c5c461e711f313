"""What stands behind a week in physical units, from a file to the squad's season."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.service import Squad

LOG = """date,athlete,movement,sets,reps,load_kg
2026-03-02,Ada,deadlift,5,5,100
2026-03-02,Ada,boat drag,3,10,40
2026-03-03,Ada,depth jump,3,10,
2026-03-04,Ada,deadlift,3,15,60
"""
OWN = """
[boat_drag]
category = "odd_object"
implement = "bag"
load = "needs"
measures = ["reps"]
body_mass_share = [0, 0, 0, "judgement", "nothing of the body is lifted"]
names.en = ["boat drag"]
per_rep.hip_hinge = [1, 1, 1, "judgement", "one drag is one hinge"]
"""


@pytest.fixture
def squad(tmp_path: Path) -> Iterator[Squad]:
    """Ada's week, with a movement of the squad's own that says nothing of its posture."""
    own, log = tmp_path / "own.toml", tmp_path / "log.csv"
    own.write_text(OWN, encoding="utf-8")
    log.write_text(LOG, encoding="utf-8")
    with Squad.open(f"sqlite:///{tmp_path / 'squad.sqlite'}", own_movements=[own]) as opened:
        opened.import_log(log)
        yield opened


def test_a_movement_whose_posture_nobody_stated_is_named_as_not_known(squad: Squad) -> None:
    told = squad.season().mechanics.back("ada", "2026-W10")
    assert told.not_known.rows() == [("boat_drag", "posture of this movement", 1)]


def test_reps_above_levels_lie_between_their_bounds_and_fall_with_the_level(squad: Squad) -> None:
    levels = squad.season().mechanics.back("ada", "2026-W10").levels
    assert (levels["low"] <= levels["reps"]).all()
    assert levels["reps"].is_sorted(descending=True)
    assert levels["high"].null_count() == levels.height, "the drag is not known, so nothing bounds the reps above"


def test_one_week_cannot_be_ranked_differently(squad: Squad) -> None:
    told = squad.season().mechanics.back("ada", "2026-W10")
    assert (told.powers, told.ranked) == (None, 0)


def test_the_widest_input_comes_first_and_is_kept_until_something_is_written(squad: Squad) -> None:
    mechanics = squad.season().mechanics
    width = mechanics.width("ada", "2026-W10", "lumbar_moment")
    assert width["narrows"].is_sorted(descending=True)
    assert mechanics.width("ada", "2026-W10", "lumbar_moment") is width
    squad.set_day_state(["ada"], [squad.season().daily["date"].max()], "ill")  # type: ignore[list-item]
    assert squad.season().mechanics is not mechanics


def test_no_other_channel_has_such_a_width(squad: Squad) -> None:
    with pytest.raises(SettingError, match="channel tonnage"):
        squad.season().mechanics.width("ada", "2026-W10", "tonnage")


def test_sets_without_a_maximum_of_their_own_rest_on_recent_ones(squad: Squad) -> None:
    sets = squad.season().mechanics.high_rep("ada", "2026-W10")
    assert sets["movement"].to_list() == ["deadlift", "deadlift"]
    # derived: 5 reps at 100 kg stand for 100 (1 + 5 / 30) = 116.7 kg two days later; 30 (116.7 / 60 - 1) = 28.3 reps
    assert sets.row(1, named=True)["state"] == "estimated"
    assert sets.row(1, named=True)["reps_possible"] == pytest.approx(28.33, abs=0.01)
    assert sets.row(1, named=True)["extrapolated"]


def test_landings_of_a_week_have_the_force_of_their_class(squad: Squad) -> None:
    landings = squad.season().mechanics.landings("ada", "2026-W10")
    assert landings.filter(landings["contacts"] > 0)["force_low"].null_count() == 0


@pytest.mark.parametrize(
    ("person", "words"),
    [
        ("Ada,female,7,170", "the cell is '7'"),
        ("Bo,male,700,180", "the cell is '700'"),
        ("Cy,male,80,70", "the cell is '70'"),
        ("Di,female,60,-170", "the cell is '-170'"),
    ],
)
def test_a_roster_with_a_body_that_cannot_be_is_refused(squad: Squad, tmp_path: Path, person: str, words: str) -> None:
    roster = tmp_path / "roster.csv"
    roster.write_text(f"name,sex,body_mass_kg,stature_cm\n{person}\n", encoding="utf-8")
    with pytest.raises(RefusedInput, match=words):
        squad.import_roster(roster)


@pytest.mark.parametrize(
    "row",
    ["deadlift,5,5,900,", "deadlift,5,5,-100,", "box jump,3,10,,-60", "hawser fling,3,10,40,"],
)
def test_a_row_that_cannot_be_is_quarantined_with_a_reason(squad: Squad, tmp_path: Path, row: str) -> None:
    log = tmp_path / "bad.csv"
    log.write_text(f"date,athlete,movement,sets,reps,load_kg,height_cm\n2026-03-09,Ada,{row}\n", encoding="utf-8")
    brought = squad.import_log(log)
    told = brought.reading.log.rows.row(0, named=True)
    assert told["verdict"] == "quarantined"
    assert told["remedy"]
    assert str(squad.season().kept.efforts["date"].max()) == "2026-03-04"
    own = squad.season().weekly.filter(athlete_id="ada", week="2026-W11")
    assert own["value"].null_count() == own.height > 0


@pytest.mark.parametrize(
    ("movement", "cm", "wanted"),
    [
        ("depth jump", 900, "height dropped from, 5 to 200 cm"),
        ("box jump", 240, "height of a box, a bench or a hurdle, 5 to 200 cm"),
        ("wall ball", 900, "height of a target, 5 to 600 cm"),
        ("deficit deadlift", 90, "height of a platform or a deficit, 1 to 60 cm"),
        ("rope climb", 4.5, "height climbed on a rope, 50 to 2000 cm"),
    ],
)
def test_a_height_is_believed_within_the_bounds_of_what_it_stands_for(
    squad: Squad, tmp_path: Path, movement: str, cm: float, wanted: str
) -> None:
    log = tmp_path / "high.csv"
    row = f"2026-03-09,Ada,{movement},3,10,40,{cm}"
    log.write_text(f"date,athlete,movement,sets,reps,load_kg,height_cm\n{row}\n", encoding="utf-8")
    told = squad.import_log(log).reading.log.rows.row(0, named=True)
    assert told["verdict"] == "quarantined"
    assert any(wanted in str(cell) for cell in told.values()), told


def test_a_rope_may_be_higher_than_a_box(squad: Squad, tmp_path: Path) -> None:
    log = tmp_path / "rope.csv"
    log.write_text("date,athlete,movement,sets,reps,height_cm\n2026-03-09,Ada,rope climb,3,1,450\n", encoding="utf-8")
    assert squad.import_log(log).reading.log.efforts["height_cm"].to_list() == [450.0]


OWN_POSTURE = """
[[family]]
name = "our_hauling_pull"
label = "Our pull with a bent back"
instant = "start"
kind = "stated"
movements = ["boat_drag", "deadlift"]
inclination_deg = [80, 70, 88, "judgement", "filmed from the side at the slip"]
dynamic = [1.2, 1.0, 1.4, "judgement", "hurried"]
seconds = [3, 2, 4, "judgement", "timed"]
mean_share = [0.7, 0.6, 0.8, "judgement", "slow start"]
"""


def test_a_squads_own_postures_change_its_loads_and_are_kept(squad: Squad, tmp_path: Path) -> None:
    before = squad.season().daily.filter(channel="lumbar_moment", unknown=0)["value"].to_list()
    own = tmp_path / "postures.toml"
    own.write_text(OWN_POSTURE, encoding="utf-8")
    for brought in ([own], []):
        with Squad.open(f"sqlite:///{tmp_path / 'squad.sqlite'}", own_movements=brought) as again:
            days = again.season().daily.filter(channel="lumbar_moment")
            assert days["unknown"].sum() == 0, "the drag has a posture now"
            assert days["value"][-1] > before[-1], "deadlifts lean further and last longer"
            assert again.season().mechanics.back("ada", "2026-W10").not_known.is_empty()


def test_hard_reps_are_counted_against_the_end_of_the_fatigue_law(squad: Squad) -> None:
    """Derived: even 60 kg at 0.35 m with 40 kg of trunk at 0.3 m ask more than the 290 N m at which the fit ends, so
    5 x 5 and 3 x 15 pulls do; 30 drop landings do not. The drag is not known."""
    beyond, perhaps, known = squad.season().mechanics.back("ada", "2026-W10").beyond_fit
    assert (beyond, known) == (70, 100)
    assert perhaps >= beyond


def test_a_week_with_hangs_tells_their_time_and_pull(squad: Squad, tmp_path: Path) -> None:
    assert squad.season().mechanics.back("ada", "2026-W10").hanging is None
    log = tmp_path / "hang.csv"
    log.write_text("date,athlete,movement,sets,duration_s\n2026-03-09,Ada,dead hang,3,40\n", encoding="utf-8")
    squad.import_log(log)
    hanging = squad.season().mechanics.back("ada", "2026-W11").hanging
    assert hanging is not None
    assert hanging.seconds == hanging.seconds_high == 120
    assert hanging.newtons_low < hanging.newtons < hanging.newtons_high


def test_a_load_above_the_known_maximum_is_marked(squad: Squad, tmp_path: Path) -> None:
    roster = tmp_path / "roster.csv"
    roster.write_text("name,1RM deadlift (kg)\nAda,90\n", encoding="utf-8")
    squad.import_roster(roster)
    sets = squad.season().mechanics.high_rep("ada", "2026-W10").sort("load_kg")
    assert sets["above_maximum"].to_list() == [False, True]
    assert sets["reps_possible"][1] == 1
