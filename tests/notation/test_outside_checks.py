"""Totals against arithmetic, units against pint, and facts of the trade."""

import pint
import pytest

from keelmark.notation import read

UNITS = pint.UnitRegistry()


def total(text: str, movement: str, **context) -> float:
    return sum(row.amount * row.sets for row in read(text, context).efforts if row.movement == movement)


@pytest.mark.parametrize("n", [2, 3, 5, 10, 12, 15, 20, 33])
@pytest.mark.parametrize(
    "form", ["{n}..1 burpees", "{n} to 1 burpees", "1 to {n} burpees", "{n} bis 1 Burpees", "de {n} a 1 burpees"]
)
def test_ladder_sums(n: int, form: str) -> None:
    """derived: a ladder n, n-1, ..., 1 sums to n(n+1)/2."""
    assert total(form.format(n=n), "burpee") == n * (n + 1) / 2


def test_ladder_of_ten_is_55() -> None:
    """common practice, no source: a ladder 10, 9, ..., 1 or 1, 2, ..., 10 sums to 55 reps."""
    assert total("10 to 1 deadlift 100 kg", "deadlift") == 55
    assert total("1-2-3-4-5-6-7-8-9-10 push-ups", "push_up") == 55


@pytest.mark.parametrize(("step", "last"), [(2, 10), (2, 20), (3, 21), (5, 50)])
def test_even_ladder_written_with_dots(step: int, last: int) -> None:
    """derived: s, 2s, ..., ks sums to s k(k+1)/2."""
    k = last // step
    assert total(f"{step}-{2 * step}-{3 * step}-...-{last} wall balls 9 kg", "wall_ball") == step * k * (k + 1) / 2


@pytest.mark.parametrize("pounds", [35, 45, 53, 95, 135, 155.5, 225, 315])
@pytest.mark.parametrize(
    "form", ["3x5 back squat @ {x} lb", "{x}# back squat x 5 x 3", "Kniebeuge hinten 3x5 mit {x} Pfund"]
)
def test_pounds(pounds: float, form: str) -> None:
    """NIST SP 811: 1 lb = 0.45359237 kg, as pint has it."""
    row = read(form.format(x=f"{pounds:g}")).efforts[0]
    assert row.load_kg == pytest.approx(UNITS.Quantity(pounds, "pound").to("kilogram").magnitude, abs=1e-9)


@pytest.mark.parametrize("inches", [12, 20, 24, 30])
@pytest.mark.parametrize("form", ['10 box jumps {x}"', "10 box jumps {x} in", "10 box jumps ({x} inches)"])
def test_inches(inches: float, form: str) -> None:
    """NIST SP 811: 1 in = 2.54 cm exactly."""
    row = read(form.format(x=inches)).efforts[0]
    assert row.height_cm == pytest.approx(UNITS.Quantity(inches, "inch").to("centimeter").magnitude, abs=1e-9)


@pytest.mark.parametrize("feet", [9, 10, 15])
def test_feet(feet: float) -> None:
    """NIST SP 811: 1 ft = 30.48 cm exactly."""
    row = read(f"20 wall balls 9 kg to {feet} ft").efforts[0]
    assert row.height_cm == pytest.approx(UNITS.Quantity(feet, "foot").to("centimeter").magnitude, abs=1e-9)


@pytest.mark.parametrize(
    ("miles", "text"),
    [(1, "1 mile run"), (1, "run a mile"), (0.5, "half a mile run"), (1.5, "1½ mile run"), (0.5, "run 1/2 mile")],
)
def test_miles(miles: float, text: str) -> None:
    """NIST SP 811: 1 mile = 1609.344 m exactly."""
    row = read(text).efforts[0]
    assert (row.measure, row.amount) == (
        "distance_m",
        pytest.approx(UNITS.Quantity(miles, "mile").to("meter").magnitude),
    )


def test_boxes_of_24_and_20_inches() -> None:
    """common practice, no source: boxes of 24 and 20 in for the two standards; 60.96 and 50.8 cm by the inch."""
    text = "12 box jumps 24/20 in"
    assert read(text, {"standard": "heavier"}).efforts[0].height_cm == pytest.approx(60.96)
    assert read(text, {"standard": "lighter"}).efforts[0].height_cm == pytest.approx(50.8)


def test_two_knee_raises_for_one_toes_to_bar() -> None:
    """common practice, no source: two hanging knee raises stand in for one toes-to-bar."""
    text = "3 rounds: 10 toes-to-bar\nScaling: 2 hanging knee raises per toes-to-bar"
    assert total(text, "hanging_knee_raise", option="scaled") == 60
    assert total(text, "toes_to_bar") == 30


@pytest.mark.parametrize(
    ("told", "centre_cm"),
    [
        ("bar raised 10 cm", 32.5),
        ("from 20 cm blocks", 42.5),
        ("plates raised 4 in", 32.66),
        ("depuis blocs 20 cm", 42.5),
        ("from pins at 45 cm", 45.0),
        ("bar starts at 30 cm", 30.0),
        ("Stangenhöhe 40 cm", 40.0),
    ],
)
def test_a_raised_bar_starts_one_plate_radius_above_what_its_plates_stand_on(told: str, centre_cm: float) -> None:
    """derived: a full-size plate is 45 cm across (common practice), 10 + 45 / 2 = 32.5, 4 x 2.54 + 22.5 = 32.66."""
    row = read(f"Deadlift 5x3 @ 100 kg, {told}").efforts[0]
    assert (row.start_height_cm, row.height_cm, row.load_kg) == (pytest.approx(centre_cm), None, 100.0)


def test_a_height_beyond_belief_is_set_aside_and_told() -> None:
    """derived: 2000 cm is above the 200 cm of a box; the reps stay, the height does not."""
    reading = read("Box jumps 3x5 2000 cm")
    assert [(row.movement, row.amount * row.sets, row.height_cm) for row in reading.efforts] == [("box_jump", 15, None)]
    assert [issue.code for issue in reading.issues] == ["implausible_height"]
