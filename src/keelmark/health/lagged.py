"""Weeks in which a complaint could begin, each with the work of the weeks before it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.health.episodes import MOST_SILENT_WEEKS, WEEK_SAID
from keelmark.load.windows import ENOUGH_KNOWN

__all__ = ["LAGS", "LEAST_KNOWN_WEEKS", "MOST_STEPS", "WeeksAtStake", "own_steps", "weeks_at_stake"]

LAGS = (1, 2, 3)
"""Weeks between the work and the complaint that are looked at. Fixed, so that no lag is chosen for its figure; the
same week is left out, because a complaint also changes what is done."""

LEAST_KNOWN_WEEKS = 8
"""Well-known weeks that an athlete's own middle and spread rest on; a judgement."""

MOST_STEPS = 4.0
"""Weeks further from the athlete's middle count as this far, so that no single week settles a figure; a judgement."""

_STEP = 1.4826
"""Turns a median absolute deviation into a standard deviation for a normal spread (derived: 1 / 0.67449)."""


@dataclass(frozen=True, slots=True)
class WeeksAtStake:
    """Athlete-weeks in which a new complaint could be told.

    Parameters
    ----------
    began : array, shape (row,)
        1 where a complaint began, else 0.
    steps : array, shape (row, lag)
        Work of the weeks before, in the athlete's own usual steps from the athlete's own middle.
    person, week : int arrays, shape (row,)
        Whose week it is, and its number from the first week on.
    left_out : int
        Weeks at stake that had to be left out because work of a week before is not known well enough.
    """

    began: NDArray[np.float64]
    steps: NDArray[np.float64]
    person: NDArray[np.int64]
    week: NDArray[np.int64]
    left_out: int

    @property
    def complaints(self) -> int:
        """New complaints among the rows."""
        return int(self.began.sum())

    @property
    def athletes(self) -> int:
        """Athletes with at least one row."""
        return len(np.unique(self.person))

    @property
    def athletes_with_complaints(self) -> int:
        """Athletes with at least one new complaint."""
        return len(np.unique(self.person[self.began > 0]))


def own_steps(weekly: pl.DataFrame, channel: str) -> pl.DataFrame:
    """Weeks of one channel in each athlete's own terms.

    Scope: only weeks of which three quarters are known, and athletes with `LEAST_KNOWN_WEEKS` of them that differ from
    one another. Athletes are compared with themselves alone, so that a strong one is no different from a small one.

    Parameters
    ----------
    weekly : DataFrame
        WEEKLY_FIGURE table.
    channel : str
        Key of the channel.

    Returns
    -------
    DataFrame
        athlete_id, monday, steps: distance from the athlete's median week in usual steps; one usual step is the
        median distance, times 1.4826.
    """
    own = WEEKLY_FIGURE.check(weekly, where="own steps").filter(
        pl.col("channel") == channel, pl.col("value").is_not_null(), pl.col("known_days") >= ENOUGH_KNOWN * 7
    )
    away = pl.col("value") - pl.col("value").median().over("athlete_id")
    spread = away.abs().median().over("athlete_id") * _STEP
    told = own.select("athlete_id", "monday", away=away, spread=spread, weeks=pl.len().over("athlete_id"))
    enough = told.filter(pl.col("weeks") >= LEAST_KNOWN_WEEKS, pl.col("spread") > 0)
    return enough.select(
        "athlete_id", "monday", steps=(pl.col("away") / pl.col("spread")).clip(-MOST_STEPS, MOST_STEPS)
    )


def weeks_at_stake(said: pl.DataFrame, areas: tuple[str, ...], steps: pl.DataFrame) -> WeeksAtStake:
    """Answered weeks after an answered week without a complaint in these areas.

    Parameters
    ----------
    said : DataFrame
        WEEK_SAID table.
    areas : tuple of str
        Keys of the areas that are counted together.
    steps : DataFrame
        As `own_steps` gives it.
    """
    told = WEEK_SAID.check(said, where="weeks at stake").with_columns(named=pl.col("area").is_in(list(areas)))
    weeks = (
        told.group_by("athlete_id", "monday")
        .agg(pl.col("named").fill_null(value=False).any())
        .sort("athlete_id", "monday")
    )
    before = weeks.with_columns(
        since=pl.col("monday") - pl.col("monday").shift(1).over("athlete_id"),
        was=pl.col("named").shift(1).over("athlete_id"),
    )
    stake = before.filter(~pl.col("was"), pl.col("since") <= timedelta(weeks=MOST_SILENT_WEEKS + 1))
    rows = stake
    for lag in LAGS:
        moved = steps.select("athlete_id", monday=pl.col("monday") + timedelta(weeks=lag), **{f"lag_{lag}": "steps"})
        rows = rows.join(moved, on=["athlete_id", "monday"], how="inner", maintain_order="left")
    return _arrays(rows, stake.height - rows.height)


def _arrays(rows: pl.DataFrame, left_out: int) -> WeeksAtStake:
    first = rows["monday"].min()
    weeks = (rows["monday"] - first).dt.total_days() // 7 if isinstance(first, date) else rows["monday"].cast(pl.Int64)
    people = rows["athlete_id"].rank("dense").cast(pl.Int64) - 1
    return WeeksAtStake(
        began=rows["named"].cast(pl.Float64).to_numpy(),
        steps=rows.select([f"lag_{lag}" for lag in LAGS]).to_numpy().astype(np.float64),
        person=people.to_numpy(),
        week=weeks.cast(pl.Int64).to_numpy(),
        left_out=left_out,
    )
