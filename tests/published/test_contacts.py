"""Contacts are counted as the published session volumes count them.

Source: plyometric volume is the number of times a foot, or both feet together, meet the ground; a beginner's session
holds 80 to 100 (published, secondary: Potach DH, Chu DA, in Haff GG, Triplett NT, Essentials of Strength Training and
Conditioning, 4th ed., Human Kinetics 2016). That a step down from the box is no landing from a jump: common practice,
no source. The sessions are ours; their sums are derived in the names of the cases.
"""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.dose import daily_dose
from keelmark.notation import read, to_efforts_frame

DAY = dt.date(2026, 3, 2)


def channel(text: str, key: str) -> float:
    """What a whiteboard text adds to a channel on one day."""
    efforts = to_efforts_frame(read(text), athlete_id="ada", date=DAY, session_id="s", import_id="1")
    athletes = ATHLETE.build([{"athlete_id": "ada", "name": "Ada"}])
    daily = daily_dose(
        EFFORT.check(efforts, where="test"), SESSION.empty(), athletes, REP_MAXIMUM.empty(), shipped_catalogue()
    )
    found = daily.filter(pl.col("channel") == key)["value"].to_list()
    return float(found[0]) if found else 0.0


@pytest.mark.parametrize(
    ("text", "contacts"),
    [
        ("5x10 squat jumps\n3x10 tuck jumps", 80),  # 5 x 10 + 3 x 10
        ("6x10 broad jumps\n4x10 squat jumps", 100),  # 6 x 10 + 4 x 10
        ("9x10 box jumps 60 cm", 90),  # both feet together count once
    ],
)
def test_a_beginners_session_lies_in_the_published_range(text: str, contacts: int) -> None:
    assert channel(text, "jump_contacts") == contacts
    assert 80 <= contacts <= 100


def test_stepping_onto_a_box_and_down_is_no_landing_from_a_jump() -> None:
    assert channel("3x20 step-ups", "jump_contacts") == 0
    assert channel("3x20 box step-overs 50 cm", "jump_contacts") == 0


def test_skipping_is_kept_apart_from_jump_contacts() -> None:
    assert channel("100 double unders", "jump_contacts") == 0
    assert channel("100 double unders", "foot_strikes") > 0
