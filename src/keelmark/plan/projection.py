"""Each athlete's week with the plan in it, against that athlete's own marks."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY, WATCHED_CHANNELS
from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.contracts.words import PLACE_WORDS
from keelmark.marks import MarkSettings, marks
from keelmark.plan.doses import PLAN_CHANNELS
from keelmark.plan.people import Person
from keelmark.plan.planned_week import PlannedWeek

__all__ = ["PROJECTION", "PlanMarks", "marks_for_week", "projection"]

PROJECTION = {
    "athlete_id": pl.String, "name": pl.String, "channel": pl.String, "label": pl.String, "unit": pl.String,
    "value": pl.Float64, "low": pl.Float64, "high": pl.Float64, "lower": pl.Float64, "expected": pl.Float64,
    "upper": pl.Float64, "place": pl.String, "past": pl.String, "words": pl.String,
}  # fmt: skip
"""Columns of a projection; marks are empty where an athlete has none, `high` where a part is not known.

`past` tells of the upper mark: surely above it, perhaps, or not."""


@dataclass(frozen=True)
class PlanMarks:
    """Marks of the planned week by (athlete, channel): lower, expected, upper; and why there are none."""

    edges: Mapping[tuple[str, str], tuple[float | None, float | None, float | None]]
    reasons: Mapping[tuple[str, str], str]

    @property
    def upper(self) -> dict[tuple[str, str], float]:
        """The upper marks of watched channels alone: those that versions of a session are held to."""
        watched = {key: edges[2] for key, edges in self.edges.items() if key[1] in WATCHED_CHANNELS}
        return {key: upper for key, upper in watched.items() if upper is not None}

    @classmethod
    def none(cls) -> PlanMarks:
        """Nobody has marks."""
        return cls({}, {})


def marks_for_week(
    weekly: pl.DataFrame,
    monday: dt.date,
    settings: MarkSettings | None = None,
    labels: pl.DataFrame | None = None,
    athletes: pl.DataFrame | None = None,
) -> PlanMarks:
    """Marks for a week that has not been trained yet.

    Parameters
    ----------
    weekly : DataFrame
        `WEEKLY_FIGURE` table; weeks from the planned one on are passed over.
    monday : date
        First day of the planned week.
    settings, labels, athletes
        As for `marks`.

    Notes
    -----
    The marks of a week rest on the weeks before it alone, so a row for the planned week, whatever its amount, has them.
    """
    past = weekly.filter(pl.col("monday") < monday)
    if past.is_empty():
        return PlanMarks.none()
    week = monday.strftime("%G-W%V")
    pairs = past.select("athlete_id", "channel").unique(maintain_order=True)
    ahead = pairs.with_columns(
        week=pl.lit(week), monday=pl.lit(monday), value=pl.lit(0.0), low=pl.lit(0.0), high=pl.lit(0.0),
        known_days=pl.lit(7, pl.Int64), assumed_rest_days=pl.lit(0, pl.Int64), trained_days=pl.lit(0, pl.Int64),
    )  # fmt: skip
    rows = pl.concat([past, ahead], how="diagonal").select(WEEKLY_FIGURE.names)
    found = marks(rows, settings, labels, athletes).filter(pl.col("week") == week)
    edges, reasons = {}, {}
    for row in found.iter_rows(named=True):
        key = row["athlete_id"], row["channel"]
        edges[key] = row["lower"], row["expected"], row["upper"]
        if row["upper"] is None and row["reason"]:
            reasons[key] = row["reason"]
    return PlanMarks(edges, reasons)


def projection(
    planned: PlannedWeek,
    own: PlanMarks,
    *,
    days: Mapping[str, Collection[int]] | None = None,
    texts: Mapping[str, Mapping[str, str]] | None = None,
    persons: Sequence[Person] | None = None,
) -> pl.DataFrame:
    """Everybody's planned week against their marks.

    Parameters
    ----------
    planned : PlannedWeek
        The week.
    own : PlanMarks
        Marks of the week.
    days : mapping of athlete to days, optional
        What if: days trained (0 Monday) by the athletes named; the others keep their own.
    texts : mapping of athlete to mapping of session to text, optional
        What if: texts done in place of the board by the athletes named.
    persons : sequence of Person, optional
        Only these; everybody when left out.

    Returns
    -------
    DataFrame
        Columns of `PROJECTION`: athletes by name, channels in the order of the contract. `place` is one of below,
        within, above or not_known and goes by the value; `past` is surely where even the low bound lies above the
        upper mark, perhaps where the value does and the low bound does not. What rounds to the same three digits as a
        mark does not lie above it.
    """
    rows: list[tuple[object, ...]] = []
    for person in planned.persons if persons is None else persons:
        total = planned.week_of(
            person, days=(days or {}).get(person.athlete_id), texts=(texts or {}).get(person.athlete_id)
        )
        for channel in PLAN_CHANNELS:
            value, low, high, unknown = total.at(channel.key)
            edges = own.edges.get((person.athlete_id, channel.key))
            if not high and not unknown and edges is None:
                continue
            rows.append(_row(person, channel.key, (value, low, high, unknown), edges, own))
    return pl.DataFrame(rows, schema=PROJECTION, orient="row")


def _row(
    person: Person,
    channel: str,
    amount: tuple[float, float, float, int],
    edges: tuple[float | None, float | None, float | None] | None,
    own: PlanMarks,
) -> tuple[object, ...]:
    value, low, high, unknown = amount
    lower, expected, upper = edges or (None, None, None)
    place, words = _place(amount, lower, upper)
    past = _past(amount, upper)
    if place == "not_known":
        words = own.reasons.get((person.athlete_id, channel), words)
    known = CHANNEL_BY_KEY[channel]
    return (
        person.athlete_id, person.name, channel, known.label, known.unit, None if unknown and not value else value, low,
        high if high < float("inf") else None, lower, expected, upper, place, past, words,
    )  # fmt: skip


def _place(amount: tuple[float, float, float, int], lower: float | None, upper: float | None) -> tuple[str, str]:
    value, low, high, unknown = amount
    if upper is None:
        return "not_known", "no usual range yet"
    if _above(value, upper):
        sure = "" if _above(low, upper) else "; the low end of the figure is not"
        return "above", PLACE_WORDS["above"] + sure
    if unknown:
        return "not_known", "a load or amount in the text is not known"
    if lower is not None and value < lower:
        return "below", PLACE_WORDS["below"]
    over = "; the high end of the figure is above it" if _above(high, upper) else ""
    return "within", PLACE_WORDS["within"] + over


def _past(amount: tuple[float, float, float, int], upper: float | None) -> str:
    value, low, _, _ = amount
    if upper is None or not _above(value, upper):
        return "not"
    return "surely" if _above(low, upper) else "perhaps"


def _above(figure: float, mark: float) -> bool:
    """Whether a figure lies above a mark by as much as can be read off three digits."""
    return figure > mark and (math.isinf(figure) or float(f"{figure:.3g}") > float(f"{mark:.3g}"))
