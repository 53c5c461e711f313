"""What was meant for a week stands beside what the squad did; where nothing was meant, nothing stands there."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl
from playwright.sync_api import expect

from keelmark.service import Squad
from keelmark.service.ahead import AHEAD
from keelmark_dash.parts.meant_week import meant_week
from tests.dashboards.browsing import Watched

MONDAY = dt.date(2026, 6, 1)


def told(planned: float, done: float | None) -> str:
    """The sentence about one kind of work."""
    half = (None, None) if done is None else (done - 10, done + 10)
    row = (MONDAY, "jump_contacts", "contact", planned, done, *half, None if done is None else 9)
    found: list[Any] = meant_week(pl.DataFrame([row], schema=AHEAD, orient="row"), "", pl.DataFrame())
    listed = next(part for part in found[0].children if type(part).__name__ == "Ul")
    return str(listed.children[0].children)


def test_words_say_how_far_from_what_was_meant() -> None:
    # derived: 150 / 120 - 1 = 0.25, 60 / 120 - 1 = -0.5, 124 / 120 - 1 = 0.033
    said = "Jump contacts: 120 contacts meant; {} contacts done in the middle of the squad, {}."
    assert told(120, 150) == said.format(150, "25 % more")
    assert told(120, 60) == said.format(60, "50 % less")
    assert told(120, 124) == said.format(124, "about as much")
    assert told(120, None) == "Jump contacts: 120 contacts meant; what was done is not known for anybody."
    assert told(0, 20) == "Jump contacts: 0 contacts meant; 20 contacts done in the middle of the squad."


def test_nothing_is_said_where_nothing_was_meant() -> None:
    assert meant_week(pl.DataFrame(schema=AHEAD), "taper", pl.DataFrame()) == []


def test_the_squad_page_shows_what_was_meant_for_the_chosen_week_alone(looking: Watched, crew: Squad) -> None:
    kept = crew.ahead.mean("jump_contacts", MONDAY, 1, 120.0, 0.0)
    try:
        looking.visit("/?week=2026-W23")
        row = looking.page.get_by_role("row", name="Jump contacts 120 contacts")
        expect(row).to_be_visible()
        weekly = crew.season().weekly.filter(pl.col("monday") == MONDAY, pl.col("channel") == "jump_contacts")
        expect(row).to_contain_text(f"{weekly['value'].drop_nulls().len()} athletes")
        looking.visit("/?week=2026-W22")
        expect(looking.page.get_by_role("heading", name="What stands out")).to_be_visible()
        expect(looking.page.get_by_role("heading", name="Meant and done")).to_have_count(0)
    finally:
        crew.ahead.withdraw_ramp(kept)
