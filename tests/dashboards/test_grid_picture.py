"""A drawing that is taken away stands alone: one sound document, all its colours in it, nothing from elsewhere."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from keelmark.service import Squad
from keelmark_dash.app import PAGES
from keelmark_dash.desk import Desk
from keelmark_dash.figures.grid_picture import GridPicture
from keelmark_dash.routing import visit
from keelmark_dash.theme import PALETTES, Scheme
from tests.dashboards.made_up import MadeUpSquad

SVG = "{http://www.w3.org/2000/svg}"
DOT = '<svg viewBox="0 0 4 4"><circle class="water" r="2"/></svg>'


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_names_and_heads_are_words_and_cells_stand_in_their_places(scheme: Scheme) -> None:
    made = GridPicture("Rope & <tackle>", "A note", ["9", "10"], [("Ada", [DOT, ""]), ("Bram <b>", [DOT, DOT])])
    document = ElementTree.fromstring(made.svg(scheme))
    said = ["".join(one.itertext()) for one in document.iter(f"{SVG}text")]
    assert said == ["Rope & <tackle>", "9", "10", "Ada", "Bram <b>", "A note"]
    places = [
        (float(one.get("x", 0)), float(one.get("y", 0))) for one in document.iter(f"{SVG}svg") if one is not document
    ]
    assert len(places) == 3
    assert places[0][0] == places[1][0] < places[2][0]
    assert places[0][1] < places[1][1] == places[2][1]
    assert PALETTES[scheme]["sea"] in made.svg(scheme)


def test_the_season_is_the_one_that_the_page_shows() -> None:
    page = next(page for page in PAGES if page.path == "/")
    assert page.pictures is not None
    here, _ = visit(Desk(MadeUpSquad()), "?channel=jump_contacts&weeks=12&group=Early watch")
    drawn = page.pictures(here, "season").svg()
    document = ElementTree.fromstring(drawn)
    said = ["".join(one.itertext()) for one in document.iter(f"{SVG}text")]
    assert said[0].startswith("Jump contacts in contact")
    assert {"Bram", "Dilys"} <= set(said)
    assert "Ada" not in said
    assert len(list(document.iter(f"{SVG}svg"))) > 12 * 10
    outside = re.findall(r"url\((?!#)|href=|src=|https?:", drawn.replace(SVG.strip("{}"), ""))
    assert outside == []
    assert "var(--" not in drawn


def test_complaints_can_be_taken_away_as_they_stand_on_the_page(crew: Squad) -> None:
    page = next(page for page in PAGES if page.path == "/check-ins")
    assert page.pictures is not None
    told = crew.check_ins().drop_nulls("area").row(-1, named=True)
    here, _ = visit(Desk(crew), f"?athlete={told['athlete_id']}&week={told['week']}&channel=jump_contacts")
    document = ElementTree.fromstring(page.pictures(here, "said").svg())
    said = ["".join(one.itertext()) for one in document.iter(f"{SVG}text")]
    assert {"Jump contacts", "Answer"} <= set(said)
    assert list(document.iter(f"{SVG}circle"))
    assert said[-1].startswith("A disc grows")
