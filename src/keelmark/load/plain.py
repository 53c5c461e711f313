"""Weekly figures of point amounts alone, for many seasons at once: the windows of `weekly_figures`, without bounds.

Missing days are left out rather than drawn, nothing is told in words, and rows come block by block, so that memory does
not grow with the number of athletes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.dose.amounts import DayAmounts
from keelmark.load.block import RATIOS, week_change, window_figures
from keelmark.load.calendar import monday_of
from keelmark.load.cube import peak_channels
from keelmark.load.day_states import DayTable, day_table
from keelmark.load.gates import Earlier, WeekCounts, ratios_stand
from keelmark.load.rows import DoseRows
from keelmark.load.settings import LoadSettings
from keelmark.load.usual import past_weeks
from keelmark.load.windows import ENOUGH_KNOWN, weeks_to

__all__ = ["PLAIN_FIGURES", "USUAL_FIGURES", "calendar_of", "figures_of_days", "laid_out", "plain_figures"]

Array = NDArray[np.float64]

PLAIN_FIGURES = ("value", "acute", "chronic", *RATIOS, "change", "monotony", "strain")
USUAL_FIGURES = ("usual_low", "usual_middle", "usual_high")
BLOCK_CELLS = 1_200_000
"""Channel-days laid out at once."""
_EPOCH = date(1970, 1, 1)


def plain_figures(
    amounts: DayAmounts,
    athletes: pl.DataFrame,
    day_states: pl.DataFrame,
    settings: LoadSettings | None = None,
    *,
    usual: bool = False,
) -> Iterator[pl.DataFrame]:
    """Weekly figures of every athlete and channel that the athlete ever did, a block of athletes at a time.

    Describes logged training. Figures follow the same rules as those of `weekly_figures` and have the same bits where
    no day is missing; where days are, they rest on the known days.

    Parameters
    ----------
    amounts : DayAmounts
        From `daily_amounts`.
    athletes, day_states : DataFrame
        `ATHLETE` and `DAY_STATE` tables.
    settings : LoadSettings, optional
        Choices of the squad.
    usual : bool
        Whether to add the range of each athlete's own past weeks, see `past_weeks`.

    Yields
    ------
    DataFrame
        `athlete_id`, `channel`, `monday`, `PLAIN_FIGURES` and, if asked for, `USUAL_FIGURES`, empty where not given;
        sorted by week, athlete and channel.
    """
    settings = settings or LoadSettings()
    if not amounts.athletes:
        return
    if settings.until is not None:
        day_states = day_states.filter(pl.col("date") <= settings.until)
    days = calendar_of(amounts, athletes, day_states, settings)
    blocks = math.ceil(len(amounts.athletes) * len(days.rest) * len(amounts.channels) / BLOCK_CELLS)
    step = math.ceil(len(amounts.athletes) / blocks)
    for at in range(0, len(amounts.athletes), step):
        yield _block(amounts, days, at, min(at + step, len(amounts.athletes)), settings, usual)


def calendar_of(
    amounts: DayAmounts,
    athletes: pl.DataFrame,
    day_states: pl.DataFrame,
    settings: LoadSettings,
    *,
    monday: date | None = None,
    begun: NDArray[np.bool_] | None = None,
) -> DayTable:
    """The calendar of these athletes, as `weekly_figures` lays it out; from a Monday on, if one is given."""
    told = day_states.filter(pl.col("athlete_id").is_in(amounts.athletes))
    ends = [_EPOCH + timedelta(days=int(end)) for end in (amounts.day.min(), amounts.day.max())]
    ends += [day for day in (told["date"].min(), told["date"].max()) if isinstance(day, date)]
    first, latest = monday or monday_of(min(ends)), settings.until or max(ends)
    told = told.filter(pl.col("date") >= first)
    none = np.empty(0)
    here = np.asarray((amounts.day <= (latest - _EPOCH).days) & (amounts.day >= (first - _EPOCH).days))
    day = amounts.day[here] - (first - _EPOCH).days
    rows = DoseRows(
        ("tonnage",), day, amounts.athlete[here], np.zeros(len(day), dtype=np.int64), none, none, none, here[:0]
    )
    return day_table(rows, amounts.athletes, first, latest, athletes, told, settings, begun=begun)


def _block(
    amounts: DayAmounts, all_days: DayTable, first: int, last: int, settings: LoadSettings, usual: bool
) -> pl.DataFrame:
    days, peaks = all_days.of_athletes(first, last), peak_channels(amounts.channels)
    daily, part = laid_out(amounts, days, first, last)
    figures = figures_of_days(daily, part, days, peaks, settings, None)
    if usual:
        figures |= dict(zip(USUAL_FIGURES, past_weeks(figures["value"]), strict=True))
    return plain_frame(figures, amounts, days, first, last)


def figures_of_days(
    daily: Array,
    part: Array,
    days: DayTable,
    peaks: NDArray[np.bool_],
    settings: LoadSettings,
    before: tuple[Earlier, Array] | None,
) -> dict[str, Array]:
    """`PLAIN_FIGURES` of a block; arrays of shape (week, athlete, channel).

    Parameters
    ----------
    daily, part : arrays, shape (day, athlete, channel)
        From `laid_out`.
    days : DayTable
        Days of these athletes.
    peaks : bool array, shape (channel,)
        Channels that take the largest day of a week.
    settings : LoadSettings
        Choices of the squad.
    before : Earlier and weighted averages, optional
        What lies before the first day, where the block does not begin with the record.
    """
    whole, on_sunday = part is daily, settings.week_day == 7
    filled = part if whole else np.where(np.isnan(daily), part, daily)
    sums = _sum_of_days(_by_week(filled))
    value = _with_peaks(sums, filled, peaks)
    week = _by_week(daily) if on_sunday else weeks_to(daily, settings.week_day)
    known = ~np.isnan(week[:, :, :1, :1] if whole else week)
    counts = WeekCounts(_count(known), _count(week > 0))
    anchors = np.arange(days.weeks) * 7 + settings.week_day - 1
    stand = ratios_stand(daily, counts, days.sessions, anchors, peaks, whole=whole, earlier=before and before[0])
    totals = sums if whole and on_sunday else _sum_of_days(np.where(known, week, 0.0))
    figures = window_figures(
        daily,
        totals,
        counts.known,
        value,
        settings.week_day,
        settings.standard_deviation,
        whole=whole,
        start=None if before is None else before[1],
    )
    for name in RATIOS:
        figures[name] = np.where(stand, figures[name], np.nan)
    in_week = counts.known if on_sunday else _count(~np.isnan(_by_week(daily)))
    told = np.where(in_week >= ENOUGH_KNOWN * 7, value, np.nan)
    figures |= {"value": told, "change": week_change(value, in_week)}
    for name in ("acute", "chronic", "change", "monotony", "strain") if peaks.any() else ():
        figures[name] = np.where(peaks, np.nan, figures[name])
    return {name: np.asarray(figures[name], dtype=np.float64) for name in PLAIN_FIGURES}


def laid_out(amounts: DayAmounts, days: DayTable, first: int, last: int) -> tuple[Array, Array]:
    """Known amounts, shape (day, athlete, channel), NaN where a day is not fully known, and the known part of those."""
    shape = (len(days.rest), last - first, len(amounts.channels))
    some = slice(*np.searchsorted(amounts.athlete, [first, last]))
    day = amounts.day[some] - (days.first - _EPOCH).days
    here = (day >= 0) & (day < shape[0])
    at = (day[here], amounts.athlete[some][here] - first)
    daily = np.zeros(shape)
    daily[at] = amounts.amount[some][here]
    part = daily
    known = days.rest | days.efforts
    if amounts.untold is not None or days.partly.any() or not known.all():
        part = daily.copy()
        daily[~known | days.partly] = np.nan
        if amounts.untold is not None:
            untold = np.zeros(shape, dtype=bool)
            untold[at] = amounts.untold[some][here]
            daily[untold] = np.nan
    return daily, part


def _by_week(days: NDArray[Any]) -> NDArray[Any]:
    return days.reshape(-1, 7, *days.shape[1:])


def _with_peaks(sums: Array, daily: Array, peaks: NDArray[np.bool_]) -> Array:
    """The largest day of a week in place of the sum, for channels that are not added up."""
    if not peaks.any():
        return sums
    value = sums.copy()
    value[..., peaks] = _by_week(daily)[..., peaks].max(axis=1)
    return value


def _sum_of_days(week: Array) -> Array:
    """Days of each week added up one after another; shape (week, 7, ...) to (week, ...)."""
    total: Array = week[:, 0].copy()
    for day in range(1, 7):
        total += week[:, day]
    return total


def _count(days: NDArray[np.bool_]) -> Array:
    """How many days of each week; shape (week, 7, ...) to (week, ...)."""
    total = days[:, 0].astype(np.int8)
    for day in range(1, 7):
        total += days[:, day]
    return total.astype(np.float64)


def plain_frame(figures: dict[str, Array], amounts: DayAmounts, days: DayTable, first: int, last: int) -> pl.DataFrame:
    """One row per week of an athlete's record, athlete, and channel that the athlete ever did."""
    number = np.arange(days.weeks)[:, None]
    inside = (number >= days.first_week) & (number <= days.last_week)
    keep = inside[..., None] & amounts.pairs[first:last]
    everything = bool(keep.all())
    place = np.arange(keep.size) if everything else np.flatnonzero(keep)
    per_week = keep.shape[1] * keep.shape[2]
    week, pair = np.divmod(place.astype(np.int32), per_week)
    athlete, channel = np.divmod(pair, keep.shape[2])
    monday = (days.first - _EPOCH).days + 7 * week
    columns: dict[str, pl.Series] = {
        "athlete_id": _named(athlete + first, amounts.athletes),
        "channel": _named(channel, amounts.channels),
        "monday": pl.Series(monday, dtype=pl.Int32).cast(pl.Date),
    }
    for name, values in figures.items():
        flat = values.reshape(-1)
        columns[name] = pl.Series(flat if everything else flat[place])
    names = [name for name in (*PLAIN_FIGURES, *USUAL_FIGURES) if name in columns]
    return pl.DataFrame(columns).select("athlete_id", "channel", "monday", pl.col(names).fill_nan(None))


def _named(number: NDArray[np.int32], names: tuple[str, ...]) -> pl.Series:
    """Names by number, each kept once."""
    kind = pl.Enum(names)
    codes = pl.Series(number).cast(pl.Series([], dtype=kind).to_physical().dtype)
    return codes.cat.to(kind)
