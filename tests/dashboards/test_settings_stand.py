"""Every choice on the Settings page, made by hand in a browser: it is kept, and other pages go by it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import polars as pl
import pytest
from playwright.sync_api import Browser, Page, expect

from keelmark.service import Squad
from tests.dashboards.browsing import Watched, served, watch

pytestmark = pytest.mark.browser

LOG = "date,athlete,movement,sets,reps,load_kg\n2026-03-02,Bo,deadlift,5,5,100\n2026-03-04,Bo,clean,3,3,60\n"
OWN = '[bollard_heave]\nlike = ["deadlift"]\nnames.en = ["bollard heave"]\n'


@pytest.fixture
def bo(chromium: Browser, tmp_path: Path) -> Iterator[tuple[Squad, Watched]]:
    """A squad of one with one week, and its pages."""
    (tmp_path / "log.csv").write_text(LOG, encoding="utf-8")
    (tmp_path / "roster.csv").write_text("name\nBo\n", encoding="utf-8")
    with Squad.open(f"sqlite:///{tmp_path / 'squad.sqlite'}") as squad:
        squad.import_roster(tmp_path / "roster.csv")
        squad.import_log(tmp_path / "log.csv")
        with served(squad) as home, chromium.new_context(viewport={"width": 1440, "height": 1000}) as context:
            watched = watch(context.new_page(), home)
            yield squad, watched
            assert watched.complaints == watched.outside == []


def choose(page: Page, label: str, option: str) -> None:
    """Take an option of a list."""
    page.get_by_role("textbox", name=label, exact=True).click()
    page.get_by_role("option", name=option, exact=True).click()


def day(page: Page, label: str, written: str) -> None:
    """Type a day."""
    field = page.get_by_role("textbox", name=label, exact=True)
    field.fill(written)
    field.press("Tab")


def test_each_choice_is_kept_and_gone_by(bo: tuple[Squad, Watched]) -> None:
    squad, watched = bo
    page, said = watched.page, watched.page.locator("#shell-said")
    watched.visit("/settings")
    choose(page, "Day on which ratios are taken", "Wednesday")
    choose(page, "Emergency number on the care cards", "Norway: 113")
    choose(page, "Loads in", "pounds")
    choose(page, "Language of movement names", "German")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(said).to_contain_text("Saved.")
    chosen = squad.settings()
    assert [chosen[key] for key in ("week_day", "country", "load_unit", "language")] == [3, "no", "lb", "de"]

    page.get_by_label("Name", exact=True).fill("Regatta")
    day(page, "First day", "Fri 6 Mar 2026")
    day(page, "Last day", "Sun 8 Mar 2026")
    page.get_by_role("button", name="Give this name").click()
    expect(said).to_contain_text("Named: Regatta.")
    file = {"name": "own.toml", "mimeType": "text/plain", "buffer": OWN.encode()}
    page.set_input_files(".upload.movements input[type=file]", files=[file])
    expect(said).to_contain_text("Kept.")
    assert "bollard_heave" in squad.catalogue

    watched.visit("/care?show=now")
    expect(page.locator("main")).to_contain_text("113")
    watched.visit("/athlete?athlete=bo&week=2026-W10&channel=tonnage")
    expect(page.locator("main")).to_contain_text("Umsetzen")
    expect(page.locator("main")).to_contain_text(" lb")
    watched.visit("/brief?athlete=bo&week=2026-W10")
    expect(page.locator("main")).to_contain_text("Papers tell loads in kilograms and name movements in English")

    watched.visit("/log")
    page.get_by_text("Add one person").click()
    page.get_by_label("Name", exact=True).fill("Una")
    page.get_by_label("Body mass in pounds, if known").fill("165")
    page.get_by_role("button", name="Add this person").click()
    expect(said).to_contain_text("Stored.")
    mass = squad.season().athletes.filter(pl.col("name") == "Una")["body_mass_kg"].item()
    assert mass == pytest.approx(165 * 0.45359237), "pound: international agreement of 1959"

    watched.visit("/settings")
    for label, shown in (("Day on which ratios are taken", "Wednesday"), ("Loads in", "pounds")):
        expect(page.get_by_role("textbox", name=label, exact=True)).to_have_value(shown)
    row = page.get_by_role("row", name="Regatta")
    expect(row).to_contain_text("06 Mar 2026")
    expect(page.locator("summary", has_text="own.toml")).to_be_visible()
    page.get_by_role("button", name="Take away Regatta").click()
    expect(said).to_contain_text("Taken away.")
    page.locator("summary", has_text="own.toml").click()
    page.get_by_role("button", name="Leave out own.toml").click()
    expect(said).to_contain_text("Left out.")
    assert "bollard_heave" not in squad.catalogue
    expect(page.get_by_role("row", name="Regatta")).to_have_count(0)
