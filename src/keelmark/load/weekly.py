"""Weekly figures of every athlete and channel: amount with bounds, ratios, change, monotony, strain."""

from __future__ import annotations

from datetime import date

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, DAY_STATE, WEEKLY_FIGURE
from keelmark.load.block import RATIOS, Figures, week_change, window_figures
from keelmark.load.calendar import iso_week, monday_of
from keelmark.load.cube import DoseCube, dose_cube, peak_channels
from keelmark.load.day_states import DayTable, day_table
from keelmark.load.gates import Gates, WeekCounts, gate_words, gates
from keelmark.load.group_days import GroupDays, group_days
from keelmark.load.imputation import missing_days, to_fill
from keelmark.load.ranges import RANGED, figure_ranges, ranged
from keelmark.load.rows import DoseRows, dose_rows
from keelmark.load.settings import LoadSettings
from keelmark.load.windows import ENOUGH_KNOWN, weeks_to

__all__ = ["weekly_figures"]

BLOCK_CELLS = 1_000_000
"""Largest number of channel-days laid out at once; keeps memory bounded whatever the size of the squad."""


def weekly_figures(
    daily: pl.DataFrame,
    athletes: pl.DataFrame,
    day_states: pl.DataFrame,
    settings: LoadSettings | None = None,
    *,
    first: date | None = None,
) -> pl.DataFrame:
    """Weekly figures of every athlete and every channel that the athlete ever did.

    Describes logged training. No figure is given where fewer than three quarters of its days are known. Up to there
    missing days are drawn from the session's group and the athlete's own history: each figure is the mean over the
    draws, with a range; `on_record` holds the known days alone. Ratios stand in the row of the week in which the fixed
    weekday lies.

    Parameters
    ----------
    daily, athletes, day_states : DataFrame
        `DAILY_DOSE`, `ATHLETE` and `DAY_STATE` tables.
    settings : LoadSettings, optional
        Choices of the squad.
    first : date, optional
        A day of the first week of the calendar, where these are some of a squad's athletes; else the first on record.

    Returns
    -------
    DataFrame
        `WEEKLY_FIGURE` table, sorted by athlete, channel (in the order of the contract) and week, from the athlete's
        first record to the end of the record.
    """
    where, settings = "weekly figures", settings or LoadSettings()
    daily = DAILY_DOSE.check(daily, where=where)
    athletes, day_states = ATHLETE.check(athletes, where=where), DAY_STATE.check(day_states, where=where)
    if settings.until is not None:
        daily, day_states = (frame.filter(pl.col("date") <= settings.until) for frame in (daily, day_states))
    if daily.is_empty() and day_states.is_empty():
        return WEEKLY_FIGURE.empty()
    names = tuple(pl.concat([daily["athlete_id"].unique(), day_states["athlete_id"].unique()]).unique().sort())
    begins, latest = _span(daily, day_states, settings.until)
    begins = min(begins, monday_of(first or begins))
    rows = dose_rows(daily, names, begins)
    days = day_table(rows, names, begins, latest, athletes, day_states, settings)
    group = group_days(rows, days, athletes)
    step = max(1, BLOCK_CELLS // (len(days.rest) * max(1, len(rows.channels))))
    blocks = [
        _block(
            rows.of_athletes(at, at + step), days.of_athletes(at, at + step), group.of_athletes(at, at + step), settings
        )
        for at in range(0, len(names), step)
    ]
    return WEEKLY_FIGURE.check(pl.concat(blocks), where=where)


def _span(daily: pl.DataFrame, day_states: pl.DataFrame, until: date | None) -> tuple[date, date]:
    """The Monday of the first day on record, and the last day that can be known."""
    dates = [day for frame in (daily, day_states) if frame.height for day in (frame["date"].min(), frame["date"].max())]
    known = [day for day in dates if isinstance(day, date)]
    return monday_of(min(known)), until or max(known)


def _block(rows: DoseRows, days: DayTable, group: GroupDays, settings: LoadSettings) -> pl.DataFrame:
    cube = dose_cube(rows, days)
    anchors = np.arange(days.weeks) * 7 + settings.week_day - 1
    week = weeks_to(cube.daily, settings.week_day)
    known = ~np.isnan(week)
    counts = WeekCounts(
        known=known.sum(axis=1, dtype=np.float64), worked=(np.where(known, week, 0.0) > 0).sum(axis=1, dtype=np.float64)
    )
    last_day = None if settings.until is None else (settings.until - days.first).days
    gate = gates(cube.daily, counts, days.sessions, anchors, peak_channels(rows.channels), last_day)
    totals = np.where(known, week, 0.0).sum(axis=1)
    figures = _figures(cube, days, gate, totals, _spoken(cube, counts, settings), settings)
    last = len(cube.daily) - 1 if last_day is None else last_day
    missing = missing_days(cube, days, group, to_fill(cube.daily, days, last, settings.week_day))
    peaks = peak_channels(rows.channels)
    ranges = figure_ranges(cube.daily, missing, peaks, settings.week_day, settings.standard_deviation)
    if ranges is not None:
        figures |= ranged(figures, ranges, cube.weekly.high, peaks)
    return _frame(figures, gate, cube, rows.channels, days, last)


def _spoken(cube: DoseCube, counts: WeekCounts, settings: LoadSettings) -> NDArray[np.float64]:
    """Known days of each week that a mean may rest on: none where rest days are all that is known of a trained week."""
    untold = np.nansum(weeks_to(cube.untold.astype(np.float64), settings.week_day), axis=1) > 0
    return np.where(untold & (counts.worked == 0), 0.0, counts.known)


def _figures(
    cube: DoseCube,
    days: DayTable,
    gate: Gates,
    totals: NDArray[np.float64],
    known_days: NDArray[np.float64],
    settings: LoadSettings,
) -> Figures:
    """Arrays of shape (week, athlete, channel), one for each column."""
    iso = cube.daily.reshape(days.weeks, 7, *cube.daily.shape[1:])
    known = (~np.isnan(iso)).sum(axis=1)
    value = cube.weekly.value
    windows = window_figures(cube.daily, totals, known_days, value, settings.week_day, settings.standard_deviation)
    assumed = days.assumed.reshape(days.weeks, 7, -1).sum(axis=1)
    return {
        "value": np.where(known >= ENOUGH_KNOWN * 7, value, np.nan),
        "on_record": value,
        "at_most": np.where(cube.weekly.whole, value, np.nan),
        "low": cube.weekly.low,
        "high": np.where(cube.weekly.whole, cube.weekly.high, np.nan),
        "known_days": known,
        "assumed_rest_days": np.broadcast_to(assumed[..., None], value.shape),
        "trained_days": cube.weekly.trained_days,
        **{name: np.where(gate.open, windows[name], np.nan) for name in RATIOS},
        **{name: windows[name] for name in ("acute", "chronic", "monotony", "strain")},
        "change": week_change(value, known),
    }


def _frame(
    figures: Figures, gate: Gates, cube: DoseCube, channels: tuple[str, ...], days: DayTable, last_day: int
) -> pl.DataFrame:
    """One row per athlete, channel that the athlete ever did, and week of the athlete's record."""
    week = np.arange(days.weeks)[:, None]
    inside = (week >= days.first_week) & (week <= days.last_week)
    athlete, channel, row = np.nonzero((inside[..., None] & cube.pairs).transpose(1, 2, 0))
    mondays = [days.monday(number) for number in range(days.weeks)]
    cells = (row, athlete, channel)
    columns = {
        "athlete_id": pl.Series(days.athletes, dtype=pl.String).gather(athlete),
        "week": pl.Series([iso_week(monday) for monday in mondays], dtype=pl.String).gather(row),
        "monday": pl.Series(mondays, dtype=pl.Date).gather(row),
        "channel": pl.Series(channels, dtype=pl.String).gather(channel),
        **{name: pl.Series(values[cells], nan_to_null=True) for name, values in figures.items()},
        "gate": gate_words(gate, cells),
    }
    peak = pl.Series("peak", peak_channels(channels), dtype=pl.Boolean).gather(channel)
    frame = pl.DataFrame(columns).with_columns(peak, not_over=pl.Series(7 * row + 6 > last_day, dtype=pl.Boolean))
    ends = [f"{name}_{end}" for name in RANGED for end in ("low", "high")]
    frame = frame.with_columns(pl.lit(None, pl.Float64).alias(name) for name in ends if name not in figures)
    summed = [pl.when(~pl.col("peak")).then(name).alias(name) for name in _SUMMED if name in figures]
    return frame.with_columns(summed).with_columns(_monotony_gate(), _value_gate()).select(WEEKLY_FIGURE.names)


_SUMMED = [
    name + end
    for name in ("acute", "chronic", "change", "monotony", "strain")
    for end in ("", "_low", "_high")
    if name + end != "change"
]
"""Figures that a largest value does not have."""


def _value_gate() -> pl.Expr:
    known = pl.col("known_days")
    return (
        pl.when(pl.col("value").is_not_null())
        .then(None)
        .when((known < ENOUGH_KNOWN * 7) & pl.col("not_over"))
        .then(pl.format("the week is not over: {} of its 7 days are known so far", known))
        .when(known < ENOUGH_KNOWN * 7)
        .then(pl.format("only {} of 7 days are fully known", known))
        .otherwise(pl.lit("no day with this work has a known amount"))
        .alias("value_gate")
    )


def _monotony_gate() -> pl.Expr:
    known = pl.col("known_days")
    return (
        pl.when(pl.col("monotony").is_not_null())
        .then(None)
        .when("peak")
        .then(pl.lit("a largest value is not added up, so it has no monotony"))
        .when(known < ENOUGH_KNOWN * 7)
        .then(pl.format("only {} of 7 days are fully known", known))
        .otherwise(pl.lit("all known days are alike, so there is no spread to divide by"))
        .alias("monotony_gate")
    )
