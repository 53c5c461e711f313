"""The whiteboard part of the Log page: a class of fourteen, doubts in place, the way back, phone and night."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import polars as pl
import pytest
from playwright.sync_api import Browser, Locator, expect

from keelmark.service import Squad
from keelmark_dash.words import day_words
from tests.dashboards.browsing import Watched, served, watch
from tests.dashboards.standing import stands_up

pytestmark = pytest.mark.browser

CLASS = ("Ada", "Bram", "Cora", "Dilys", "Edda", "Fenno", "Greta", "Hauke", "Ines", "Jory", "Kerra", "Lowen", "Mara",
         "Nils")  # fmt: skip
OTHERS = ("Orla", "Piet", "Quinn", "Runa")
TEXT = "3 rounds for time, cap 12 min\n400 m run\n21 kettlebell swings 24/16 kg\n12 pull-ups\nscaled: ring rows"
DOUBTFUL = "Bring gloves\n5x5 fnord lifts\n3x10 push-ups @ 20\nAMRAP 10 min: 12 box jumps 60/50 cm, 9 burpees"
MOST_INPUTS = 25
STORING = 20_000
"""How long storing and working out the season may take on a busy machine [ms]."""


@pytest.fixture(scope="module")
def station(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """A squad of two groups, one of them a class of fourteen, without any record."""
    folder = tmp_path_factory.mktemp("station")
    lines = ["name,group,standard,body mass kg,1RM back squat kg"]
    lines += [f"{name},slipway,{'lighter' if place % 2 else 'heavier'},70,100" for place, name in enumerate(CLASS)]
    lines += [f"{name},harbour,heavier,80,120" for name in OTHERS]
    roster = folder / "roster.csv"
    roster.write_text("\n".join(lines), encoding="utf-8")
    with Squad.open(f"sqlite:///{folder / 'squad.sqlite'}") as squad:
        squad.import_roster(roster)
        yield squad


@pytest.fixture
def coach(chromium: Browser, station: Squad) -> Iterator[Watched]:
    """The Log page of that squad; afterwards nothing may have left the machine or been complained of."""
    with served(station) as home:
        context = chromium.new_context(viewport={"width": 1440, "height": 1000})
        watched = watch(context.new_page(), home)
        watched.visit("/log")
        yield watched
        context.close()
        assert watched.outside == []
        assert watched.complaints == []
    for import_id in station.imports().filter(pl.col("kind") == "whiteboard", pl.col("undone_at").is_null())[
        "import_id"
    ]:
        station.undo(import_id)


class Hand:
    """Clicks and fields typed into, counted."""

    def __init__(self) -> None:
        self.inputs = 0

    def click(self, what: Locator) -> None:
        """One click."""
        what.click()
        self.inputs += 1

    def fill(self, what: Locator, words: str) -> None:
        """One field."""
        what.click()
        what.press_sequentially(words)
        self.inputs += 1


def field(watched: Watched, label: str, name: str) -> Locator:
    """A field of an athlete's line."""
    return watched.page.get_by_role("textbox", name=f"{label} of {name}", exact=True)


def paste(watched: Watched, text: str) -> None:
    """Put a text into the form at once, and wait for its reading."""
    watched.page.get_by_label("The text of the session").fill(text)
    watched.page.locator(".wb-marked").wait_for()


def test_a_class_of_fourteen_with_three_exceptions(coach: Watched, station: Squad) -> None:
    page, hand = coach.page, Hand()
    page.get_by_label("The text of the session").fill(TEXT)
    hand.inputs += 1
    hand.click(page.get_by_role("textbox", name="Who came"))
    hand.click(page.get_by_role("option", name="slipway"))
    expect(page.locator(".wb-grid tbody tr")).to_have_count(len(CLASS))
    hand.fill(page.get_by_label("Minutes, in all"), "60")
    hand.click(page.get_by_role("checkbox", name="Cora"))
    hand.fill(field(coach, "Loads", "Ada"), "l")
    hand.fill(field(coach, "Version", "Bram"), "s")
    came = [name for name in CLASS if name != "Cora"]
    for place, name in enumerate(came):
        hand.fill(field(coach, "Result", name), f"9:{10 + place}")
    hand.click(page.get_by_role("button", name="Store this session for 13"))
    expect(page.locator(".remark.done")).to_have_text(
        f"Stored for 13 athletes, {day_words(date.today())}: 39 efforts.", timeout=STORING
    )
    assert hand.inputs <= MOST_INPUTS
    kept = station.season().kept
    assert set(kept.sessions["athlete_id"]) == {name.lower() for name in came}
    swings = dict(
        kept.efforts.filter(pl.col("movement") == "kettlebell_swing").select("athlete_id", "load_kg").iter_rows()
    )
    # derived: the roster gives heavier and lighter in turn; Ada took the lighter bell
    assert swings["ada"] == 16
    assert swings["edda"] == 24
    assert swings["bram"] == 16
    assert kept.efforts.filter(pl.col("athlete_id") == "bram", pl.col("movement") == "ring_row").height == 1
    assert kept.sessions["duration_min"].unique().to_list() == [60]


def test_what_was_stored_is_shown_and_can_be_taken_back(coach: Watched, station: Squad) -> None:
    page = coach.page
    paste(coach, TEXT)
    page.get_by_label("Result, the same for all").fill("10:00")
    page.get_by_role("button", name="Store this session for 18").click()
    stored = page.locator(".wb-stored")
    expect(stored).to_contain_text("54 efforts of 18 athletes", timeout=STORING)
    stored.locator("summary").click()
    # derived: 3 rounds of 21 swings; 3 rounds of 400 m
    expect(stored.locator("tr", has_text="Bram")).to_contain_text("63 reps of kettlebell swing at 16 kg")
    expect(stored.locator("tr", has_text="Bram")).to_contain_text("1 200 m of run".replace(" ", "\u202f", 1))
    stored.get_by_role("button", name="Take it back").click()
    expect(page.locator(".remark.done")).to_contain_text("Taken back.", timeout=STORING)
    expect(page.locator(".wb-stored")).to_have_count(0)
    assert station.season().kept.efforts.is_empty()


def test_every_doubt_stands_in_its_place(coach: Watched) -> None:
    page = coach.page
    paste(coach, DOUBTFUL)
    expect(page.locator(".wb-mark.error")).to_have_text(["fnord lifts"])
    expect(page.locator(".wb-remark").first).to_contain_text("Bring gloves")
    doubt = page.locator(".wb-doubt.error")
    expect(doubt).to_contain_text("Not read, line 2")
    expect(doubt).to_contain_text("Nearest names")
    expect(doubt.locator("pre")).to_contain_text("^^^^^^^^^^^")
    assert page.locator(".wb-marked").inner_text().replace("1", "").startswith("Bring gloves\n5x5 fnord lifts")
    expect(page.locator(".wb-canonical")).to_contain_text("12 box jump at 60/50 cm, 9 burpee")
    jumps = page.locator(".wb-reading tr", has_text="box jump")
    expect(jumps.locator("td").nth(1)).to_have_text("60 cm high")
    expect(jumps.locator("td").nth(2)).to_have_text("50 cm high")


def test_the_reading_follows_the_typing(coach: Watched) -> None:
    page = coach.page
    box = page.get_by_label("The text of the session")
    box.press_sequentially("5x5 back squat @ 80 kg", delay=5)
    expect(page.locator(".wb-reading tbody tr")).to_have_count(1)
    expect(page.locator(".wb-reading tbody tr")).to_contain_text("5 × 5 reps80 kg")
    box.press("Enter")
    box.press_sequentially("3x10 push-ups", delay=5)
    expect(page.locator(".wb-reading tbody tr")).to_have_count(2)


def test_what_is_understood_is_read_the_same_way_again(coach: Watched) -> None:
    page = coach.page
    paste(coach, TEXT)
    understood = page.locator(".wb-canonical").inner_text()
    work = page.locator(".wb-reading table").inner_text()
    paste(coach, understood)
    expect(page.locator(".wb-marked")).to_have_text(understood)
    expect(page.locator(".wb-canonical")).to_have_text(understood)
    assert page.locator(".wb-reading table").inner_text() == work


def test_a_text_half_typed_is_still_there_after_a_look_at_another_page(coach: Watched) -> None:
    page = coach.page
    paste(coach, TEXT)
    page.get_by_role("link", name="Methods").click()
    expect(page.locator("h1")).not_to_have_text("The log")
    page.get_by_role("link", name="Log", exact=True).click()
    expect(page.get_by_label("The text of the session")).to_have_value(TEXT)
    expect(page.locator(".wb-reading tbody tr")).to_have_count(3)


def test_a_result_that_cannot_be_is_told_by_name_and_nothing_is_lost(coach: Watched, station: Squad) -> None:
    page = coach.page
    paste(coach, TEXT)
    field(coach, "Result", "Ada").fill("7+12")
    page.get_by_role("button", name="Store this session for 18").click()
    refused = page.locator(".remark.refused")
    expect(refused).to_contain_text(
        "Nothing was stored. Ada: the result '7+12' cannot belong to the work", timeout=STORING
    )
    assert page.get_by_label("The text of the session").input_value() == TEXT
    assert field(coach, "Result", "Ada").input_value() == "7+12"
    assert station.season().kept.efforts.is_empty()


def test_the_grid_is_walked_with_the_keyboard(coach: Watched, station: Squad) -> None:
    page = coach.page
    paste(coach, TEXT)
    page.get_by_role("checkbox", name="Bram").press("Space")
    field(coach, "Result", "Ada").focus()
    page.keyboard.type("9:10")
    page.keyboard.press("Enter")
    expect(field(coach, "Result", "Cora")).to_be_focused()
    page.keyboard.type("9:30")
    page.keyboard.press("ArrowUp")
    expect(field(coach, "Result", "Ada")).to_be_focused()
    page.keyboard.press("Tab")
    expect(field(coach, "Loads", "Ada")).to_be_focused()
    page.keyboard.press("Control+Enter")
    expect(page.locator(".remark.done")).to_contain_text("Stored for 17 athletes", timeout=STORING)
    results = dict(station.season().kept.sessions.select("athlete_id", "result").iter_rows())
    assert (results["ada"], results["cora"], results["dilys"]) == ("9:10", "9:30", None)
    assert "bram" not in results


def test_the_same_session_twice_is_stored_once(coach: Watched) -> None:
    page = coach.page
    for told in ("Stored for 18 athletes", "was stored before; nothing was stored again"):
        expect(page.get_by_label("The text of the session")).to_have_value("", timeout=STORING)
        paste(coach, TEXT)
        page.get_by_role("button", name="Store this session for 18").click()
        expect(page.locator(".remark.done")).to_contain_text(told, timeout=STORING)


def test_the_form_reads_well_by_day_and_night_on_desk_and_phone(coach: Watched) -> None:
    page = coach.page
    paste(coach, DOUBTFUL)
    page.get_by_label("Result, the same for all").fill("5+3")
    page.get_by_role("checkbox", name="Bram").uncheck()
    page.get_by_role("button", name="Store this session for 17").click()
    expect(page.get_by_label("The text of the session")).to_have_value("", timeout=STORING)
    page.locator(".wb-stored summary").click()
    paste(coach, DOUBTFUL)
    stands_up(page)
    page.set_viewport_size({"width": 390, "height": 900})
    heights = page.locator(".wb-grid input.wb-cell, .wb-tick label").evaluate_all(
        "found => found.map(one => one.getBoundingClientRect().height).filter(height => height > 0)"
    )
    assert min(heights) >= 44


def test_a_figure_leads_back_to_the_words_of_the_whiteboard(coach: Watched, station: Squad) -> None:
    page = coach.page
    paste(coach, TEXT)
    page.get_by_label("Result, the same for all").fill("10:00")
    page.get_by_role("button", name="Store this session for 18").click()
    expect(page.locator(".remark.done")).to_contain_text("Stored for 18 athletes", timeout=STORING)
    coach.visit(f"/athlete?athlete=bram&channel=tonnage&week={station.season().weeks[-1]}")
    row = page.locator(".session tr", has_text="kettlebell swing")
    expect(row).to_contain_text("3 × 21 reps at 16 kg")
    expect(row.locator("q")).to_contain_text("21 kettlebell swings 24/16 kg")
    expect(row).to_contain_text(f"Whiteboard of {date.today()}")


def test_a_squad_without_people_is_told_what_to_do_first(chromium: Browser, tmp_path: Path) -> None:
    with Squad.open(f"sqlite:///{tmp_path / 'empty.sqlite'}") as squad, served(squad) as home:
        context = chromium.new_context()
        watched = watch(context.new_page(), home)
        watched.visit("/log")
        expect(watched.page.locator("main")).to_contain_text("Bring a list of the people or a log first")
        context.close()
