"""The Log page beside the whiteboard: names that mean nothing yet, reading options, the calendar, reading again."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from pathlib import Path

import polars as pl
import pytest
from playwright.sync_api import Browser, Page, expect

from keelmark.service import Evening, Squad
from tests.dashboards.browsing import Watched, served, watch

pytestmark = pytest.mark.browser

LOG = "date;athlete;movement;sets;reps;load_kg\n2026-05-04;Ada;kreuzhub;5;5;1,500\n06/05/2026;Ada;dips;3;8;\n"
BOARD = "Deadlift 3x3 @ 1.5x bodyweight"
WORKING = 20_000
"""How long storing and working out the season may take on a busy machine [ms]."""


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Squad]:
    """Ada and Bram, and one evening of theirs on a Monday."""
    roster = tmp_path / "roster.csv"
    roster.write_text("name,standard\nAda,lighter\nBram,heavier\n", encoding="utf-8")
    with Squad.open(f"sqlite:///{tmp_path / 'squad.sqlite'}") as squad:
        squad.import_roster(roster)
        squad.save_evening(Evening(dt.date(2026, 5, 4), BOARD, {"ada": {}, "bram": {}}))
        yield squad


@pytest.fixture
def coach(chromium: Browser, station: Squad) -> Iterator[Watched]:
    """The Log page of that week; afterwards nothing may have left the machine or been complained of."""
    with served(station) as home:
        context = chromium.new_context(viewport={"width": 1440, "height": 1000})
        watched = watch(context.new_page(), home)
        watched.visit("/log?week=2026-W19")
        yield watched
        context.close()
        assert watched.outside == []
        assert watched.complaints == []


def choose(page: Page, label: str, option: str) -> None:
    """Choose how the file is read."""
    field = page.get_by_role("textbox", name=label)
    field.click()
    page.get_by_role("option", name=option).click()
    expect(field).to_have_value(re.compile(option))


def test_a_name_is_settled_and_known_next_time(coach: Watched, station: Squad) -> None:
    page = coach.page
    file = {"name": "spring.csv", "mimeType": "text/csv", "buffer": LOG.encode()}
    page.set_input_files(".upload input[type=file]", files=[file])
    names = page.locator(".unknown-names")
    expect(names).to_contain_text("kreuzhub")
    expect(page.locator("#log-preview")).to_contain_text("There is nothing to store.")
    page.get_by_text("How to read the file").click()
    choose(page, "Decimal mark", "comma")
    expect(page.locator(".long-work:visible")).to_have_count(0, timeout=WORKING)
    expect(page.locator("#log-preview")).to_contain_text("There is nothing to store.")
    choose(page, "Order of dates", "day first")
    expect(page.get_by_role("button", name="Store 1 good row")).to_be_visible(timeout=WORKING)
    meant = page.get_by_role("textbox", name="What kreuzhub means")
    meant.click()
    page.get_by_role("option", name="deadlift", exact=True).click()
    expect(meant).to_have_value("deadlift")
    page.get_by_role("button", name="Keep these names and read again").click()
    page.get_by_role("button", name="Store 2 good rows").click()
    expect(page.locator(".remark.done")).to_contain_text("Stored.", timeout=WORKING)
    assert station.club_names() == {"kreuzhub": "deadlift"}
    logged = station.season().kept.efforts.filter(pl.col("source") == "log")
    # derived: with a comma as the decimal mark 1,500 is one and a half kilograms
    assert dict(logged.select("movement", "load_kg").iter_rows()) == {"deadlift": 1.5, "dip": None}


def test_days_are_typed_into_the_calendar(coach: Watched, station: Squad) -> None:
    page = coach.page
    first = page.get_by_role("button", name="Ada, Tuesday 5 May: no record")
    first.focus()
    for key in ("i", "ArrowDown", "t", "ArrowRight", "r", "ArrowUp", "r", "n"):
        page.keyboard.press(key)
    expect(page.get_by_role("button", name="Bram, Tuesday 5 May: travelling, not saved yet")).to_be_visible()
    expect(page.get_by_role("button", name="Save 3 changed days")).to_be_enabled()
    page.keyboard.press("Control+Enter")
    expect(page.locator(".remark.done")).to_have_text("Saved: 3 days.", timeout=WORKING)
    told = station.season().day_states.select("athlete_id", "date", pl.col("state").cast(pl.String)).rows()
    assert told == [
        ("ada", dt.date(2026, 5, 5), "ill"),
        ("bram", dt.date(2026, 5, 5), "travel"),
        ("bram", dt.date(2026, 5, 6), "rest"),
    ]
    expect(page.get_by_role("button", name="Ada, Tuesday 5 May: ill")).to_have_text("ill")
    expect(page.get_by_role("button", name="Save the changed days")).to_be_disabled()


def test_whiteboards_that_read_otherwise_are_read_again_with_one_press(
    coach: Watched, station: Squad, tmp_path: Path
) -> None:
    roster = tmp_path / "roster.csv"
    roster.write_text("name,standard,body mass kg\nAda,lighter,60\nBram,heavier,80\n", encoding="utf-8")
    station.import_roster(roster)
    coach.visit("/log")
    page = coach.page
    part = page.locator(".wb-rereading")
    expect(part).to_contain_text("came in after a whiteboard was stored")
    part.get_by_role("button", name="Look what reads otherwise").click()
    expect(part).to_contain_text("2 sessions read otherwise today")
    # derived: 1.5 times 60 kg and 80 kg
    expect(part.locator("tr", has_text="Ada")).to_contain_text("9 reps of deadlift at 90 kg")
    part.get_by_role("button", name="Read them again").click()
    expect(page.locator(".remark.done")).to_contain_text("Read again and stored.", timeout=WORKING)
    loads = station.season().kept.efforts.select("athlete_id", "load_kg")
    assert dict(loads.iter_rows()) == {"ada": 90.0, "bram": 120.0}


def test_what_is_read_for_those_who_differ_is_shown_while_typed(coach: Watched) -> None:
    page = coach.page
    page.get_by_label("The text of the session").fill("AMRAP 10: 10 thrusters 40/30 kg, 5 burpees\nscaled: push-ups")
    page.get_by_role("textbox", name="Loads of Ada", exact=True).fill("h")
    page.get_by_role("textbox", name="Result of Ada", exact=True).fill("3+4")
    own = page.locator(".wb-own")
    # derived: 3 rounds of 10 and 4 more; 3 rounds of 5
    expect(own.locator("tr", has_text="Ada")).to_contain_text("34 reps of thruster at 40 kg, 15 reps of burpee")
    page.get_by_role("textbox", name="Version of Bram", exact=True).fill("half")
    expect(own.locator("tr", has_text="Bram")).to_contain_text("Not stored like this: the version is 'half'")
