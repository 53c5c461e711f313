"""Figures of weeks with missing days: the middle and the width over the likely amounts of those days."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from keelmark.load.ewma import smoothing_factor
from keelmark.load.imputation import DRAWS, MissingDays
from keelmark.load.monotony import monotony, strain
from keelmark.load.ratios import quotient
from keelmark.load.windows import ENOUGH_KNOWN, rolling_sum, weeks_to

__all__ = ["LIKELY", "RANGED", "Ranges", "figure_ranges", "ranged"]

Array = NDArray[np.float64]

LIKELY = (0.05, 0.95)
"""Ends of a range: nine in ten of the drawn weeks lie between them."""
RANGED = ("acute", "chronic", "ratio_coupled", "ratio_uncoupled", "ratio_ewma", "change", "monotony", "strain")
"""Figures that get a range, beside the week's amount."""
CELLS = 4_000_000
"""Largest number of drawn channel-days laid out at once."""


class Ranges:
    """Middle, lower and upper end of each figure; arrays of shape (week, athlete, channel), NaN where no missing day
    was filled in the figure's window, or where one could not be."""

    def __init__(self, shape: tuple[int, ...]) -> None:
        self.filled = np.zeros(shape, dtype=bool)
        self.middle = {name: np.full(shape, np.nan) for name in ("value", *RANGED)}
        self.low = {name: np.full(shape, np.nan) for name in ("value", *RANGED)}
        self.high = {name: np.full(shape, np.nan) for name in ("value", *RANGED)}

    def put(self, name: str, athlete: list[int], drawn: Array, where: NDArray[np.bool_]) -> None:
        """Take the drawn values of the cells where a day was filled, shape (cell, draw), in the order of `where`."""
        some = np.sort(drawn, axis=1)
        ends = np.array(LIKELY) * (DRAWS - 1)
        under = ends.astype(np.int64)
        parts = some[:, under] + (ends - under) * (some[:, under + 1] - some[:, under])
        week, place, channel = np.nonzero(where)
        at = (week, np.array(athlete)[place], channel)
        self.middle[name][at] = some.mean(axis=1)
        self.low[name][at], self.high[name][at] = parts[:, 0], parts[:, 1]


def figure_ranges(
    daily: Array,
    missing: list[MissingDays],
    peaks: NDArray[np.bool_],
    week_day: int,
    standard_deviation: Literal["sample", "population"],
) -> Ranges | None:
    """Work the figures out once for each draw of the missing days.

    Parameters
    ----------
    daily : array, shape (day, athlete, channel)
        Amounts, NaN where not known.
    missing : list of MissingDays
        Draws of the athletes with days to fill.
    peaks : bool array, shape (channel,)
        Channels whose days are not added up.
    week_day : int
        ISO weekday on which windows close.
    standard_deviation : "sample" or "population"
        Which one monotony divides by.

    Returns
    -------
    Ranges, or None where no day was filled.
    """
    if not missing:
        return None
    found = Ranges((len(daily) // 7, *daily.shape[1:]))
    for some in _portions(missing, daily.shape[0] * daily.shape[2] * DRAWS // 7):
        drawn = _Drawn(daily, some)
        _week_ranges(found, drawn, peaks, standard_deviation)
        _window_ranges(found, drawn, week_day)
    return found


def ranged(
    figures: dict[str, NDArray[np.generic]], ranges: Ranges, high_on_record: Array, peaks: NDArray[np.bool_]
) -> dict[str, NDArray[np.generic]]:
    """Figures whose windows hold a filled day, put in the middle of their range, with its ends.

    What is withheld stays withheld. An amount with a missing day that could not be filled is withheld too.

    Parameters
    ----------
    figures : dict
        Arrays of shape (week, athlete, channel) by column.
    ranges : Ranges
        From `figure_ranges`.
    high_on_record : array, same shape
        Upper bound of what is on record, NaN where open.
    peaks : bool array, shape (channel,)
        Channels whose days are not added up.
    """
    changed: dict[str, NDArray[np.generic]] = {}
    given = ranges.filled & (np.asarray(figures["known_days"], dtype=np.int64) >= ENOUGH_KNOWN * 7)
    on_record = np.asarray(figures["on_record"], dtype=np.float64)
    value = np.where(np.isnan(ranges.middle["value"]), np.nan, np.fmax(ranges.middle["value"], on_record))
    at_most = np.maximum(ranges.high["value"], value)
    done = np.nan_to_num(on_record)
    added = np.where(peaks, np.maximum(high_on_record, at_most), at_most + (high_on_record - done))
    changed["value"] = np.where(given, value, figures["value"])
    changed["at_most"] = np.where(given, at_most, figures["at_most"])
    changed["high"] = np.where(given, np.where(np.isnan(on_record), at_most, added), figures["high"])
    changed["low"] = np.where(given & np.isnan(on_record) & ~np.isnan(at_most), 0.0, figures["low"])
    for name in RANGED:
        plain = np.asarray(figures[name], dtype=np.float64)
        there = ~np.isnan(plain) & ~np.isnan(ranges.middle[name])
        changed[name] = np.where(there, ranges.middle[name], plain)
        changed[f"{name}_low"] = np.where(there, ranges.low[name], np.nan)
        changed[f"{name}_high"] = np.where(there, ranges.high[name], np.nan)
    return changed


def _portions(missing: list[MissingDays], cells: int) -> Iterator[list[MissingDays]]:
    step = max(1, CELLS // cells)
    return (missing[at : at + step] for at in range(0, len(missing), step))


class _Drawn:
    """Days of some athletes with what was drawn for the missing ones, kept apart, since few days are missing.

    `plain` and `fresh`, shape (day, athlete, channel), hold the known amounts and the places that were filled; `day`,
    `place` and `amounts`, shape (filled,) and (filled, channel, draw), the draws, 0 where a channel was not filled.
    """

    def __init__(self, daily: Array, some: list[MissingDays]) -> None:
        self.athletes = [one.athlete for one in some]
        self.plain = daily[:, self.athletes]
        self.day = np.concatenate([one.days for one in some])
        self.place = np.repeat(np.arange(len(some)), [len(one.days) for one in some])
        amounts = np.concatenate([one.amounts for one in some])
        open_before = np.isnan(self.plain[self.day, self.place])
        self.fresh = np.zeros(self.plain.shape, dtype=bool)
        self.fresh[self.day, self.place] = open_before
        self.told = ~np.isnan(self.plain)
        self.told[self.day, self.place] |= ~np.isnan(amounts[..., 0])
        self.amounts = np.where(open_before[..., None], amounts, 0.0)

    def summed(self, base: Array, row: NDArray[np.int64], weight: Array | None = None) -> Array:
        """Sums of weeks for each draw: those of the known days, shape (week, athlete, channel), and the drawn ones."""
        total = np.repeat(base[..., None], DRAWS, axis=3)
        amounts = np.nan_to_num(self.amounts) if weight is None else np.nan_to_num(self.amounts) * weight[..., None]
        inside = np.flatnonzero(row < len(base))
        turn = _turns(row[inside] * base.shape[1] + self.place[inside])
        for number in range(int(turn.max(initial=-1)) + 1):
            now = inside[turn == number]
            total[row[now], self.place[now]] += amounts[now]
        return total


def _week_ranges(
    found: Ranges, drawn: _Drawn, peaks: NDArray[np.bool_], standard_deviation: Literal["sample", "population"]
) -> None:
    """Amount, change, monotony and strain, by ISO week."""
    week = drawn.plain.reshape(-1, 7, *drawn.plain.shape[1:])
    filled = np.asarray(drawn.fresh.reshape(week.shape).any(axis=1))
    found.filled[:, drawn.athletes] = filled
    sums = week.sum(axis=1)
    sums[..., peaks] = week[..., peaks].max(axis=1)
    row, place = np.nonzero(filled.any(axis=2))
    days = np.repeat(week[row, :, place][..., None], DRAWS, axis=3)
    at = np.full(filled.shape[:2], -1)
    at[row, place] = np.arange(len(row))
    cell, weekday = at[drawn.day // 7, drawn.place], drawn.day % 7
    there = cell >= 0
    now = days[cell[there], weekday[there]]
    days[cell[there], weekday[there]] = np.where(np.isnan(now), drawn.amounts[there], now)
    value = np.repeat(sums[..., None], DRAWS, axis=3)
    of_filled = days.sum(axis=1)
    of_filled[:, peaks] = days[:, :, peaks].max(axis=1)
    value[row, place] = of_filled
    of_weeks = filled[row, place]
    alike = _monotony(np.moveaxis(days, 1, 0)[:, of_weeks], standard_deviation)
    found.put("value", drawn.athletes, of_filled[of_weeks], filled)
    found.put("monotony", drawn.athletes, alike, filled)
    found.put("strain", drawn.athletes, strain(of_filled[of_weeks], alike), filled)
    either = filled.copy()
    either[1:] |= filled[:-1]
    either[0] = False
    week_at, *rest = np.nonzero(either)
    change = quotient(value[week_at, *rest], value[week_at - 1, *rest]) - 1.0
    found.put("change", drawn.athletes, change, either)


def _monotony(days: Array, standard_deviation: Literal["sample", "population"]) -> Array:
    """Monotony of each cell and draw; days of shape (7, cell, draw), most of them with no gap left."""
    found = np.empty(days.shape[1:])
    open_still = np.asarray(np.isnan(days).any(axis=(0, 2)))
    for some, whole in ((~open_still, True), (open_still, False)):
        found[some] = monotony(days[:, some], standard_deviation, whole=whole)
    return found


def _turns(places: NDArray[np.int64]) -> NDArray[np.int64]:
    """How many times each place stood before, in the order given, so that sums go in that order."""
    order = np.argsort(places, kind="stable")
    ordered = places[order]
    begins = np.flatnonzero(np.diff(ordered, prepend=-1))
    turn = np.empty_like(order)
    turn[order] = np.arange(len(order)) - np.repeat(begins, np.diff(begins, append=len(order)))
    return turn


def _window_ranges(found: Ranges, drawn: _Drawn, week_day: int) -> None:
    """Means and ratios on the fixed weekday of each week; days before the record count as not there."""
    anchors = np.arange(len(drawn.plain) // 7) * 7 + week_day - 1
    row = (drawn.day + 7 - week_day) // 7
    base = np.nansum(weeks_to(drawn.plain, week_day), axis=1)
    totals = drawn.summed(base, row)
    count = np.nansum(weeks_to(drawn.told.astype(np.float64), week_day), axis=1)
    filled = np.nansum(weeks_to(drawn.fresh.astype(np.float64), week_day), axis=1) > 0
    in_month = rolling_sum(filled.astype(np.float64), 4) > 0
    found.put("acute", drawn.athletes, _mean(totals[filled], count[filled]), filled)
    week, *rest = np.nonzero(in_month)
    now = _mean(totals[in_month], count[in_month])
    chronic = _mean(rolling_sum(totals, 4)[in_month], rolling_sum(count, 4)[in_month])
    earlier = np.maximum(week - 1, 0), *rest
    before = _mean(rolling_sum(totals, 3)[earlier], rolling_sum(count, 3)[earlier])
    before[week == 0] = np.nan
    found.put("chronic", drawn.athletes, chronic, in_month)
    found.put("ratio_coupled", drawn.athletes, quotient(now, chronic), in_month)
    found.put("ratio_uncoupled", drawn.athletes, quotient(now, before), in_month)
    fast, slow = (_weighted(drawn, smoothing_factor(span), anchors, row)[in_month] for span in (7, 28))
    found.put("ratio_ewma", drawn.athletes, quotient(fast, slow), in_month)


def _weighted(drawn: _Drawn, weight: float, anchors: NDArray[np.int64], row: NDArray[np.int64]) -> Array:
    """Exponentially weighted averages on the anchors for each draw, shape (week, athlete, channel, draw); see `ewma`.

    Such an average is a weighted sum of days, so that what was drawn is added to what is known, week by week.
    """
    told = drawn.told
    seen = np.cumsum(told, axis=0, dtype=np.int64)
    last = anchors[np.minimum((np.arange(len(told)) + 6 - anchors[0]) // 7, len(anchors) - 1)]
    after = np.maximum(seen[last] - seen, 0)
    first = told & (seen == 1)
    share = np.where(told, np.where(first, 1.0, weight) * (1.0 - weight) ** after, 0.0)
    share[anchors[-1] + 1 :] = 0.0
    at_anchor = seen[anchors]
    kept = (1.0 - weight) ** np.diff(at_anchor, axis=0, prepend=0)
    known = np.where(np.isnan(drawn.plain), 0.0, drawn.plain) * share
    base = np.stack([part.sum(axis=0) for part in np.split(known[: anchors[-1] + 1], anchors[:-1] + 1)])
    averages = drawn.summed(base, row, share[drawn.day, drawn.place])
    for number in range(1, len(averages)):
        averages[number] += kept[number][..., None] * averages[number - 1]
    averages[at_anchor == 0] = np.nan
    return averages


def _mean(totals: Array, count: Array) -> Array:
    mean = np.full_like(totals, np.nan)
    np.divide(totals, count[..., None], out=mean, where=count[..., None] > 0)
    return mean
