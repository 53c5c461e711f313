"""Weekly figures of every athlete and channel: amount with bounds, ratios, change, monotony, strain."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, DAY_STATE, WEEKLY_FIGURE
from keelmark.load.calendar import iso_week
from keelmark.load.cube import DoseCube, channels_of, dose_cube
from keelmark.load.day_states import DayTable, day_of, day_table
from keelmark.load.ewma import ewma, smoothing_factor
from keelmark.load.gates import gate_words, gates
from keelmark.load.monotony import monotony, strain
from keelmark.load.ratios import quotient, uncoupled_chronic
from keelmark.load.settings import LoadSettings
from keelmark.load.windows import ENOUGH_KNOWN, rolling_mean

__all__ = ["weekly_figures"]

BLOCK_CELLS = 4_000_000
"""Largest number of channel-days laid out at once; keeps memory bounded whatever the size of the squad."""

Figures = dict[str, NDArray[np.generic]]


def weekly_figures(
    daily: pl.DataFrame,
    athletes: pl.DataFrame,
    day_states: pl.DataFrame,
    settings: LoadSettings | None = None,
) -> pl.DataFrame:
    """Weekly figures of every athlete and every channel that the athlete ever did.

    Describes logged training. Windows need three quarters of their days known; means are over known days, and sums are
    not scaled up to the days that are missing: `value` and `low` hold what is known, and `high` is empty unless all
    seven days are known. Ratios stand in the row of the week in which the fixed weekday lies.

    Parameters
    ----------
    daily, athletes, day_states : DataFrame
        `DAILY_DOSE`, `ATHLETE` and `DAY_STATE` tables.
    settings : LoadSettings, optional
        Choices of the squad.

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
        daily = daily.filter(pl.col("date") <= settings.until)
    days = day_table(daily, athletes, day_states, settings)
    if days is None:
        return WEEKLY_FIGURE.empty()
    channels = channels_of(daily)
    step = max(1, BLOCK_CELLS // (len(days.rest) * max(1, len(channels))))
    blocks = [
        _block(daily, days, channels, slice(at, at + step), settings) for at in range(0, len(days.athletes), step)
    ]
    return WEEKLY_FIGURE.check(pl.concat(blocks), where=where)


def _block(
    daily: pl.DataFrame, days: DayTable, channels: tuple[str, ...], some: slice, settings: LoadSettings
) -> pl.DataFrame:
    chosen = replace(
        days,
        athletes=days.athletes[some],
        **{name: getattr(days, name)[:, some] for name in ("efforts", "sessions", "rest", "assumed")},
        first_week=days.first_week[some],
        last_week=days.last_week[some],
    )
    own = daily if len(chosen.athletes) == len(days.athletes) else _rows_of(daily, chosen.athletes)
    cube = dose_cube(own, chosen, channels)
    return _frame(_figures(cube, chosen, settings), cube, chosen)


def _rows_of(daily: pl.DataFrame, athletes: tuple[str, ...]) -> pl.DataFrame:
    return daily.filter(pl.col("athlete_id").is_in(athletes))


def _figures(cube: DoseCube, days: DayTable, settings: LoadSettings) -> Figures:
    """Arrays of shape (week, athlete, channel), one for each column."""
    anchors = np.arange(days.weeks) * 7 + settings.week_day - 1
    peaks = np.array([CHANNEL_BY_KEY[key].gather == "max" for key in cube.channels])
    gate = gates(cube.daily, days.sessions, anchors, peaks)
    week = cube.daily.reshape(days.weeks, 7, *cube.daily.shape[1:])
    known = (~np.isnan(week)).sum(axis=1)
    assumed = days.assumed.reshape(days.weeks, 7, -1).sum(axis=1)
    acute, chronic = rolling_mean(cube.daily, 7)[anchors], rolling_mean(cube.daily, 28)[anchors]
    earlier = uncoupled_chronic(rolling_mean(cube.daily, 21))[anchors]
    weighted = [ewma(cube.daily, smoothing_factor(span))[anchors] for span in (7, 28)]
    value = cube.weekly.value
    alike = monotony(np.moveaxis(week, 1, 0), settings.standard_deviation)
    adds_up = ~np.broadcast_to(peaks, value.shape)
    return {
        "value": value,
        "low": cube.weekly.low,
        "high": cube.weekly.high,
        "known_days": known,
        "assumed_rest_days": np.broadcast_to(assumed[..., None], value.shape),
        "trained_days": cube.weekly.trained_days,
        "acute": np.where(adds_up, acute, np.nan),
        "chronic": np.where(adds_up, chronic, np.nan),
        "ratio_coupled": np.where(gate.open, quotient(acute, chronic), np.nan),
        "ratio_uncoupled": np.where(gate.open, quotient(acute, earlier), np.nan),
        "ratio_ewma": np.where(gate.open, quotient(*weighted), np.nan),
        "change": _change(value, known),
        "monotony": np.where(adds_up, alike, np.nan),
        "strain": np.where(adds_up, strain(value, alike), np.nan),
        "gate_code": gate.code,
        "gate_count": gate.count,
    }


def _change(value: NDArray[np.float64], known: NDArray[np.int64]) -> NDArray[np.float64]:
    """This week over the week before, minus 1, where both are known well enough."""
    enough = np.where(known >= ENOUGH_KNOWN * 7, value, np.nan)
    change = np.full_like(value, np.nan)
    change[1:] = quotient(enough[1:], enough[:-1]) - 1.0
    return change


def _frame(figures: Figures, cube: DoseCube, days: DayTable) -> pl.DataFrame:
    """One row per athlete, channel that the athlete ever did, and week of the athlete's record."""
    week = np.arange(days.weeks)[:, None]
    inside = (week >= days.first_week) & (week <= days.last_week)
    athlete, channel, row = np.nonzero((inside[..., None] & cube.pairs).transpose(1, 2, 0))
    mondays = pl.Series([day_of(days.first, 7 * number) for number in range(days.weeks)], dtype=pl.Date)
    names = pl.Series([iso_week(monday) for monday in mondays], dtype=pl.String)
    columns = {
        "athlete_id": pl.Series(days.athletes, dtype=pl.String).gather(athlete),
        "week": names.gather(row),
        "monday": mondays.gather(row),
        "channel": pl.Series(cube.channels, dtype=pl.String).gather(channel),
        **{name: pl.Series(values[row, athlete, channel]) for name, values in figures.items()},
    }
    frame = pl.DataFrame(columns).with_columns(gate=gate_words(pl.col("gate_code"), pl.col("gate_count")))
    return frame.drop("gate_code", "gate_count").with_columns(pl.col(pl.Float64).fill_nan(None))
