"""The revised occupational lifting equation against the manual's tables and its Example 4.

Source of all figures marked "manual": Waters TR, Putz-Anderson V, Garg A. Applications Manual for the Revised NIOSH
Lifting Equation. DHHS (NIOSH) 94-110, 1994, revised 9/2021 (read in secondary copies).
"""

from __future__ import annotations

import pytest

from keelmark.mechanics.lifting_equation import (
    FREQUENCY_TABLE,
    US_CUSTOMARY,
    Lift,
    asymmetry_multiplier,
    coupling_multiplier,
    distance_multiplier,
    duration_of_work,
    frequency_multiplier,
    frequency_over_15_minutes,
    horizontal_multiplier,
    lifting_index,
    recommended_weight,
    vertical_multiplier,
)

# Manual, Table 5. The first row is printed once as "2 or less"; it is 0.2 or less.
MANUAL_TABLE_5 = """
0.2  1.00 1.00 .95 .95 .85 .85
0.5  .97 .97 .92 .92 .81 .81
1    .94 .94 .88 .88 .75 .75
2    .91 .91 .84 .84 .65 .65
3    .88 .88 .79 .79 .55 .55
4    .84 .84 .72 .72 .45 .45
5    .80 .80 .60 .60 .35 .35
6    .75 .75 .50 .50 .27 .27
7    .70 .70 .42 .42 .22 .22
8    .60 .60 .35 .35 .18 .18
9    .52 .52 .30 .30 .00 .15
10   .45 .45 .26 .26 .00 .13
11   .41 .41 .00 .23 .00 .00
12   .37 .37 .00 .21 .00 .00
13   .00 .34 .00 .00 .00 .00
14   .00 .31 .00 .00 .00 .00
15   .00 .28 .00 .00 .00 .00
""".strip().splitlines()


@pytest.mark.parametrize("line", MANUAL_TABLE_5)
def test_frequency_multipliers_are_those_of_table_5(line: str) -> None:
    rate, *printed = (float(cell) for cell in line.split())
    durations = ("short", "short", "moderate", "moderate", "long", "long")
    found = [
        frequency_multiplier(rate, duration, height)
        for duration, height in zip(durations, (74.9, 75.0) * 3, strict=True)
    ]
    assert found == pytest.approx(printed)


def test_table_5_is_zero_beyond_15_lifts_a_minute_and_flat_below_one_in_five_minutes() -> None:
    assert len(FREQUENCY_TABLE) == len(MANUAL_TABLE_5)
    for duration in ("short", "moderate", "long"):
        assert frequency_multiplier(15.1, duration, 100) == 0
        assert frequency_multiplier(0.05, duration, 100) == frequency_multiplier(0.2, duration, 100)


def test_frequencies_between_whole_ones_are_interpolated() -> None:
    """Manual, Example 7: short, from 75 cm up, F = 2.4. Derived: .91 + .4 (.88 - .91) = .898."""
    assert frequency_multiplier(2.4, "short", 80) == pytest.approx(0.898)


def test_coupling_multipliers_are_those_of_table_7() -> None:
    """Manual, Table 7: good 1.00/1.00, fair .95 below 75 cm and 1.00 from there, poor .90/.90."""
    found = {
        (hold, height): coupling_multiplier(hold, height) for hold in ("good", "fair", "poor") for height in (74, 75)
    }
    assert found == {
        ("good", 74): 1.0, ("good", 75): 1.0, ("fair", 74): 0.95, ("fair", 75): 1.0, ("poor", 74): 0.9,
        ("poor", 75): 0.9,
    }  # fmt: skip


def test_terms_end_where_the_manual_ends_them() -> None:
    """Manual, Table 1 to 4: H > 63 cm, V > 175, D > 175, A > 135 degrees give 0; H and D below 25 cm count as 25."""
    assert horizontal_multiplier(63.1) == vertical_multiplier(175.1) == distance_multiplier(175.1) == 0
    assert asymmetry_multiplier(135.1) == 0
    assert horizontal_multiplier(10) == horizontal_multiplier(25) == 1
    assert distance_multiplier(5) == distance_multiplier(25) == 1
    assert vertical_multiplier(75) == 1
    assert vertical_multiplier(0) == pytest.approx(0.775)  # derived: 1 - 0.003 * 75
    assert asymmetry_multiplier(90) == pytest.approx(0.712)  # derived: 1 - 0.0032 * 90


def test_the_two_printed_forms_agree_to_three_percent() -> None:
    """Derived: 51 lb are 23.13 kg and 10 in are 25.4 cm, so the printed forms differ a little."""
    metric = Lift(40, 50, 60, 30, 2, "moderate", "fair", 50)
    inches = Lift(40 / 2.54, 50 / 2.54, 60 / 2.54, 30, 2, "moderate", "fair", 50 / 2.54, US_CUSTOMARY)
    assert recommended_weight(inches) * 0.45359237 == pytest.approx(recommended_weight(metric), rel=0.03)


def test_the_best_of_lifts_is_23_kg() -> None:
    """Manual: load constant 23 kg. Derived: every multiplier is 1."""
    best = Lift(25, 75, 25, 0, 0.2, "short", "good", 75)
    assert recommended_weight(best) == pytest.approx(23.0)
    assert lifting_index(23.0, best) == pytest.approx(1.0)


def test_example_4_at_its_origin() -> None:
    """Manual, Example 4: 51 x 1.0 x .94 x .87 x 1.0 x .88 x .95 = 34.9 lb; H 10 in and F 3 follow from its terms."""
    origin = Lift(10, 22, 37, 0, 3, "short", "fair", 22, US_CUSTOMARY)
    assert vertical_multiplier(22, US_CUSTOMARY) == pytest.approx(0.94)
    assert distance_multiplier(37, US_CUSTOMARY) == pytest.approx(0.87, abs=0.005)
    assert recommended_weight(origin) == pytest.approx(34.9, abs=0.1)


def test_example_4_at_its_destination() -> None:
    """Manual, Example 4: 15.2 lb (15.3 at full precision), index 1.7 for 26 lb; H 20 in and A 0 reproduce both."""
    destination = Lift(20, 59, 37, 0, 3, "short", "fair", 22, US_CUSTOMARY)
    assert recommended_weight(destination) == pytest.approx(15.2, abs=0.1)
    assert lifting_index(26, destination) == pytest.approx(1.7, abs=0.05)


@pytest.mark.parametrize(
    ("lift", "printed", "load", "index"),
    [
        (Lift(25, 55, 95, 0, 3, "short", "fair", 55), 15.7, 12, 0.76),
        (Lift(40, 15, 60, 0, 0.2, "short", "fair", 15), 10.0, 20, 2.0),
    ],
)
def test_student_solutions_in_metric_units(lift: Lift, printed: float, load: float, index: float) -> None:
    """Published student solutions, of low authority."""
    assert recommended_weight(lift) == pytest.approx(printed, abs=0.05)
    assert lifting_index(load, lift) == pytest.approx(index, abs=0.01)


def test_a_lift_outside_the_equation_has_no_index() -> None:
    far = Lift(70, 75, 25, 0, 1, "short", "good", 75)
    assert recommended_weight(far) == 0
    assert lifting_index(10, far) is None


def test_lifting_for_part_of_15_minutes() -> None:
    """Manual: 10 lifts a minute for 8 of 15 minutes are 5.33 a minute."""
    assert frequency_over_15_minutes(10, 8) == pytest.approx(5.33, abs=0.005)


@pytest.mark.parametrize(
    ("periods", "duration"),
    [
        ([(30, 10), (45, 0)], "moderate"),  # manual: 75 minutes
        ([(30, 30), (45, 0)], "short"),  # manual: the rest is as long as the work
        ([(120, 36), (60, 0)], "moderate"),  # manual: 36 minutes after two hours
        ([(120, 10), (60, 0)], "long"),  # derived: 180 minutes without enough rest
    ],
)
def test_duration_of_work_with_rests(periods: list[tuple[float, float]], duration: str) -> None:
    assert duration_of_work(periods) == duration
