"""Each athlete's own marks for each channel and week, and where the week lies against them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.frames import ATHLETE, MARK, PLACES, WEEKLY_FIGURE
from keelmark.load.windows import rolling_sum
from keelmark.marks.adaptive import next_level
from keelmark.marks.forecast import fresh_forecast, learn, predict
from keelmark.marks.grid import WeekGrid, week_grid
from keelmark.marks.labels import labelled_weeks
from keelmark.marks.named_weeks import NameEffects
from keelmark.marks.score_pool import ScorePool
from keelmark.marks.settings import MarkSettings

__all__ = ["LEAST_WEEKS", "MarkGrid", "mark_grid", "marks", "next_week_marks"]

Array = NDArray[np.float64]

LEAST_WEEKS = 4
"""Known weeks of an athlete's own before marks are given."""
WELL_ABOVE = 0.1
"""A week is well above where only this share of the weeks above the mark would lie."""
NOT_YET = "the week has not happened yet"
RECENT_WEEKS = 12
REGULARITY = np.array([0.5, 0.75, 1.0])
"""Shares of the recent known weeks with any of this work at which work counts as more regular; below the first no usual
range is given."""

_BELOW, _WITHIN, _ABOVE, _WELL_ABOVE, _NOT_KNOWN = range(5)
_NO_REASON, _TOO_FEW_DAYS, _TOO_FEW_WEEKS, _TOO_SELDOM, _NO_UPPER, _MAY_BE_ABOVE, _MAY_BE_BELOW = range(7)


@dataclass(frozen=True, slots=True)
class MarkGrid:
    """Marks of all pairs; arrays of shape (week, pair), amounts in the unit of the channel.

    `case_tails`, shape (case, week, pair), are the tails of amounts that were only asked about.
    """

    expected: Array
    lower: Array
    upper: Array
    tail: Array
    plain_tail: Array
    place: NDArray[np.int8]
    reason: NDArray[np.int8]
    weeks: NDArray[np.int64]
    worked: NDArray[np.int64]
    case_tails: Array


def marks(
    weekly: pl.DataFrame,
    settings: MarkSettings | None = None,
    labels: pl.DataFrame | None = None,
    athletes: pl.DataFrame | None = None,
    until: date | None = None,
) -> pl.DataFrame:
    """Marks of every weekly figure.

    A mark describes an athlete's own usual range of logged work; it is no limit. Marks for a week rest on the weeks
    before it alone: a robust forecast, the squad's past scores around such forecasts, and a level that is corrected
    after each week so that in the long run the chosen share of weeks lies above the upper mark and the same share
    below the lower one. A week that the calendar names, and the week after it, are held against what weeks of that
    name have held in this squad, with a range as wide as that is uncertain; usual amounts are not learnt from a named
    week. A week with missing days lies
    beyond a mark only where they cannot change that; else its reason says that it may.

    Parameters
    ----------
    weekly : DataFrame
        `WEEKLY_FIGURE` table.
    settings : MarkSettings, optional
        Says which share of weeks lies above the upper mark.
    labels : DataFrame, optional
        `CALENDAR_LABEL` table.
    athletes : DataFrame, optional
        `ATHLETE` table; needed for labels of a single group.
    until : date, optional
        Last day that can be known; a week that it lies in is not over, and its reason says so.

    Returns
    -------
    DataFrame
        `MARK` table, one row per row of `weekly` in the same order. `tail` is at most the chosen share exactly where
        the week is above the upper mark.

    Notes
    -----
    Gibbs I, Candès E (2021). Adaptive conformal inference under distribution shift. NeurIPS 34.
    """
    weekly = WEEKLY_FIGURE.check(weekly, where="marks")
    if weekly.is_empty():
        return MARK.empty()
    named = labelled_weeks(labels, ATHLETE.empty() if athletes is None else athletes, weekly)
    grid = week_grid(weekly, named)
    found = mark_grid(grid, (settings or MarkSettings()).share)
    columns = {
        name: pl.Series(name, grid.rows(getattr(found, name)))
        for name in ("expected", "lower", "upper", "tail", "plain_tail", "weeks", "worked", "place", "reason")
    }
    not_over = pl.lit(False) if until is None else pl.col("monday") + timedelta(days=6) > until
    frame = weekly.select("athlete_id", "week", "channel", "known_days", not_over=not_over).with_columns(**columns)
    finite = [
        pl.when(pl.col(name).is_finite()).then(pl.col(name)).alias(name)
        for name in ("expected", "lower", "upper", "tail", "plain_tail")
    ]
    frame = frame.with_columns(
        *finite,
        place=pl.Series(PLACES, dtype=pl.Enum(PLACES)).gather(frame["place"].cast(pl.UInt32)),
        reason=_reason_words(),
    )
    return MARK.check(frame.drop("known_days", "not_over", "worked"), where="marks")


def next_week_marks(
    weekly: pl.DataFrame,
    settings: MarkSettings | None = None,
    labels: pl.DataFrame | None = None,
    athletes: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Marks of the week after the last one, to plan against.

    Parameters
    ----------
    weekly, settings, labels, athletes
        As for `marks`.

    Returns
    -------
    DataFrame
        `MARK` table with one row per athlete and channel that have a figure in the last week. No place is known.
    """
    weekly = WEEKLY_FIGURE.check(weekly, where="next week's marks")
    if weekly.is_empty():
        return MARK.empty()
    last = weekly.filter(pl.col("monday") == pl.col("monday").max())
    monday = pl.col("monday") + timedelta(days=7)
    ahead = last.select("athlete_id", "channel", monday=monday, week=monday.dt.strftime("%G-W%V"))
    counts = {name: pl.lit(0, pl.Int64) for name in ("known_days", "assumed_rest_days", "trained_days")}
    blank = pl.concat([WEEKLY_FIGURE.empty(), ahead.with_columns(**counts)], how="diagonal")
    marked = marks(pl.concat([weekly, blank]), settings, labels, athletes).tail(blank.height)
    known = pl.col("upper").is_not_null()
    return marked.with_columns(reason=pl.when(known).then(pl.lit(NOT_YET)).otherwise("reason"))


def mark_grid(grid: WeekGrid, share: float, cases: Array | None = None) -> MarkGrid:
    """Walk through the weeks: place each one, then learn from it.

    Parameters
    ----------
    grid : WeekGrid
        The weeks.
    share : float
        Share of usual weeks beyond a mark.
    cases : array, shape (case, week, pair), optional
        Other amounts: how each would have been judged had it been that pair's week. Nothing is learnt from them.
    """
    shape, channel, channels = grid.value.shape, grid.channel, grid.channels
    cases = np.empty((0, *shape)) if cases is None else np.sqrt(cases)
    found = _empty(shape, len(cases))
    found.worked[:], regularity = _recently_worked(grid)
    state, names = fresh_forecast(shape[1]), NameEffects(grid.names, channel, channels)
    above, below = ScorePool(channels * len(REGULARITY)), ScorePool(channels * len(REGULARITY))
    up, down = np.full(shape[1], share), np.full(shape[1], share)
    for week in range(shape[0]):
        usable, pool = grid.usable[week], channel * len(REGULARITY) + np.maximum(regularity[week], 0)
        plain = predict(state, channel, channels)
        level, scatter = names.expect(week, *plain)
        seen, most = np.sqrt(np.where(usable, grid.value[week], grid.low[week])), np.sqrt(grid.most[week])
        sure = np.sqrt(np.where(usable, grid.sure[week], grid.low[week]))
        score = _over(sure - level, scatter)
        ready = (state.weeks >= LEAST_WEEKS) & (regularity[week] >= 0) & (scatter > 0)
        upper = level + scatter * above.quantile(up, pool)
        far_upper = level + scatter * above.quantile(WELL_ABOVE * up, pool)
        lower = np.maximum(level - scatter * below.quantile(down, pool), 0.0)
        beyond, short = sure > upper, most < lower
        placed = ready & (usable | beyond)
        found.place[week] = np.select(
            [~placed, sure > far_upper, beyond, short], [_NOT_KNOWN, _WELL_ABOVE, _ABOVE, _BELOW], default=_WITHIN
        )
        found.reason[week] = np.select(
            [
                state.weeks < LEAST_WEEKS,
                ~ready,
                ~placed,
                np.isinf(upper),
                ~beyond & (most > upper),
                ~short & (sure < lower),
            ],
            [_TOO_FEW_WEEKS, _TOO_SELDOM, _TOO_FEW_DAYS, _NO_UPPER, _MAY_BE_ABOVE, _MAY_BE_BELOW],
            default=_NO_REASON,
        )
        # The pool's share is stretched by the pair's own correction, so that it passes the chosen share at the mark.
        stretch = share / np.maximum(up, np.finfo(float).tiny)
        found.tail[week] = np.where(placed, np.minimum(above.tail(score, pool) * stretch, 1.0), np.nan)
        named = placed & (grid.names.kind[week] > 0)
        if named.any():
            tail = np.minimum(above.tail(_over(sure - plain[0], plain[1]), pool) * stretch, 1.0)
            found.plain_tail[week] = np.where(named, tail, np.nan)
        for case, asked in enumerate(cases[:, week]):
            tail = np.minimum(above.tail(_over(asked - level, scatter), pool) * stretch, 1.0)
            found.case_tails[case, week] = np.where(ready, tail, np.nan)
        found.weeks[week] = state.weeks
        for name, edge in (("expected", level), ("lower", lower), ("upper", np.maximum(upper, 0.0))):
            getattr(found, name)[week] = np.where(ready, edge**2, np.nan)
        learnt = usable & ~grid.labelled[week]
        judged = usable & ready & (beyond | (most <= upper)) & (short | (sure >= lower))
        up = np.where(judged, next_level(up, beyond, share), up)
        down = np.where(judged, next_level(down, short, share), down)
        score = _over(seen - level, scatter)
        above.add(score, pool, learnt & ready)
        below.add(-score, pool, learnt & ready)
        names.learn(week, seen, plain[0], usable & (state.weeks >= LEAST_WEEKS))
        state = learn(state, np.nan_to_num(seen), learnt, channel, channels)
    return found


def _over(error: Array, scatter: Array) -> Array:
    return np.asarray(np.divide(error, scatter, out=np.full(len(scatter), np.nan), where=scatter > 0))


def _empty(shape: tuple[int, ...], cases: int) -> MarkGrid:
    def amounts() -> Array:
        return np.full(shape, np.nan)

    codes = [np.zeros(shape, dtype=np.int8) for _ in range(2)]
    counts = [np.zeros(shape, dtype=np.int64) for _ in range(2)]
    return MarkGrid(
        expected=amounts(), lower=amounts(), upper=amounts(), tail=amounts(), plain_tail=amounts(), place=codes[0],
        reason=codes[1], weeks=counts[0], worked=counts[1], case_tails=np.full((cases, *shape), np.nan),
    )  # fmt: skip


def _recently_worked(grid: WeekGrid) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Weeks with any of this work among the recent ones before each week, and how regular that is (-1: too seldom).

    Work that is done every week scatters otherwise than work that is sometimes left out, so each has its own pool of
    past scores.
    """

    def before(weeks: NDArray[np.bool_]) -> Array:
        counts = np.zeros(weeks.shape)
        counts[1:] = rolling_sum(weeks.astype(np.float64), RECENT_WEEKS)[:-1]
        return counts

    known, worked = before(grid.usable), before(grid.usable & (np.nan_to_num(grid.value) > 0))
    share = worked / np.maximum(known, 1.0)
    return worked.astype(np.int64), np.searchsorted(REGULARITY, share, side="right") - 1


def _reason_words() -> pl.Expr:
    reason = pl.col("reason")
    return (
        pl.when(reason == _TOO_FEW_WEEKS)
        .then(pl.format(f"{{}} of the {LEAST_WEEKS} known weeks that a usual range needs", pl.col("weeks")))
        .when(reason == _TOO_SELDOM)
        .then(
            pl.format(f"done in {{}} of the last {RECENT_WEEKS} weeks; too seldom for a usual range", pl.col("worked"))
        )
        .when((reason == _TOO_FEW_DAYS) & pl.col("not_over"))
        .then(pl.format("the week is not over: {} of its 7 days are known so far", pl.col("known_days")))
        .when(reason == _TOO_FEW_DAYS)
        .then(pl.format("only {} of 7 days are fully known", pl.col("known_days")))
        .when(reason == _NO_UPPER)
        .then(pl.lit("no upper mark this week: too many of the last weeks lay above it"))
        .when(reason == _MAY_BE_ABOVE)
        .then(pl.format("it may lie above: {} of 7 days are fully known", pl.col("known_days")))
        .when(reason == _MAY_BE_BELOW)
        .then(pl.format("it may lie below: {} of 7 days are fully known", pl.col("known_days")))
    )
