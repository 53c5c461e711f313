"""What was put aside widens its day until it is mended; a reason for the day does not hide that a part is missing."""

from __future__ import annotations

import datetime as dt

import polars as pl

from keelmark.service import Squad

HEAD = "date,athlete,movement,sets,reps,load_kg"
DAY = dt.date(2026, 3, 4)


def bring(squad: Squad, *rows: str, name: str = "log.csv") -> None:
    squad.accept(squad.preview_log("\n".join([HEAD, *rows]).encode(), name).token)


def week(squad: Squad) -> dict[str, object]:
    told = squad.season().weekly.filter(pl.col("channel") == "tonnage", pl.col("week") == "2026-W10")
    return told.row(0, named=True)


def state(squad: Squad) -> str | None:
    found = squad.season().day_states.filter(pl.col("date") == DAY)["state"].to_list()
    return found[0] if found else None


GOOD = tuple(f"2026-03-{day:02d},Ada,deadlift,5,5,100" for day in (2, 4, 6))
SLIP = "2026-03-04,Ada,back squat,5,five,80"


def test_a_slip_widens_its_week_and_its_mending_closes_it_again(squad: Squad) -> None:
    """2500 kg a day on three days (derived); the slip was of the second."""
    squad.set_setting("quiet_days", "rest")
    bring(squad, *GOOD, SLIP)
    open_week = week(squad)
    assert (open_week["known_days"], open_week["on_record"]) == (6, 7500.0)
    assert state(squad) == "partly"
    bring(squad, *GOOD, "2026-03-04,Ada,back squat,5,5,80", name="mended.csv")
    whole = week(squad)
    assert (whole["known_days"], whole["value"], whole["low"], whole["high"]) == (7, 9500.0, 9500.0, 9500.0)


def test_a_reason_of_the_day_does_not_hide_that_a_part_is_missing(squad: Squad) -> None:
    bring(squad, *GOOD, SLIP)
    for said in ("restricted", "ill", "rest"):
        squad.set_day_state(["ada"], [DAY], said)
        assert state(squad) == "partly"
        assert week(squad)["on_record"] == 7500.0
    squad.set_day_state(["ada"], [DAY], "unlogged")
    squad.set_day_state(["ada"], [DAY], "restricted")
    assert state(squad) == "restricted"
