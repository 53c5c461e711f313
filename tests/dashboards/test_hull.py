"""The hull gauge: what it draws for an amount, a mark, and a week that is not known."""

from __future__ import annotations

import re

import pytest

from keelmark_dash.parts.hull import PLACE_SIGNS, definitions, gauge
from keelmark_dash.readings import Gauge

RIM, KEEL = 13.0, 35.6


def bands(drawing: str) -> dict[str, tuple[float, float]]:
    """Top and bottom of each filled band of a gauge."""
    found = re.findall(r'<rect class="(\w+)"[^>]* y="([\d.]+)" width="28" height="([\d.]+)"', drawing)
    return {kind: (float(top), round(float(top) + float(height), 2)) for kind, top, height in found}


def test_half_of_the_fullest_week_fills_half_of_the_hull() -> None:
    drawn = bands(gauge(Gauge(50, 20, 80, "within", rim=100)))
    assert drawn == {"water": (pytest.approx((RIM + KEEL) / 2), KEEL)}  # derived: half way from rim to keel


def test_the_part_above_the_upper_mark_stands_apart() -> None:
    drawn = bands(gauge(Gauge(100, 20, 60, "above", rim=100)))
    mark = KEEL - 0.6 * (KEEL - RIM)
    assert drawn["over"] == (RIM, pytest.approx(mark, abs=0.01))
    assert drawn["water"] == (pytest.approx(mark, abs=0.01), KEEL)


def test_a_week_below_its_mark_is_filled_as_such() -> None:
    assert set(bands(gauge(Gauge(10, 20, 60, "below", rim=100)))) == {"under"}


def test_a_week_nobody_knows_is_hatched_whole_and_never_empty() -> None:
    drawn = gauge(Gauge(None, 20, 60, "not_known", rim=100, known_days=0))
    assert bands(drawn) == {"unknown": (RIM, KEEL)}
    assert 'class="tick"' not in drawn


def test_zero_is_an_empty_hull_without_hatching() -> None:
    assert bands(gauge(Gauge(0, 0, 60, "within", rim=100))) == {}


def test_days_without_a_record_hatch_what_may_lie_above() -> None:
    drawn = bands(gauge(Gauge(50, 20, 80, "within", rim=100, known_days=5)))
    assert drawn["unknown"] == (RIM, drawn["water"][0])


def test_two_ticks_stand_at_the_marks() -> None:
    drawn = gauge(Gauge(50, 25, 75, "within", rim=100))
    heights = [float(height) for height in re.findall(r'class="tick" d="M0.5 ([\d.]+)H', drawn)]
    assert heights == [pytest.approx(KEEL - share * (KEEL - RIM)) for share in (0.25, 0.75)]


def test_an_amount_beyond_the_rim_stays_inside_the_hull() -> None:
    assert bands(gauge(Gauge(500, 20, 80, "within", rim=100)))["water"] == (RIM, KEEL)


def test_a_squad_that_did_nothing_of_it_draws_empty_hulls() -> None:
    assert bands(gauge(Gauge(0, None, None, "not_known", rim=0))) == {}


@pytest.mark.parametrize("place", PLACE_SIGNS)
def test_each_place_is_drawn_with_its_own_sign(place: str) -> None:
    drawn = gauge(Gauge(50, 20, 80, place, rim=100))
    assert f'<path class="sign {place}" d="{PLACE_SIGNS[place]}"/>' in drawn
    assert f'<symbol id="sign-{place}"' in definitions()
