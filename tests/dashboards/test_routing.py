"""From an address to a page, without a browser."""

from __future__ import annotations

import gzip
from dataclasses import asdict

import pytest

from keelmark.service import Squad
from keelmark_dash.app import PAGES, create_app
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page
from keelmark_dash.routing import arrive, changed_regions, visit
from tests.dashboards.made_up import MadeUpSquad


def page(path: str) -> Page:
    return next(page for page in PAGES if page.path == path)


def regions(squad: MadeUpSquad, path: str, before: str, after: str) -> set[str]:
    """Names of the regions that are built anew between two addresses of a page."""
    shown = asdict(visit(Desk(squad), before)[0].address)
    return set(changed_regions(page(path), visit(Desk(squad), after)[0], shown))


@pytest.mark.parametrize("path", [page.path for page in PAGES])
def test_every_page_has_one_first_heading(crew: Squad, path: str) -> None:
    here, remarks = visit(Desk(crew), "")
    arrival = arrive(PAGES, path, here, remarks)
    text = str(arrival.content)
    assert text.count("H1(") == 1
    assert arrival.title == page(path).title


def test_another_kind_of_work_leaves_the_week_and_its_forms_alone(squad: MadeUpSquad) -> None:
    assert regions(squad, "/", "?week=2026-W10", "?week=2026-W10&channel=grip_s") == {"squad-season"}


def test_another_week_builds_everything_that_shows_it(squad: MadeUpSquad) -> None:
    assert regions(squad, "/", "?week=2026-W10", "?week=2026-W11") == {"squad-title", "squad-week", "squad-season"}
    assert regions(squad, "/athlete", "?week=2026-W10", "?week=2026-W11") == {"athlete-title", "athlete-body"}


def test_the_same_address_builds_nothing(squad: MadeUpSquad) -> None:
    assert regions(squad, "/", "?week=2026-W10", "?week=2026-W10") == set()


def test_a_path_that_leads_nowhere_says_so(squad: MadeUpSquad) -> None:
    arrival = arrive(PAGES, "/harbour", *visit(Desk(squad), ""))
    assert arrival.title == "Not here"
    assert "There is no page at /harbour" in str(arrival.content)


def test_a_squad_without_records_is_led_to_its_first_import(squad: MadeUpSquad) -> None:
    squad.now = squad.now.without_records()
    here, remarks = visit(Desk(squad), "")
    assert remarks == []
    assert arrive(PAGES, "/", here, remarks).title == "First steps"
    assert arrive(PAGES, "/athlete", here, remarks).title == "First steps"
    assert arrive(PAGES, "/log", here, remarks).title == "Log"
    assert arrive(PAGES, "/methods", here, remarks).title == "Methods"


def test_two_apps_can_stand_beside_each_other() -> None:
    first, second = create_app(MadeUpSquad()), create_app(MadeUpSquad())
    assert first is not second
    assert first.callback_map.keys() == second.callback_map.keys()


def test_the_document_asks_for_nothing_from_elsewhere(squad: MadeUpSquad) -> None:
    answer = create_app(squad).server.test_client().get("/")
    text = answer.get_data(as_text=True)
    assert answer.status_code == 200
    assert '<html lang="en">' in text
    assert "http://" not in text
    assert "https://" not in text


def test_answers_are_compressed(squad: MadeUpSquad) -> None:
    client = create_app(squad).server.test_client()
    answer = client.get("/_dash-layout", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["Content-Encoding"] == "gzip"


def test_libraries_are_kept_by_the_browser_and_answers_are_not(squad: MadeUpSquad) -> None:
    client = create_app(squad).server.test_client()
    library = client.get("/_dash-component-suites/plotly/package_data/plotly.min.js")
    assert library.headers["Cache-Control"] == "max-age=86400"
    assert client.get("/assets/page.css?m=1").headers["Cache-Control"] == "max-age=31536000"
    assert "max-age" not in client.get("/_dash-layout").headers.get("Cache-Control", "")


def test_only_libraries_are_compressed_once_for_all() -> None:
    squad = MadeUpSquad()
    client = create_app(squad).server.test_client()
    accept = {"Accept-Encoding": "gzip"}
    question = {
        "output": "..shell-page.children...shell-said.children...shell-menu.children...shell-shown.data..",
        "outputs": [{"id": f"shell-{name}", "property": "children"} for name in ("page", "said", "menu")]
        + [{"id": "shell-shown", "property": "data"}],
        "inputs": [
            {"id": "shell-address", "property": "pathname", "value": "/care"},
            {"id": "shell-address", "property": "search", "value": ""},
            {"id": "shell-written", "property": "data", "value": None},
        ],
        "state": [{"id": "shell-shown", "property": "data", "value": None}],
        "changedPropIds": ["shell-address.pathname"],
    }
    care = client.post("/_dash-update-component", json=question, headers=accept)
    question["inputs"][0]["value"] = "/log"  # type: ignore[index]
    log = client.post("/_dash-update-component", json=question, headers=accept)
    assert care.status_code == log.status_code == 200
    assert gzip.decompress(care.data) != gzip.decompress(log.data)
    assert b"Care cards" in gzip.decompress(care.data)
