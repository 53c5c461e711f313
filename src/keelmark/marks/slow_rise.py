"""Work that creeps up a little every week, so that each week alone stays inside marks that follow it.

The middle of the last four weeks is held against that of weeks nine to twenty-four before: far enough back that a slow
rise has not yet moved them. The middle is the mean of the middle half of the weeks, which holds still where work comes
in light and heavy weeks by turns. How unusual the step is, is judged by the steps that the others of the squad made
before.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.marks.forecast import LEAST_SCATTER, NORMAL, SHARE_OF_SQUAD, START_SCATTER
from keelmark.marks.grid import WeekGrid, week_grid
from keelmark.marks.score_pool import ScorePool

__all__ = ["RECENT", "REFERENCE", "slow_rise_grid", "slow_rises"]

Array = NDArray[np.float64]

RECENT = 4
"""Weeks whose middle is looked at, the present one included; three must be known. One odd week does not move it."""
REFERENCE = (9, 24)
"""Weeks back whose middle is the reference; half of them must be known."""
REGULAR = 0.75
"""Share of the reference weeks with any of this work, below which no slow rise is looked for."""
START_DEGREES = 10.0
"""Middles of weeks have lighter tails than weeks; see `ScorePool`."""
_STEP_SPREAD = float(np.sqrt(0.298 + 1.196 / (REFERENCE[1] - REFERENCE[0] + 1)))
"""Standard deviation of the step for independent normal weeks of standard deviation 1: middle half of 4 (variance
0.298, by order statistics) less that of 16 (for many weeks, 1.196 over their number)."""


@dataclass(frozen=True, slots=True)
class _Step:
    """The step of each pair in one week, on the square-root scale; NaN where too little is known or done."""

    recent: Array
    reference: Array
    unit: Array


def slow_rises(weekly: pl.DataFrame, labelled: pl.DataFrame, share: float) -> pl.DataFrame:
    """How the middle of the last four weeks lies against weeks nine to twenty-four before.

    Parameters
    ----------
    weekly : DataFrame
        `WEEKLY_FIGURE` table.
    labelled : DataFrame
        `labelled_weeks` of these figures; weeks that bear a label themselves are left out.
    share : float
        Share of usual weeks above the upper edge, and below the lower one.

    Returns
    -------
    DataFrame
        Rows of `weekly` with enough regular history: `athlete_id`, `week`, `channel`; `value`, middle of the last four
        weeks; `expected`, middle of the reference; `lower`, `upper`, in the unit of the channel; `tail`, share of usual
        steps at least this high.
    """
    grid = week_grid(weekly, labelled)
    columns = {name: pl.Series(name, grid.rows(values)) for name, values in slow_rise_grid(grid, share).items()}
    frame = weekly.select("athlete_id", "week", "channel").with_columns(**columns)
    return frame.filter(pl.col("tail").is_not_nan())


def slow_rise_grid(grid: WeekGrid, share: float) -> dict[str, Array]:
    """As `slow_rises`, for a grid of weeks: columns by name, each of shape (week, pair), NaN where not known."""
    shape = grid.value.shape
    found = {name: np.full(shape, np.nan) for name in ("value", "expected", "lower", "upper", "tail")}
    roots = np.sqrt(np.where(grid.usable & ~grid.labelled, grid.value, np.nan))
    pool, channel = ScorePool(grid.channels, START_DEGREES), grid.channel
    own = np.full(shape, np.nan)
    for week in range(REFERENCE[0], shape[0]):
        step = _step(roots, week, grid)
        score = np.divide(step.recent - step.reference, step.unit, out=np.full(shape[1], np.nan), where=step.unit > 0)
        known = ~np.isnan(score) & ~np.isnan(roots[week])
        edges = [
            np.maximum(step.reference + step.unit * pool.quantile(np.full(shape[1], level), channel), 0.0) ** 2
            for level in (share, 1.0 - share)
        ]
        rows = {
            "value": step.recent**2,
            "expected": step.reference**2,
            "lower": edges[1],
            "upper": edges[0],
            "tail": pool.tail_among_others(score, channel, own[:week]),
        }
        for name, values in rows.items():
            found[name][week] = np.where(known, values, np.nan)
        pool.add(score, channel, known)
        own[week] = np.where(known, score, np.nan)
    return found


def _step(roots: Array, week: int, grid: WeekGrid) -> _Step:
    recent = roots[max(0, week - RECENT + 1) : week + 1]
    reference = roots[max(0, week - REFERENCE[1]) : week - REFERENCE[0] + 1]
    known, before = _count(~np.isnan(recent)), _count(~np.isnan(reference))
    regular = _count(reference > 0) >= REGULAR * before
    enough = (known >= RECENT - 1) & (2 * before >= REFERENCE[1] - REFERENCE[0] + 1) & regular
    middle = _middle_half(reference)
    unit = _spread(reference, middle, before, grid) * middle * _STEP_SPREAD
    return _Step(
        recent=np.where(enough, _middle_half(recent), np.nan),
        reference=np.where(enough, middle, np.nan),
        unit=np.where(enough, unit, np.nan),
    )


def _spread(reference: Array, middle: Array, count: Array, grid: WeekGrid) -> Array:
    """Relative standard deviation of the reference weeks, drawn towards that of the squad in the same channel."""
    deviation = np.nansum(np.abs(reference - middle), axis=0) / np.maximum(count, 1)
    done = middle > 0
    relative = np.divide(deviation, middle, out=np.zeros(len(middle)), where=done)
    own = np.where(done, count, 0.0)
    weeks = np.bincount(grid.channel, weights=own, minlength=grid.channels)
    sums = np.bincount(grid.channel, weights=own * relative, minlength=grid.channels)
    squad = (sums + SHARE_OF_SQUAD * START_SCATTER / NORMAL) / (weeks + SHARE_OF_SQUAD)
    drawn = (SHARE_OF_SQUAD * squad[grid.channel] + own * relative) / (SHARE_OF_SQUAD + own)
    return np.asarray(np.maximum(NORMAL * drawn, LEAST_SCATTER))


def _count(which: NDArray[np.bool_]) -> Array:
    return np.asarray(which.sum(axis=0), dtype=np.float64)


def _middle_half(values: Array) -> Array:
    """Mean of the middle half, over the first axis, of the values that are not NaN; NaN where there is none."""
    ordered = np.sort(values, axis=0)
    count = (~np.isnan(values)).sum(axis=0)
    cut = (count + 1) // 4
    place = np.arange(len(values)).reshape(-1, *[1] * (values.ndim - 1))
    inside = (place >= cut) & (place < count - cut)
    total = np.where(inside, ordered, 0.0).sum(axis=0)
    return np.asarray(np.divide(total, count - 2 * cut, out=np.full(total.shape, np.nan), where=count > 0))
