"""Papers, hand-overs, take-aways and people's own data, by clicking and typing as people would."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from playwright.sync_api import Browser, Download, Page, expect

from keelmark.service import Squad
from tests.dashboards.browsing import Watched, served, watch
from tests.dashboards.standing import stands_up

pytestmark = pytest.mark.browser
TOVE = "athlete=tove&week=2026-W23"


@pytest.fixture(scope="module")
def own_crew(demo_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """A crew of this file's own, because somebody is erased here."""
    place = shutil.copy(demo_file, tmp_path_factory.mktemp("papers") / "demo.sqlite")
    with Squad.open(f"sqlite:///{place}") as opened:
        yield opened


@pytest.fixture(scope="module")
def own_home(own_crew: Squad) -> Iterator[str]:
    with served(own_crew) as address:
        yield address


@pytest.fixture
def reading(chromium: Browser, own_home: str) -> Iterator[Watched]:
    context = chromium.new_context(viewport={"width": 1440, "height": 1000}, accept_downloads=True)
    watched = watch(context.new_page(), own_home)
    yield watched
    context.close()
    assert watched.outside == []
    assert watched.complaints == []


def pressed(page: Page, name: str, part: str = "main") -> bytes:
    """What comes when a button is pressed."""
    with page.expect_download() as caught:
        page.locator(part).get_by_role("button", name=name).click()
    return content(caught.value)


def content(download: Download) -> bytes:
    return Path(download.path()).read_bytes()


def filled_in(page: Page) -> None:
    page.get_by_label("Who may see it").fill("Maren, physiotherapist")
    for words in ("Twelve weeks of training", "How much of it", "What was told about the body"):
        page.get_by_label(words).check()
    page.get_by_label("What you ask").fill("Is jumping all right?")


def test_a_hand_over_from_consent_to_agreed_limits(reading: Watched, own_crew: Squad) -> None:
    page = reading.page
    reading.visit(f"/hand-over?{TOVE}")
    page.get_by_role("button", name="Look at the page").click()
    expect(page.locator(".remark.refused")).to_contain_text("A name is missing")
    expect(page.locator(".remark.refused")).to_contain_text("What to do: write both names")
    filled_in(page)
    page.get_by_role("button", name="Look at the page").click()
    expect(page.locator(".paper")).to_contain_text("Is jumping all right?")
    assert own_crew.consents("tove").is_empty(), "looking at it is no consent"

    pdf = pressed(page, "save as PDF")
    found = pypdf.PdfReader(io.BytesIO(pdf))
    assert len(found.pages) == 1
    text = " ".join(found.pages[0].extract_text().split())
    for words in (
        "Tove: training from 16 March 2026 to 7 June 2026",
        "Maren, physiotherapist may see",
        "Jump contacts",
    ):
        assert words in text
    assert "What changed most" not in text, "that was not ticked"
    html = pressed(page, "save as HTML").decode()
    assert "Is jumping all right?" in html
    printed = page.context.new_page()
    printed.set_content(html)
    assert len(pypdf.PdfReader(io.BytesIO(printed.pdf(prefer_css_page_size=True))).pages) == 1
    printed.close()
    (consent,) = own_crew.consents("tove").rows(named=True)
    assert consent["fields"] == ["load", "coverage", "complaints"]

    page.get_by_label("Training with limits").check()
    page.get_by_label("Who wrote it").fill("Maren")
    page.get_by_label("Limited how").fill("no drop jumps")
    page.get_by_role("textbox", name="Kind of work 1").click()
    page.get_by_role("option", name="Jump contacts (contact)", exact=True).click()
    page.get_by_label("At most a week 1").fill("60")
    page.get_by_role("button", name="Keep the slip").click()
    expect(page.locator(".remark.done")).to_contain_text("The slip is kept.")
    expect(page.get_by_role("heading", name="Limits that stand").locator("..")).to_contain_text("no drop jumps (Maren)")
    agreed = own_crew.ahead.limits("tove").row(0, named=True)
    assert (agreed["channel"], agreed["most"], agreed["agreed_with"]) == ("jump_contacts", 60.0, "return slip, Maren")

    page.get_by_role("button", name="Take back what was agreed").click()
    expect(page.locator(".remark.done")).to_contain_text("Taken back.")
    assert own_crew.consents("tove")["withdrawn_at"].null_count() == 0


def test_a_slip_that_does_not_fit_together_is_refused(reading: Watched, own_crew: Squad) -> None:
    page = reading.page
    before = own_crew.standing_limits("aled")
    reading.visit("/hand-over?athlete=aled")
    page.get_by_label("Training with limits").check()
    page.get_by_label("Who wrote it").fill("Maren")
    page.get_by_role("button", name="Keep the slip").click()
    expect(page.locator(".remark.refused")).to_contain_text("No limit is written")
    assert own_crew.standing_limits("aled") == before


def test_the_weeks_papers_are_read_and_saved(reading: Watched) -> None:
    page = reading.page
    reading.visit("/?week=2026-W12")
    page.get_by_role("link", name="The week on one page").click()
    expect(page.locator(".paper h2")).to_have_text("The squad, week 12: 16 to 22 March 2026")
    squad = pypdf.PdfReader(io.BytesIO(pressed(page, "Save as PDF")))
    assert len(squad.pages) == 1
    page.get_by_role("link", name="The paper for").click()
    expect(page.locator(".paper h2")).to_contain_text(", week 12:")
    assert "<h1>" in pressed(page, "Save as HTML").decode()


@pytest.mark.parametrize(
    ("path", "name", "column", "rows"),
    [
        (f"/athlete?{TOVE}&channel=jump_contacts", "tove-jump_contacts", "value", 40),
        (f"/check-ins?{TOVE}", "tove-check-ins", "severity", 20),
    ],
)
def test_a_table_is_taken_away_with_what_its_columns_mean(
    reading: Watched, path: str, name: str, column: str, rows: int
) -> None:
    page = reading.page
    reading.visit(path)
    part = page.locator("details.take-away").first
    part.locator("summary").click()
    with page.expect_download() as caught:
        part.get_by_role("button", name="Table (CSV)").click()
    assert caught.value.suggested_filename == f"{name}.csv"
    told = list(csv.DictReader(io.StringIO(content(caught.value).decode("utf-8-sig"), newline="")))
    assert len(told) >= rows
    with page.expect_download() as caught:
        part.get_by_role("button", name="What its columns mean").click()
    fields = json.loads(content(caught.value))["fields"]
    assert [field["name"] for field in fields] == list(told[0])
    assert next(field for field in fields if field["name"] == column)["type"] == "number"


def test_the_squads_coverage_and_season_are_taken_away(reading: Watched) -> None:
    page = reading.page
    reading.visit("/?week=2026-W12&weeks=12&group=inshore&channel=tonnage")
    found = {}
    for part in page.locator("details.take-away").all():
        part.locator("summary").click()
        with page.expect_download() as caught:
            part.get_by_role("button", name="Table (CSV)").click()
        text = content(caught.value).decode("utf-8-sig")
        found[caught.value.suggested_filename] = list(csv.DictReader(io.StringIO(text, newline="")))
    assert set(found) == {"coverage-2026-W12.csv", "season-tonnage.csv"}
    assert {row["channel"] for row in found["season-tonnage.csv"]} == {"tonnage"}
    assert len({row["week"] for row in found["season-tonnage.csv"]}) == 12
    assert "Fenna" in {row["name"] for row in found["coverage-2026-W12.csv"]}
    assert "Aled" not in {row["name"] for row in found["coverage-2026-W12.csv"]}, "another group"


@pytest.mark.parametrize(
    ("path", "part", "columns", "holds"),
    [
        (
            f"/athlete?{TOVE}&channel=jump_contacts",
            "section:has(#athlete-rows-title)",
            "athlete_id,date,session_id,movement",
            "depth_jump",
        ),
        (f"/?{TOVE}", "section:has(#squad-notices-title)", "notice_id,", "tove"),
        ("/methods", "section:has(#methods-channels-title)", "key,label,unit", "jump_contacts"),
        ("/methods", "section:has(#methods-catalogue-title)", "movement,field,value", "deadlift"),
        ("/settings", "section:has(#settings-changes-title)", "created_at,who,key", "key"),
    ],
)
def test_what_else_a_page_shows_is_taken_away(reading: Watched, path: str, part: str, columns: str, holds: str) -> None:
    reading.visit(path)
    where = reading.page.locator(part)
    where.locator("details.take-away").last.locator("summary").click()
    table = pressed(reading.page, "Table (CSV)", part).decode()
    assert table.removeprefix("\ufeff").startswith(columns)
    assert holds in table
    schema = json.loads(pressed(reading.page, "What its columns mean (JSON)", part))
    assert [field["name"] for field in schema["fields"]] == table.removeprefix("\ufeff").splitlines()[0].split(",")


def test_imports_and_a_planned_week_are_taken_away(reading: Watched) -> None:
    page = reading.page
    reading.visit("/log?show=1")
    names = []
    for part in page.locator("details.take-away").all():
        part.locator("summary").click()
        with page.expect_download() as caught:
            part.get_by_role("button", name="Table (CSV)").click()
        names.append(caught.value.suggested_filename)
    assert sorted(names) == ["imports.csv", "rows-of-import-1.csv"]
    reading.visit("/programme")
    page.get_by_role("button", name="Put in an example").click()
    page.locator("#programme-matrix-title").locator("..").locator("table").first.wait_for()
    for place, begins in enumerate(("session,day,channel", "athlete_id,name,channel")):
        part = page.locator("details.take-away").nth(place)
        part.locator("summary").click()
        with page.expect_download() as caught:
            part.get_by_role("button", name="Table (CSV)").click()
        assert content(caught.value).decode("utf-8-sig").startswith(begins)


@pytest.mark.parametrize(("kind", "begins"), [("PNG", b"\x89PNG"), ("SVG", b"<svg")])
def test_a_chart_is_taken_away_as_a_picture_without_any_other_host(reading: Watched, kind: str, begins: bytes) -> None:
    page = reading.page
    reading.visit(f"/athlete?{TOVE}&channel=jump_contacts")
    page.locator("#athlete-chart .main-svg").first.wait_for()
    part = page.locator("details.take-away").first
    part.locator("summary").click()
    with page.expect_download() as caught:
        part.get_by_role("button", name=f"Picture ({kind})").click()
    assert content(caught.value).startswith(begins)
    expect(part.get_by_role("status")).to_have_text("The picture is in your downloads.")


def test_words_to_send_are_copied_one_by_one(reading: Watched) -> None:
    page = reading.page
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    reading.visit("/?week=2026-W12")
    page.get_by_text("Words to send (2)").click()
    page.get_by_role("button", name="Copy the message to Fenna").click()
    expect(page.locator(".messages li", has_text="Fenna").get_by_role("status")).to_have_text("Copied.")
    said = page.evaluate("navigator.clipboard.readText()")
    assert said.startswith("Hi Fenna, one day of the week of 16 March is still open")


def test_somebody_takes_everything_away_and_is_erased_with_a_proof(reading: Watched, own_crew: Squad) -> None:
    page = reading.page
    reading.visit("/athlete?athlete=wren&week=2026-W20&channel=tonnage")
    with zipfile.ZipFile(io.BytesIO(pressed(page, "Take everything away"))) as archive:
        package = json.loads(archive.read("datapackage.json"))
        assert {resource["name"] for resource in package["resources"]} >= {"efforts", "check_ins", "looks", "consents"}
        assert b"Tove" not in b"".join(archive.read(name) for name in archive.namelist())
    page.get_by_text("Erase", exact=True).click()
    page.get_by_role("button", name="Erase everything of Wren").click()
    expect(page.locator(".remark.refused")).to_contain_text("No name was typed")
    page.get_by_label("Type “Wren” to erase").fill("Wren")
    page.get_by_role("button", name="Erase everything of Wren").click()
    told = page.locator(".remark.done")
    expect(told).to_contain_text("nothing of this person is left", timeout=30_000)
    expect(told).to_contain_text(re.compile(r"Removed: .*\d+ rows of work"))
    assert "wren" not in own_crew.season().athletes["athlete_id"]
    told.get_by_role("link", name="Go on").click()
    expect(page.locator("h1")).to_contain_text("The squad")
    expect(page.get_by_text("Wren")).to_have_count(0)


@pytest.mark.parametrize("path", [f"/hand-over?{TOVE}", f"/brief?{TOVE}", "/brief?week=2026-W12&show=squad"])
def test_the_pages_have_no_violation_by_day_or_night_wide_or_narrow(reading: Watched, path: str) -> None:
    reading.visit(path)
    if "hand-over" in path:
        filled_in(reading.page)
        reading.page.get_by_role("button", name="Look at the page").click()
        reading.page.locator(".paper").wait_for()
    stands_up(reading.page)
