"""The chart of one athlete's weeks, without a server."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import plotly.graph_objects as go
import polars as pl
import pytest

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark_dash.figures.weeks import weeks_chart
from keelmark_dash.theme import PALETTES, Scheme

CONTACTS = CHANNEL_BY_KEY["jump_contacts"]
FIRST = date(2026, 1, 5)


def weeks(*rows: tuple[float | None, float | None, str]) -> pl.DataFrame:
    """Weeks as value, upper mark and place; low is the value less 10, high the value and 20."""
    return pl.DataFrame([
        {"week": f"2026-W{place + 2:02d}", "monday": FIRST + timedelta(weeks=place), "value": value,
         "on_record": value,
         "low": None if value is None else value - 10, "high": None if value is None else value + 20,
         "lower": None if upper is None else upper / 2, "upper": upper, "place": where}
        for place, (value, upper, where) in enumerate(rows)
    ], schema_overrides=dict.fromkeys(("value", "on_record", "low", "high", "lower", "upper"), pl.Float64))  # fmt: skip


SHOWN = weeks((100.0, None, "not_known"), (None, 150.0, "not_known"), (300.0, 160.0, "above"))


def named(figure: go.Figure, name: str) -> Any:
    return next(trace for trace in figure.data if trace.name == name)


def test_bars_are_the_known_weeks_and_no_unknown_week_becomes_zero() -> None:
    bars = named(weeks_chart(SHOWN, CONTACTS, "2026-W04", scheme="light"), "Jump contacts")
    assert list(bars.y) == [100.0, 300.0]
    assert list(bars.customdata) == ["2026-W02", "2026-W04"]


def test_a_week_without_a_figure_is_grey_as_high_as_what_is_on_record() -> None:
    withheld = pl.lit(None, pl.Float64)
    known = SHOWN.with_columns(value=pl.when(pl.col("week") == "2026-W02").then(withheld).otherwise("value"))
    bars = named(weeks_chart(known, CONTACTS, "2026-W04", scheme="light"), "Jump contacts")
    assert list(bars.y) == [100.0, 300.0]
    grey, blue = bars.marker.color
    assert grey != blue
    assert bars.hovertext[0].split("<br>")[1] == "100 or more contacts"
    assert "no figure is given" in bars.hovertext[0]


def test_an_unknown_week_is_a_ring_with_words() -> None:
    ring = named(weeks_chart(SHOWN, CONTACTS, "2026-W04", scheme="light"), "not known")
    assert list(ring.hovertext) == ["Week 3<br>not known: no day has a record"]
    assert ring.marker.symbol == "circle-open"


def test_thin_lines_reach_from_the_lower_to_the_upper_bound() -> None:
    bars = named(weeks_chart(SHOWN, CONTACTS, "2026-W04", scheme="light"), "Jump contacts")
    assert list(bars.error_y.array) == [20.0, 20.0]
    assert list(bars.error_y.arrayminus) == [10.0, 10.0]


def test_the_band_lies_between_the_marks_and_starts_with_the_first_mark() -> None:
    figure = weeks_chart(SHOWN, CONTACTS, "2026-W04", scheme="light")
    assert list(named(figure, "lower mark").y) == [75.0, 75.0, 80.0, 80.0]
    assert list(named(figure, "upper mark").y) == [150.0, 150.0, 160.0, 160.0]
    assert named(figure, "upper mark").x[0] == FIRST + timedelta(weeks=1)


def test_a_departure_has_a_sign_of_its_own_above_its_interval() -> None:
    signs = named(weeks_chart(SHOWN, CONTACTS, "2026-W04", scheme="light"), "place")
    assert list(signs.marker.symbol) == ["triangle-up"]
    assert signs.y[0] > 320


def test_hovering_says_what_the_table_says() -> None:
    bars = named(weeks_chart(SHOWN, CONTACTS, "2026-W04", scheme="light"), "Jump contacts")
    assert bars.hovertext[1] == (
        "Week 4, 19 to 25 January 2026<br>300 contacts<br>above the usual range (80 to 160)<br>"
        "between 290 and 320 contacts"
    )


@pytest.mark.parametrize("scheme", PALETTES)
def test_colours_follow_day_and_night(scheme: Scheme) -> None:
    figure = weeks_chart(SHOWN, CONTACTS, "2026-W04", scheme=scheme)
    assert set(named(figure, "Jump contacts").marker.color) == {PALETTES[scheme]["sea"]}


def test_a_chart_of_nothing_is_empty_and_stands() -> None:
    figure = weeks_chart(SHOWN.clear(), CONTACTS, "", scheme="light")
    assert [len(trace.x) for trace in figure.data] == [0, 0, 0, 0, 0]
