"""Colours that meet as text or line keep their contrast, day and night."""

from __future__ import annotations

import pytest

from keelmark.contracts.frames import PLACES
from keelmark_dash.parts.hull import PLACE_SIGNS
from keelmark_dash.theme import PAIRS, PALETTES, Scheme, chart_template, contrast, css_variables


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
