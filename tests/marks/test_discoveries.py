"""Many athletes and channels are looked at each week, so chance is held down for the squad as a whole."""

from __future__ import annotations

from datetime import timedelta

import polars as pl
import pytest

from keelmark.contracts.frames import PLACES
from keelmark.marks.discoveries import adjusted_shares, said_lately, standing_out
from tests.marks.squad import MONDAY


def rows(*tails: tuple[str, str, str, float | None]) -> pl.DataFrame:
    return pl.DataFrame(
        tails,
        schema={"athlete_id": pl.String, "week": pl.String, "channel": pl.String, "tail": pl.Float64},
        orient="row",
    ).with_columns(place=pl.lit("above", dtype=pl.Enum(PLACES)), value=pl.lit(2.0), expected=pl.lit(1.0))


def test_the_example_of_the_first_paper() -> None:
    """15 comparisons, 4 stand out at a rate of 0.05: Benjamini & Hochberg 1995, section 4.1 (from memory)."""
    tails = [
        0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590,
        1.0,
    ]  # fmt: skip
    judged = adjusted_shares(rows(*[(f"a{place:02d}", "w", "tonnage", tail) for place, tail in enumerate(tails)]))
    assert (judged["q_value"] <= 0.05).sum() == 4


def test_each_week_is_judged_by_itself() -> None:
    """q = tail x comparisons / rank, made to rise: 0.01 x 2 / 1, 0.5 x 2 / 2; and 0.01 alone (derived)."""
    judged = adjusted_shares(
        rows(("a", "w1", "tonnage", 0.01), ("b", "w1", "tonnage", 0.5), ("a", "w2", "tonnage", 0.01))
    )
    assert judged["q_value"].to_list() == pytest.approx([0.02, 0.5, 0.01])


def out_of(marked: pl.DataFrame, rate: float) -> pl.DataFrame:
    return standing_out(adjusted_shares(marked), rate)


def test_one_notice_for_an_athlete_and_week_led_by_the_most_unusual_channel() -> None:
    found = out_of(
        rows(
            ("a", "w", "tonnage", 2e-3),
            ("a", "w", "knee_reps", 1e-4),
            ("a", "w", "two_legged", 1e-3),
            ("b", "w", "tonnage", 0.6),
        ),
        0.1,
    )
    assert found.select("athlete_id", "channel").rows() == [("a", "knee_reps")]
    assert found["with_it"].to_list() == [["two_legged", "tonnage"]]


def test_an_index_leads_only_alone() -> None:
    found = out_of(rows(("a", "w", "lumbar_fatigue", 1e-6), ("a", "w", "lumbar_moment", 1e-3)), 0.1)
    assert (found["channel"][0], found["with_it"].to_list()) == ("lumbar_moment", [["lumbar_fatigue"]])
    alone = out_of(rows(("a", "w", "lumbar_fatigue", 1e-6)), 0.1)
    assert alone["channel"].to_list() == ["lumbar_fatigue"]


def test_weeks_without_a_known_place_are_no_comparison() -> None:
    judged = out_of(rows(("a", "w", "tonnage", 0.04), *[(f"x{n}", "w", "tonnage", None) for n in range(50)]), 0.1)
    assert judged.height == 1


def test_a_low_week_gives_no_notice() -> None:
    low = rows(("a", "w", "tonnage", 1e-6)).with_columns(place=pl.lit("within", dtype=pl.Enum(PLACES)))
    assert out_of(low, 0.1).is_empty()


def test_a_steady_athlete_who_does_a_little_more_gives_no_notice() -> None:
    """A fifth more than expected is too little to speak of, a quarter is not."""
    little = rows(("a", "w", "tonnage", 1e-9))
    assert out_of(little.with_columns(value=pl.lit(1.2)), 0.1).is_empty()
    assert out_of(little.with_columns(value=pl.lit(1.25)), 0.1).height == 1


def test_nothing_to_judge() -> None:
    assert out_of(rows(), 0.1).is_empty()


def test_what_was_said_lately_is_not_said_again() -> None:
    def row(number: int, channel: str, *with_it: str) -> dict[str, object]:
        return {
            "athlete_id": "a",
            "monday": MONDAY + timedelta(days=7 * number),
            "channel": channel,
            "with_it": [*with_it],
        }

    found = pl.DataFrame(
        [
            row(0, "lumbar_moment", "hip_hinge_kg"),
            row(3, "hip_hinge_kg"),
            row(7, "grip_s"),
            row(8, "lumbar_moment"),
            row(9, "tonnage", "lumbar_moment"),
        ]
    )
    assert said_lately(found, 8).to_list() == [False, True, False, False, True]
