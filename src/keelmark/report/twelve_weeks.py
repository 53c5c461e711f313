"""Twelve weeks of one athlete's work: each week, means of four weeks with their bounds, and what changed most."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.frames import WEEKLY_FIGURE

__all__ = ["PATTERNS", "WEEKS", "Change", "Mean", "Work", "changes", "known_days", "work_of"]

WEEKS = 12
_BLOCK = 4
_ENOUGH_DAYS = 6
"""Known days from which a week counts when two stretches are compared; three quarters of a week, rounded up."""
_ENOUGH_NOW, _ENOUGH_BEFORE = 3, 5
"""Such weeks that a comparison needs of the last four and of the eight before; a judgement."""

PATTERNS = (
    "session_load", "tonnage", "hip_hinge_reps", "knee_reps", "jump_contacts", "foot_strikes", "overhead_reps",
    "vertical_pull", "spinal_flexion", "grip_s",
)  # fmt: skip
"""Kinds of work in units that can be counted; what is computed from a model of the back is left out."""


@dataclass(frozen=True, slots=True)
class Mean:
    """An average week of a stretch: value, bounds, and how many of its weeks it rests on; None where none is known."""

    value: float | None
    low: float | None
    high: float | None
    weeks: int


@dataclass(frozen=True, slots=True)
class Work:
    """One kind of work: twelve weeks, oldest first, and the average week of each four."""

    channel: str
    weeks: tuple[float | None, ...]
    means: tuple[Mean, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """An average week of the last four beside one of the eight before, of weeks that are well known."""

    channel: str
    now: float
    before: float

    @property
    def share(self) -> float:
        """How much more, as a share of before."""
        return self.now / self.before - 1


def work_of(weekly: pl.DataFrame, athlete_id: str, last: date) -> list[Work]:
    """Twelve weeks up to a Monday's, by kind of work; kinds without any work in them are left out.

    Parameters
    ----------
    weekly : DataFrame
        WEEKLY_FIGURE table.
    athlete_id : str
        Whose.
    last : date
        Monday of the last week.
    """
    own = _own(weekly, athlete_id, last)
    mondays = [last - timedelta(weeks=back) for back in range(WEEKS - 1, -1, -1)]
    found = []
    for channel in PATTERNS:
        rows = {row["monday"]: row for row in own.filter(pl.col("channel") == channel).iter_rows(named=True)}
        known = [rows.get(monday) for monday in mondays]
        values = tuple(None if row is None else row["value"] for row in known)
        if any(values):
            means = tuple(_mean(known[start : start + _BLOCK]) for start in range(0, WEEKS, _BLOCK))
            found.append(Work(channel, values, means))
    return found


def changes(weekly: pl.DataFrame, athlete_id: str, last: date, most: int = 3) -> list[Change]:
    """The kinds of work that changed most, the last four weeks beside the eight before, largest first."""
    own = _own(weekly, athlete_id, last).filter(
        pl.col("channel").is_in(list(PATTERNS)), pl.col("known_days") >= _ENOUGH_DAYS, pl.col("value").is_not_null()
    )
    recent = pl.col("monday") > last - timedelta(weeks=_BLOCK)
    told = own.group_by("channel").agg(
        now=pl.col("value").filter(recent).mean(),
        before=pl.col("value").filter(~recent).mean(),
        weeks_now=recent.sum(),
        weeks_before=(~recent).sum(),
    )
    enough = told.filter(
        pl.col("weeks_now") >= _ENOUGH_NOW, pl.col("weeks_before") >= _ENOUGH_BEFORE, pl.col("before") > 0
    )
    found = [Change(row["channel"], row["now"], row["before"]) for row in enough.iter_rows(named=True)]
    order = list(CHANNEL_BY_KEY)
    return sorted(found, key=lambda one: (-abs(one.share), order.index(one.channel)))[:most]


def known_days(weekly: pl.DataFrame, athlete_id: str, last: date) -> list[int]:
    """Days on record in each of the twelve weeks, oldest first."""
    days = dict(_own(weekly, athlete_id, last).group_by("monday").agg(pl.col("known_days").max()).iter_rows())
    return [days.get(last - timedelta(weeks=back), 0) for back in range(WEEKS - 1, -1, -1)]


def _own(weekly: pl.DataFrame, athlete_id: str, last: date) -> pl.DataFrame:
    return WEEKLY_FIGURE.check(weekly, where="twelve weeks").filter(
        pl.col("athlete_id") == athlete_id,
        pl.col("monday") <= last,
        pl.col("monday") > last - timedelta(weeks=WEEKS),
    )


def _mean(rows: list[dict[str, float | None] | None]) -> Mean:
    known = [row for row in rows if row is not None and row["value"] is not None]
    if not known:
        return Mean(None, None, None, 0)

    def mean(column: str) -> float | None:
        cells = [cell for row in known if (cell := row[column]) is not None]
        return sum(cells) / len(cells) if len(cells) == len(known) else None

    return Mean(mean("value"), mean("low"), mean("high"), len(known))
