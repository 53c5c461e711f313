"""Colours that meet as text or line keep their contrast, day and night."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import pytest

import keelmark_dash
from keelmark.contracts.frames import PLACES
from keelmark_dash.parts.hull import PLACE_SIGNS
from keelmark_dash.theme import MARKS_TOGETHER, PAIRS, PALETTES, Scheme, chart_template, contrast, css_variables
from tests.dashboards.colour_vision import VISIONS, difference, lab, seen

ASSETS = Path(keelmark_dash.__file__).parent / "assets"


@pytest.mark.parametrize(
    ("colour", "ground", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),  # WCAG 2.2, definition of contrast ratio: black on white is 21 : 1
        ("#ffffff", "#ffffff", 1.0),
        ("#767676", "#ffffff", 4.54),  # the lightest grey that WCAG 2.2 level AA lets stand on white; from memory
    ],
)
def test_contrast_is_that_of_the_published_definition(colour: str, ground: str, ratio: float) -> None:
    assert contrast(colour, ground) == pytest.approx(ratio, abs=0.005)
    assert contrast(ground, colour) == contrast(colour, ground)


@pytest.mark.parametrize("scheme", PALETTES)
@pytest.mark.parametrize(("colour", "ground", "wanted"), PAIRS)
def test_colours_keep_their_contrast(scheme: Scheme, colour: str, ground: str, wanted: float) -> None:
    palette = PALETTES[scheme]
    assert contrast(palette[colour], palette[ground]) >= wanted


# Sharma, Wu and Dalal (2005), table 1, rows 1, 7, 17, 20 and 25: two colours in L*a*b* and their difference
@pytest.mark.parametrize(
    ("one", "other", "wanted"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 0, 0), (50, -1, 2), 2.3669),
        ((50, 2.5, 0), (73, 25, -18), 27.1492),
        ((50, 2.5, 0), (50, 3.1736, 0.5854), 1.0),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ],
)
def test_the_difference_of_colours_is_the_published_one(
    one: tuple[float, float, float], other: tuple[float, float, float], wanted: float
) -> None:
    assert difference(one, other) == pytest.approx(wanted, abs=5e-5)
    assert difference(other, one) == pytest.approx(wanted, abs=5e-5)


def test_eyes_without_one_kind_of_cone_keep_greys_and_lose_what_they_are_known_to_lose() -> None:
    for vision in VISIONS:
        # derived: the rows of each matrix add up to 1, so that a grey stays what it is
        assert seen("#808080", vision) == pytest.approx(seen("#808080", "all three cones"), abs=2e-6)
    apart = {vision: difference(*(lab(seen(one, vision)) for one in ("#c0392b", "#4f8a10"))) for vision in VISIONS}
    # common knowledge, no source: without the cones for middle waves red and green are mistaken
    assert apart["deuteranopia"] < apart["all three cones"] / 2
    assert apart["tritanopia"] > apart["all three cones"] / 2


LEAST_APART = 10.0
"""Common practice, no source: ten times the least difference that can be told side by side."""


@pytest.mark.parametrize("vision", VISIONS)
@pytest.mark.parametrize("scheme", PALETTES)
def test_marks_of_one_drawing_differ_to_every_eye(scheme: Scheme, vision: str) -> None:
    palette = PALETTES[scheme]
    for one, other in (pair for marks in MARKS_TOGETHER for pair in combinations(marks, 2)):
        apart = difference(*(lab(seen(palette[name], vision)) for name in (one, other)))
        assert apart >= LEAST_APART, f"{one} and {other}: {apart:.1f}"


def test_night_changes_colours_and_nothing_else() -> None:
    """So that what holds by day of order, size and names holds by night."""
    for sheet in ASSETS.glob("*.css"):
        assert not re.search(r"color-scheme|prefers-color", sheet.read_text(encoding="utf-8")), sheet.name


def test_both_palettes_name_the_same_colours() -> None:
    assert PALETTES["light"].keys() == PALETTES["dark"].keys()
    for colour in PALETTES["light"]:
        assert css_variables().count(f"--{colour}:") == 2


def test_every_place_has_a_sign_of_its_own() -> None:
    assert set(PLACE_SIGNS) == set(PLACES)
    assert len(set(PLACE_SIGNS.values())) == len(PLACES)


@pytest.mark.parametrize("scheme", PALETTES)
def test_charts_take_their_colours_from_the_palette(scheme: Scheme) -> None:
    assert chart_template(scheme).layout.font.color == PALETTES[scheme]["ink"]
