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


def test_every_multiplier_of_a_student_solution() -> None:
    """Published student solution, of low authority: H 30, V 75, D 50, A 30, F 3, short, fair give HM .833, VM 1,
    DM .910, AM .904, FM .88, CM 1.00. Derived: 23 times their product is 13.875 kg."""
    lift = Lift(30, 75, 50, 30, 3, "short", "fair", 75)
    found = (
        horizontal_multiplier(30), vertical_multiplier(75), distance_multiplier(50), asymmetry_multiplier(30),
        frequency_multiplier(3, "short", 75), coupling_multiplier("fair", 75),
    )  # fmt: skip
    assert found == pytest.approx((0.833, 1.0, 0.910, 0.904, 0.88, 1.00), abs=0.0005)
    assert recommended_weight(lift) == pytest.approx(13.875, abs=0.0005)


@pytest.mark.parametrize(
    ("lift", "full", "load", "index"),
    [
        (Lift(10, 22, 37, 0, 3, "short", "fair", 22, US_CUSTOMARY), 34.814, None, None),  # Example 4, origin
        (Lift(20, 59, 37, 0, 3, "short", "fair", 22, US_CUSTOMARY), 15.253, 26, 1.705),  # Example 4, destination
        (Lift(23, 15, 48, 0, 0.2, "short", "fair", 15, US_CUSTOMARY), 16.031, 44, 2.745),  # Example 1, origin
        (Lift(23, 63, 48, 0, 0.2, "short", "fair", 15, US_CUSTOMARY), 14.308, 44, 3.075),  # Example 1, destination
        (Lift(20, 27, 33, 0, 0.2, "short", "poor", 27, US_CUSTOMARY), 19.619, 35, 1.784),  # Example 2, origin
    ],
)
def test_examples_at_full_precision(lift: Lift, full: float, load: float | None, index: float | None) -> None:
    """Derived by hand from the formulas of the manual; the inputs of Examples 1 and 2 are from memory."""
    assert recommended_weight(lift) == pytest.approx(full, abs=0.0005)
    if load is not None:
        assert lifting_index(load, lift) == pytest.approx(index, abs=0.0005)


@pytest.mark.parametrize(
    ("lift", "printed", "load", "index"),
    [
        (Lift(23, 15, 48, 0, 0.2, "short", "fair", 15, US_CUSTOMARY), 16.3, 44, 2.7),
        (Lift(23, 63, 48, 0, 0.2, "short", "fair", 15, US_CUSTOMARY), 14.5, 44, 3.0),
        (Lift(20, 27, 33, 0, 0.2, "short", "poor", 27, US_CUSTOMARY), 19.6, 35, 1.8),
    ],
)
def test_printed_results_of_examples_1_and_2(lift: Lift, printed: float, load: float, index: float) -> None:
    """From memory; the manual multiplies rounded multipliers and prints .44 for 10 / 23, hence 0.3 lb."""
    assert recommended_weight(lift) == pytest.approx(printed, abs=0.3)
    assert lifting_index(load, lift) == pytest.approx(index, abs=0.1)


def test_example_1_as_printed_from_rounded_multipliers() -> None:
    """From memory: 51 x .44 x .89 x .86 x .95 = 16.3 and 51 x .44 x .75 x .86 = 14.5; derived: ours round to those
    multipliers but for the first, which the manual prints one step up."""
    low, high = (round(vertical_multiplier(height, US_CUSTOMARY), 2) for height in (15, 63))
    far = round(distance_multiplier(48, US_CUSTOMARY), 2)
    assert horizontal_multiplier(23, US_CUSTOMARY) == pytest.approx(0.44, abs=0.006)
    assert 51 * 0.44 * low * far * coupling_multiplier("fair", 15, US_CUSTOMARY) == pytest.approx(16.3, abs=0.05)
    assert 51 * 0.44 * high * far * coupling_multiplier("fair", 63, US_CUSTOMARY) == pytest.approx(14.5, abs=0.05)


def test_terms_of_the_inch_form_end_where_the_manual_ends_them() -> None:
    """Manual: H > 25 in, V > 70, D > 70 give 0; H and D below 10 in count as 10; LC 51 lb."""
    assert horizontal_multiplier(25.1, US_CUSTOMARY) == vertical_multiplier(70.1, US_CUSTOMARY) == 0
    assert distance_multiplier(70.1, US_CUSTOMARY) == 0
    assert horizontal_multiplier(4, US_CUSTOMARY) == distance_multiplier(4, US_CUSTOMARY) == 1
    best = Lift(10, 30, 10, 0, 0.2, "short", "good", 30, US_CUSTOMARY)
    assert recommended_weight(best) == pytest.approx(51.0)


def test_printed_tables_round_one_step_up_in_three_places() -> None:
    """Manual, Tables 1 and 3: .46 and .44 at H = 22 and 23 in, .86 at D = 130 cm, where the formulas give less."""
    found = horizontal_multiplier(22, US_CUSTOMARY), horizontal_multiplier(23, US_CUSTOMARY), distance_multiplier(130)
    for ours, printed in zip(found, (0.46, 0.44, 0.86), strict=True):
        assert round(ours, 2) == pytest.approx(printed - 0.01)


def test_a_lift_outside_the_equation_has_no_index() -> None:
    far = Lift(70, 75, 25, 0, 1, "short", "good", 75)
    assert recommended_weight(far) == 0
    assert lifting_index(10, far) is None


def test_lifting_for_part_of_15_minutes() -> None:
    """Manual: 10 lifts a minute for 8 of 15 minutes are 5.33 a minute. Derived: 5 a minute for 10 of them are 3.33,
    where the manual once prints 3.4."""
    assert frequency_over_15_minutes(10, 8) == pytest.approx(5.33, abs=0.005)
    assert frequency_over_15_minutes(5, 10) == pytest.approx(3.33, abs=0.005)


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
