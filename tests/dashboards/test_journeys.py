"""What people do with the pages, done by clicking and typing as they would."""

from __future__ import annotations

import re

import polars as pl
import pytest
from playwright.sync_api import expect

from keelmark.service import Squad
from keelmark_dash.words import week_title
from tests.dashboards.browsing import Watched
from tests.dashboards.made_up import MadeUpSquad

pytestmark = pytest.mark.browser


def test_a_coach_finds_the_spike_of_the_demo_and_walks_to_its_rows(looking: Watched) -> None:
    page = looking.page
    looking.visit("/")
    page.get_by_role("textbox", name="Kind of work").click()
    page.get_by_role("option", name="Jump contacts", exact=True).click()
    page.wait_for_url("**channel=jump_contacts**")
    spike = page.locator("a.cell.well_above[aria-label^='Tove, week 23']")
    expect(spike).to_have_attribute("aria-label", re.compile(r"well above the usual range"))
    spike.click()
    expect(page.locator("h1")).to_contain_text("Tove Week 23, 1 to 7 June 2026")
    expect(page.locator(".one-number")).to_have_text(re.compile(r"^\d+ contacts$"))
    expect(page.get_by_role("heading", name="What made it").locator("..")).to_contain_text("depth jump")
    row = page.locator(".session tr", has_text="depth jump").first
    expect(row).to_contain_text("log.csv")
    expect(row).to_contain_text("own jumping")


def test_the_contributions_on_the_page_add_up_to_the_number(looking: Watched) -> None:
    page = looking.page
    looking.visit("/athlete?athlete=tove&week=2026-W23&channel=jump_contacts")
    number = int(page.locator(".one-number .figure").inner_text())
    added = page.locator("details.session td[data-label^=Adds]").all_text_contents()
    assert len(added) > 3
    together = page.locator(".together").inner_text()
    found = re.search(r"add up to (\d+) contacts\. The week is told as (\d+) contacts", together)
    assert found
    assert sum(int(text) for text in added) == int(found[1])
    # derived: between 190 and 340, so half the width is 75, and its first digit, 7, is that of the tens
    assert int(found[2]) == number == round(int(found[1]), -1)


def busiest_week(crew: Squad) -> str:
    """The week with the most notices in the demo."""
    weeks = crew.season().notices["week"].value_counts(sort=True)
    return str(weeks["week"][0])


def test_a_notice_leads_to_the_same_figure_and_rows(looking: Watched, crew: Squad) -> None:
    page = looking.page
    week = busiest_week(crew)
    looking.visit(f"/?week={week}")
    card = page.locator("article.notice").first
    who = re.search(r"(\w+)'s", card.locator("h3").inner_text())
    assert who
    card.get_by_role("link", name="Walk back to the rows").click()
    expect(page.locator("h1")).to_contain_text(who.group(1))
    expect(page.locator("h1")).to_contain_text(week_title(week))
    assert page.locator(".session").count() > 0


def test_at_most_the_budget_of_notices_is_open_and_the_rest_one_step_away(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit(f"/?week={busiest_week(crew)}")
    assert page.locator("article.notice:visible").count() <= crew.settings()["notice_budget"]
    rest = page.get_by_text(re.compile(r"Show the rest \(\d+\)"))
    if rest.count():
        hidden = int(re.findall(r"\d+", rest.inner_text())[0])
        before = page.locator("article.notice:visible").count()
        rest.click()
        expect(page.locator("article.notice:visible")).to_have_count(before + hidden)


def test_a_link_shows_somebody_else_the_same_page(looking: Watched, crew: Squad) -> None:
    page = looking.page
    looking.visit("/?week=2026-W08&channel=grip_s&group=inshore&weeks=12")
    assert page.get_by_role("textbox", name="Week", exact=True).input_value() == "Week 8, 16 to 22 February 2026"
    assert page.get_by_role("textbox", name="Kind of work").input_value() == "Grip (s)"
    assert page.get_by_role("textbox", name="Group").input_value() == "inshore"
    inshore = crew.season().athletes.filter(pl.col("group") == "inshore").height
    assert page.locator("table.strip tbody tr").count() == inshore
    assert page.locator("table.strip tbody tr").first.locator("td").count() == 12


def test_a_link_to_what_is_not_there_says_so(looking: Watched) -> None:
    looking.visit("/?week=2031-W01")
    expect(looking.page.locator(".remark")).to_contain_text("names the week “2031-W01”, which is not here")


def test_choosing_keeps_the_readers_place_and_going_back_undoes_it(looking: Watched) -> None:
    page = looking.page
    looking.visit("/")
    choice = page.get_by_role("textbox", name="Kind of work")
    choice.click()
    page.get_by_role("option", name="Grip (s)").click()
    page.wait_for_url("**/?channel=grip_s")
    expect(choice).to_be_focused()
    expect(page.locator(".strip-scroll")).to_have_attribute("aria-label", "Season strip, Grip; scrolls sideways")
    page.go_back()
    expect(choice).to_have_value("Session load (AU)")
    expect(page.locator(".strip-scroll")).to_have_attribute(
        "aria-label", "Season strip, Session load; scrolls sideways"
    )
    assert page.url == looking.home + "/"


def test_the_strip_is_walked_with_the_arrow_keys(looking: Watched) -> None:
    page = looking.page
    looking.visit("/?week=2026-W10&channel=tonnage")
    page.locator("a.cell[tabindex='0']").focus()
    focused = page.locator("a.cell:focus")
    expect(focused).to_have_attribute("aria-label", re.compile("^Aled, week 10"))
    page.keyboard.press("ArrowRight")
    expect(focused).to_have_attribute("aria-label", re.compile("^Aled, week 11"))
    page.keyboard.press("ArrowDown")
    expect(focused).to_have_attribute("aria-label", re.compile("^Bridie, week 11"))
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("Bridie Week 11")


def test_a_reader_of_the_keyboard_reaches_the_page_past_the_header(looking: Watched) -> None:
    page = looking.page
    looking.visit("/")
    page.keyboard.press("Tab")
    expect(page.locator(":focus")).to_have_text("Skip to the page")
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()


def test_night_colours_are_kept_and_the_chart_follows(looking: Watched) -> None:
    page = looking.page
    looking.visit("/athlete?athlete=tove&channel=tonnage")
    grid = page.locator("#athlete-chart .gridlayer path").first
    day = grid.get_attribute("style")
    page.get_by_role("button", name="Night and day colours").click()
    expect(page.locator("html")).to_have_attribute("data-mantine-color-scheme", "dark")
    expect(grid).not_to_have_attribute("style", day or "")
    page.reload()
    looking.settle()
    expect(page.locator("html")).to_have_attribute("data-mantine-color-scheme", "dark")


def test_a_file_is_dropped_and_looked_at_before_it_is_stored(trying: Watched, squad: MadeUpSquad) -> None:
    page = trying.page
    trying.visit("/log")
    dropped = page.evaluate_handle("""() => {
      const held = new DataTransfer();
      held.items.add(new File(["date;athlete\\n"], "spring.csv", {type: "text/csv"}));
      return held;
    }""")
    page.locator("#log-upload > div").dispatch_event("drop", {"dataTransfer": dropped})
    preview = page.locator("#log-preview")
    expect(preview).to_contain_text("What spring.csv would bring")
    expect(preview).to_contain_text("the load is heavy, not a number")
    expect(preview).to_contain_text("write the load as a number")
    assert [name for name, _ in squad.asked] == ["preview_log"]
    page.get_by_role("button", name="Store 41 good rows").click()
    expect(page.locator(".remark.done")).to_contain_text("Stored.")
    assert squad.asked[-1] == ("accept", ("token-1",))


def test_a_file_can_be_left_alone(trying: Watched, squad: MadeUpSquad) -> None:
    page = trying.page
    trying.visit("/log")
    page.set_input_files(".upload input[type=file]", files=[{"name": "a.csv", "mimeType": "text/csv", "buffer": b"a"}])
    page.get_by_role("button", name="Leave it").click()
    expect(page.locator("#log-preview")).to_contain_text("Nothing was stored")
    assert [name for name, _ in squad.asked] == ["preview_log"]


def test_a_file_that_cannot_be_used_says_why(trying: Watched) -> None:
    page = trying.page
    trying.visit("/log")
    page.set_input_files(
        ".upload input[type=file]", files=[{"name": "refuse.csv", "mimeType": "text/csv", "buffer": b"refuse"}]
    )
    expect(page.locator(".remark.refused")).to_contain_text("Nothing was stored.")
    expect(page.locator(".remark.refused")).to_contain_text("What to do: export it again.")


def test_an_import_is_taken_back_in_two_steps(trying: Watched, squad: MadeUpSquad) -> None:
    page = trying.page
    trying.visit("/log")
    page.get_by_text("Take back").first.click()
    page.get_by_role("button", name="Yes, take these rows out").click()
    expect(page.locator(".remark.done")).to_contain_text("Taken back.")
    assert squad.asked == [("undo", ("one",))]


def test_a_coach_names_a_week_from_the_keyboard(trying: Watched, squad: MadeUpSquad) -> None:
    page = trying.page
    trying.visit("/?week=2026-W20")
    page.get_by_text("Name a week in the calendar").focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Name these days").click()
    expect(page.locator(".remark.refused")).to_have_text("Choose the days and what they are first.")
    what = page.get_by_role("textbox", name="What it is")
    what.press("Enter")
    expect(page.get_by_role("option").first).to_be_visible()
    page.keyboard.press("ArrowDown")
    expect(page.locator("[role=option][data-combobox-selected]")).to_have_count(1)
    page.keyboard.press("Enter")
    expect(what).not_to_have_value("")
    page.get_by_role("button", name="Name these days").press("Enter")
    expect(page.locator(".remark.done")).to_contain_text("Monday 11 May to Sunday 17 May.")
    name, (first, last, label, group) = squad.asked[-1]
    assert (name, first.isoformat(), last.isoformat(), group) == ("set_label", "2026-05-11", "2026-05-17", None)
    assert label in ("overload", "taper", "competition")


def test_days_are_told_for_several_people_at_once(trying: Watched, squad: MadeUpSquad) -> None:
    page = trying.page
    trying.visit("/log?week=2026-W20")
    who = page.get_by_role("textbox", name="Who", exact=True)
    for name in ("Cora", "Mara"):
        who.click()
        who.fill(name)
        page.get_by_role("option", name=name).click()
    page.keyboard.press("Escape")
    last = page.get_by_role("textbox", name="Last day")
    last.fill("Wed 13 May 2026")
    last.press("Tab")
    page.get_by_role("textbox", name="What is known").click()
    page.get_by_role("option", name="away").click()
    page.get_by_role("button", name="Save these days").click()
    expect(page.locator(".remark.done")).to_have_text("Saved for 2 athletes: Monday 11 May to Wednesday 13 May, away.")
    name, (people, days, state) = squad.asked[-1]
    assert (name, people, state) == ("set_day_state", ["cora", "mara"], "away")
    assert [day.isoformat() for day in days] == ["2026-05-11", "2026-05-12", "2026-05-13"]


def test_days_are_not_told_by_halves(trying: Watched, squad: MadeUpSquad) -> None:
    trying.visit("/log")
    trying.page.get_by_role("button", name="Save these days").click()
    expect(trying.page.locator(".remark.refused")).to_contain_text("Choose who, which days, and what is known")
    assert squad.asked == []


def test_what_quiet_days_mean_is_chosen_by_the_squad(trying: Watched, squad: MadeUpSquad) -> None:
    trying.visit("/log")
    trying.page.get_by_label("It was rest").check()
    expect(trying.page.locator("#log-quiet-said")).to_contain_text("Chosen.")
    assert squad.asked == [("set_setting", ("quiet_days", "rest"))]


def test_a_coach_answers_a_notice_and_records_a_decision(trying: Watched, squad: MadeUpSquad) -> None:
    page = trying.page
    trying.visit("/")
    card = page.locator("article.notice").first
    card.get_by_role("button", name="Not useful").click()
    expect(card.get_by_text("Noted as not useful.")).to_be_visible()
    card.get_by_text("Record a decision").click()
    card.get_by_role("button", name="Record the decision").click()
    expect(card.locator(".remark")).to_have_text("Choose what is decided first.")
    card.get_by_role("textbox", name="What is decided").click()
    page.get_by_role("option", name="Leave as planned").click()
    card.get_by_label("Who sees to it").fill("Dilys")
    card.get_by_label("What the athlete says").fill("Feels fresh")
    review = card.get_by_label("Looked at again on")
    review.fill("15 Jun 2026")
    review.press("Tab")
    card.get_by_role("button", name="Record the decision").click()
    expect(card.locator(".remark")).to_contain_text(
        "Recorded: Leave as planned. It is looked at again on Monday 15 June."
    )
    notice, said = squad.asked[-1][1]
    assert notice == "mara|2026-W23|jump_contacts"
    assert (said["option"], said["owner"], said["athlete_view"]) == ("Leave as planned", "Dilys", "Feels fresh")
    page.reload()
    trying.settle()
    expect(page.locator("article.notice").first).to_contain_text("Decided: Leave as planned")


def test_a_new_squad_is_led_to_its_first_import(trying: Watched, squad: MadeUpSquad) -> None:
    squad.now = squad.now.without_records()
    trying.visit("/")
    expect(trying.page.locator("h1")).to_have_text("First steps")
    trying.page.get_by_role("link", name="Open the Log page").click()
    expect(trying.page.locator("h1")).to_have_text("The log")


def test_the_catalogue_is_searched_from_the_keyboard(looking: Watched) -> None:
    page = looking.page
    looking.visit("/methods")
    looking.opened()
    page.get_by_role("textbox", name="Movement Filter Input").fill("box jump")
    cell = page.locator(".ag-row [col-id=movement]").first
    expect(cell).to_have_text(re.compile("box jump"))


@pytest.mark.filterwarnings("default")
def test_a_fault_inside_is_told_on_the_page(trying: Watched, squad: MadeUpSquad) -> None:
    trying.visit("/care")

    def fails() -> None:
        message = "the mast came down"
        raise ValueError(message)

    squad.season = fails  # type: ignore[method-assign,assignment]
    trying.page.get_by_role("link", name="Squad").click()
    expect(trying.page.locator(".remark.refused")).to_contain_text("something went wrong inside keelmark")
