"""Loads, heights, distances, durations, reps and ratings.

Conversions are exact by definition: 1 lb = 0.45359237 kg, 1 in = 2.54 cm, 1 mile = 1609.344 m (international yard and
pound agreement of 1959).
"""

from __future__ import annotations

import datetime as dt

import pytest

from keelmark.ingest.values.counts import parse_rating, parse_reps, parse_volume
from keelmark.ingest.values.loads import parse_load
from keelmark.ingest.values.measures import TO_CM, TO_M, parse_amount, parse_duration


@pytest.mark.parametrize(
    ("cell", "kg"),
    [
        (42.5, 42.5),
        (0, 0.0),
        ("42.5", 42.5),
        ("42,5", 42.5),
        ("42,5 kg", 42.5),
        ("42.5kg", 42.5),
        ("2x16", 32.0),
        ("2 x 16 kg", 32.0),
        ("2×22,5", 45.0),
        ("2*10", 20.0),
        ("1x24", 24.0),
        ("BW+10", 10.0),
        ("bw + 12,5 kg", 12.5),
        ("Körpergewicht + 5", 5.0),
        ("-20", -20.0),
        ("BW-15", -15.0),
    ],
)
def test_loads_in_kilograms(cell: object, kg: float) -> None:
    read = parse_load(cell, "kg", None)  # type: ignore[arg-type]
    assert read.value is not None
    assert (read.value.kg, read.reasons) == (kg, ())


@pytest.mark.parametrize(
    "cell",
    ["BW", "bw", "Bodyweight", "body weight", "Eigengewicht", "peso corporal", "poids de corps", "PDC", "sem carga"],
)
def test_body_weight_carries_nothing(cell: str) -> None:
    read = parse_load(cell, "kg", None)
    assert read.value is not None
    assert (read.value.kg, read.value.of_body_mass, read.reasons) == (None, None, ())


@pytest.mark.parametrize(
    ("cell", "pounds"),
    [("95 lb", 95), ("185 LB", 185), ("155#", 155), ("95lbs", 95), ("2x35 lb", 70), ("135 pounds", 135)],
)
def test_pounds_in_a_column_of_kilograms_are_converted_but_not_taken(cell: str, pounds: float) -> None:
    read = parse_load(cell, "kg", None)
    assert read.value is not None
    assert read.value.kg == pytest.approx(pounds * 0.45359237)
    assert read.reasons == ("lb_in_kg_column",)


def test_pounds_where_pounds_belong() -> None:
    assert parse_load("95", "lb", None).value.kg == pytest.approx(95 * 0.45359237)  # type: ignore[union-attr]
    assert parse_load("95 lb", None, None).value.kg == pytest.approx(95 * 0.45359237)  # type: ignore[union-attr]
    assert parse_load("40 kg", "lb", None).reasons == ("kg_in_lb_column",)
    assert parse_load("40", None, None).notes == ("no_unit",)


@pytest.mark.parametrize(
    ("cell", "reason"),
    [
        ("70%", "relative_load"),
        ("70 % 1RM", "relative_load"),
        ("60/40", "ambiguous_load"),
        ("60-80", "ambiguous_load"),
        ("60 kg / 40 kg", "ambiguous_load"),
        ("5x100", "ambiguous_load"),
        ("heavy", "non_numeric_load"),
        ("nan", "non_numeric_load"),
        ("inf", "non_numeric_load"),
        (float("nan"), "non_numeric_load"),
        (True, "non_numeric_load"),
        (dt.date(2026, 1, 2), "non_numeric_load"),
        ("red band", "non_numeric_load"),
        ("20 m", "non_numeric_load"),
        ("1.000", "ambiguous_number"),
    ],
)
def test_loads_that_are_not_one_figure(cell: object, reason: str) -> None:
    read = parse_load(cell, "kg", None)  # type: ignore[arg-type]
    assert (read.value, read.reasons) == (None, (reason,))


def test_multiples_of_body_mass() -> None:
    assert parse_load("1.5xBW", "kg", None).value.of_body_mass == 1.5  # type: ignore[union-attr]
    assert parse_load("1,5 x BW", "kg", "comma").value.of_body_mass == 1.5  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("cell", "unit", "factors", "value"),
    [
        ("24 in", None, TO_CM, 60.96),
        ('24"', None, TO_CM, 60.96),
        ("60 cm", "in", TO_CM, 60.0),
        ("24", "in", TO_CM, 60.96),
        ("0,6 m", None, TO_CM, 60.0),
        ("20 Zoll", None, TO_CM, 50.8),
        ("5 km", "m", TO_M, 5000.0),
        ("2.5", "km", TO_M, 2500.0),
        ("1 mile", None, TO_M, 1609.344),
        ("400m", None, TO_M, 400.0),
        (250.0, "m", TO_M, 250.0),
        ("100 yd", None, TO_M, 91.44),
    ],
)
def test_heights_and_distances(cell: object, unit: str | None, factors: dict[str, float], value: float) -> None:
    assert parse_amount(cell, unit, factors, None).value == pytest.approx(value)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("cell", "unit", "seconds"),
    [
        ("1:30", None, 90),
        ("0:45", None, 45),
        ("12:05", None, 725),
        ("1:02:03", None, 3723),
        ("90 s", None, 90),
        ("90s", "min", 90),
        ("45 sec", None, 45),
        ("20 min", "s", 1200),
        ("1 min 30 s", None, 90),
        ("1min30", None, 90),
        ("2'", None, 120),
        ("1'30\"", None, 90),
        ("1h", None, 3600),
        ("1h15", None, 4500),
        ("2,5 min", None, 150),
        ("90", "s", 90),
        (1.5, "min", 90),
        (dt.time(0, 1, 30), None, 90),
        (dt.timedelta(minutes=2), None, 120),
        ("30 Sekunden", None, 30),
    ],
)
def test_durations(cell: object, unit: str | None, seconds: float) -> None:
    read = parse_duration(cell, unit, None, long=False)  # type: ignore[arg-type]
    assert (read.value, read.reasons) == (pytest.approx(seconds), ())


def test_long_and_short_durations() -> None:
    assert parse_duration("1:15", "min", None, long=True).value == 75 * 60
    assert parse_duration("75:00", "min", None, long=True).value == 75 * 60
    assert parse_duration(dt.time(1, 15), "min", None, long=True).value == 75 * 60
    assert parse_duration(dt.time(1, 30), None, None, long=False).reasons == ("ambiguous_duration",)
    assert parse_duration("soon", None, None, long=False).reasons == ("not_a_number",)
    assert parse_duration("90", None, None, long=False).notes == ("no_unit",)


def test_reps_and_ranges() -> None:
    assert parse_reps("8", None).value.value == 8  # type: ignore[union-attr]
    one = parse_reps("8-10", None).value
    assert one is not None
    assert (one.low, one.value, one.high) == (8, 9, 10)
    assert parse_reps("8 bis 10", None).notes == ("rep_range",)
    for text in ("x", "5,5,5", "lots", "10-8", "max"):
        assert parse_reps(text, None).value is None


def test_sets_and_reps_in_one_cell() -> None:
    assert parse_volume("5x3").value == (5, 3)
    assert parse_volume("5 × 10").value == (5, 10)
    assert parse_volume("5").value is None


@pytest.mark.parametrize(
    ("cell", "value"),
    [("7", 7), ("7,5", 7.5), ("7.5", 7.5), ("RPE 8", 8), ("@8,5", 8.5), ("8/10", 8), (9.0, 9), ("-2", -2)],
)
def test_ratings(cell: object, value: float) -> None:
    assert parse_rating(cell, None).value == value  # type: ignore[arg-type]
