"""What the rules say of drawn weeks: the same code that speaks to the coach, and a plain ratio rule beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.frames import PLACES
from keelmark.load.calendar import iso_week
from keelmark.load.cube import peak_channels
from keelmark.load.gates import LEAST_TRAINED_A_WEEK
from keelmark.load.windows import rolling_sum
from keelmark.marks.allowance import allowance_weights
from keelmark.marks.alone import departures
from keelmark.marks.athlete_weeks import athlete_shares
from keelmark.marks.cusum import tabular_cusum
from keelmark.marks.family import family, squad_shares
from keelmark.marks.grid import whole_grid
from keelmark.marks.named_weeks import WeekNames
from keelmark.marks.selection import NOTICE_WEEKS, selected
from keelmark.marks.settings import RATES, MarkSettings
from keelmark.marks.slow_rise import slow_rise_grid
from keelmark.marks.unchanged import DrawnWeeks, Pairs
from keelmark.marks.usual_range import mark_grid

__all__ = ["RATIO_LINE", "Plant", "Watched", "ratio_on_any_day", "watch"]

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
RATIO_LINE = 1.5
"""The line of the ratio rule that is measured for comparison; keelmark itself draws no line through a ratio."""
CUSUM_START, CUSUM_SLACK, CUSUM_LINE = 26, 0.5, 5.0
"""Weeks that the cumulative sum takes mean and spread from; its slack and line in that spread (common practice)."""
_MONDAY = date(2024, 1, 1)
_FACTS = ("tail", "share", "value", "expected", "lower", "upper")
_WITHIN, _ABOVE, _WELL_ABOVE = (PLACES.index(place) for place in ("within", "above", "well_above"))


@dataclass(frozen=True, slots=True)
class Plant:
    """A change put into drawn weeks: places of the week and of the pair."""

    week: int
    pair: int


@dataclass(frozen=True, slots=True)
class _Weeks:
    """Single weeks: columns of shape (week, pair), and the squad's tails, shape (week, channel)."""

    columns: dict[str, NDArray[np.generic]]
    squad: Array


@dataclass(frozen=True, slots=True)
class Watched:
    """What was said of each drawn week; flags of shape (week, pair).

    `judged` and `ratio_judged` say where the marks, and the ratio, speak at all. `weeks` and `slow` are the candidates
    of the two notice rules at the usual rate or a lower one, as `selected` takes them. `single` holds what the first
    of them are made of, and `cases` the same for amounts that were only asked about.
    """

    pairs: Pairs
    judged: Flags
    above: Flags
    well_above: Flags
    ratio_judged: Flags
    ratio: Flags
    cusum: Flags
    weeks: pl.DataFrame
    slow: pl.DataFrame
    single: _Weeks
    cases: tuple[_Weeks, ...]

    def told(self, settings: MarkSettings) -> pl.DataFrame:
        """Notices at some rates: athlete_id, number of the week, channel, with_it, slow, rank, within_budget."""
        found = selected(self.weeks, self.slow, settings)
        number = (pl.col("monday") - pl.lit(_MONDAY)).dt.total_days() // 7
        return found.with_columns(number=number)

    def with_plants(self, case: int, plants: Sequence[Plant]) -> Watched:
        """The same season with the amounts of a case in some weeks.

        Marks rest on earlier weeks alone, so that each planted week is judged as if it were the only one.
        """
        at = tuple(np.array([[plant.week, plant.pair] for plant in plants], dtype=np.int64).reshape(-1, 2).T)

        def put(own: NDArray[np.generic], other: NDArray[np.generic]) -> NDArray[np.generic]:
            changed = own.copy()
            changed[at] = other[at]
            return changed

        other = self.cases[case].columns
        columns = {name: put(values, other[name]) for name, values in self.single.columns.items()}
        place = np.asarray(columns["place"])
        return replace(
            self,
            above=self.judged & (place >= _ABOVE),
            well_above=self.judged & (place == _WELL_ABOVE),
            ratio=np.asarray(columns["ratio"], dtype=bool),
            weeks=_candidates(self.pairs, self.judged, columns, self.single.squad, RATES["week"]),
        )


def watch(
    drawn: DrawnWeeks,
    settings: MarkSettings,
    value: Array | None = None,
    changes: Sequence[float] = (),
    names: WeekNames | None = None,
) -> Watched:
    """Let the rules look at drawn weeks.

    Parameters
    ----------
    drawn : DrawnWeeks
        Weeks in which nothing changes.
    settings : MarkSettings
        Share of weeks above the mark.
    value : array, shape (week, pair), optional
        Amounts of the weeks after something was added to them; those drawn if not given.
    changes : sequence of float
        Cases asked about: each week with this part of a usual week on top.
    names : WeekNames, optional
        What the calendar calls the weeks.
    """
    amounts = drawn.value if value is None else value
    asked = np.array([amounts + change * drawn.value.mean(axis=0) for change in changes]).reshape(-1, *amounts.shape)
    grid = whole_grid(amounts, drawn.pairs.channel, names)
    marks = mark_grid(grid, settings.share, asked)
    judged = ~np.isnan(marks.tail) & (marks.weeks >= NOTICE_WEEKS)
    tails = np.where(judged, np.concatenate([np.fmax(marks.tail, marks.plain_tail)[None], marks.case_tails]), np.nan)
    found = departures(tails, drawn.pairs.channel, len(drawn.pairs.channels))
    peaks = peak_channels(drawn.pairs.channels)[drawn.pairs.channel]
    expected, upper = (np.where(judged, edge, np.nan) for edge in (marks.expected, marks.upper))
    weights = allowance_weights(expected, upper, peaks)
    shares = athlete_shares(found.alone, weights, drawn.pairs.athlete)
    edges = {"expected": marks.expected, "lower": marks.lower, "upper": marks.upper}
    ratio_judged, month = _month(amounts, drawn.worked)
    weeks = []
    for amount, tail, alone, share in zip([amounts, *asked], tails, found.alone, shares, strict=True):
        over = ratio_judged & (4.0 * amount > RATIO_LINE * (month - amounts + amount))
        place = np.where(tail <= settings.share, np.where(tail <= settings.share / 10, _WELL_ABOVE, _ABOVE), _WITHIN)
        columns = {"tail": alone, "share": share, "value": amount, "place": place, "ratio": over, **edges}
        weeks.append(_Weeks(columns, found.squad))
    place = np.asarray(weeks[0].columns["place"])
    return Watched(
        pairs=drawn.pairs,
        judged=judged,
        above=judged & (marks.tail <= settings.share),
        well_above=judged & (place == _WELL_ABOVE),
        ratio_judged=ratio_judged,
        ratio=np.asarray(weeks[0].columns["ratio"], dtype=bool),
        cusum=_cusum(amounts),
        weeks=_candidates(drawn.pairs, judged, weeks[0].columns, found.squad, RATES["week"]),
        slow=_slow(drawn.pairs, slow_rise_grid(grid, settings.share), settings.share, grid.names.kind == 0),
        single=weeks[0],
        cases=tuple(weeks[1:]),
    )


def _month(amounts: Array, worked: NDArray[np.int64]) -> tuple[Flags, Array]:
    """Where a coupled 7:28 ratio may be given on the weeks' last day, and the amount of the four weeks."""
    judged = rolling_sum(worked.astype(np.float64), 4) >= 4 * LEAST_TRAINED_A_WEEK
    judged[:NOTICE_WEEKS] = False
    return judged, rolling_sum(amounts, 4)


def _cusum(amounts: Array) -> Flags:
    """Weeks in which a cumulative sum over the first weeks' mean lies above its line, for each pair by itself."""
    first = np.sqrt(amounts[:CUSUM_START])
    spread = first.std(axis=0, ddof=1)
    scores = np.divide(np.sqrt(amounts) - first.mean(axis=0), spread, out=np.zeros_like(amounts), where=spread > 0)
    scores[:CUSUM_START] = 0.0
    return np.asarray(tabular_cusum(scores, 0.0, CUSUM_SLACK)[0] > CUSUM_LINE)


def ratio_on_any_day(drawn: DrawnWeeks) -> Flags:
    """Weeks with a coupled 7:28 ratio above the line on any of their days, however seldom the work is done."""
    days = drawn.days.reshape(-1, drawn.days.shape[2])
    above = 4.0 * rolling_sum(days, 7) > RATIO_LINE * rolling_sum(days, 28) * (1.0 + 1e-12)
    return np.asarray(above.reshape(drawn.days.shape).any(axis=1))


def _slow(pairs: Pairs, found: dict[str, Array], share: float, plain: Flags) -> pl.DataFrame:
    found = {name: np.where(plain, values, np.nan) for name, values in found.items()}
    split = departures(found["tail"][None], pairs.channel, len(pairs.channels))
    place = np.where(found["tail"] <= share, _ABOVE, _WITHIN)
    columns = {**found, "place": place}
    return _candidates(pairs, ~np.isnan(found["tail"]), columns, split.squad, RATES["slow"])


def _candidates(
    pairs: Pairs, which: Flags, columns: dict[str, NDArray[np.generic]], squad: Array, rate: float
) -> pl.DataFrame:
    mondays = [_MONDAY + timedelta(days=7 * number) for number in range(len(which))]

    def named(week: NDArray[np.int64], channel: NDArray[np.int64]) -> dict[str, pl.Series]:
        return {
            "week": pl.Series([iso_week(day) for day in mondays], dtype=pl.String).gather(week),
            "monday": pl.Series(mondays, dtype=pl.Date).gather(week),
            "channel": pl.Series(pairs.channels, dtype=pl.String).gather(channel),
        }

    week, pair = np.nonzero(which)
    place = pl.Series(PLACES, dtype=pl.String).gather(np.asarray(columns["place"])[week, pair].astype(np.uint32))
    rows = pl.DataFrame(
        {
            "athlete_id": pl.Series(pairs.athletes, dtype=pl.String).gather(pairs.athlete[pair]),
            **named(week, pairs.channel[pair]),
            **{name: columns[name][week, pair] for name in _FACTS if name in columns},
        }
    ).with_columns(place=place)
    at, channel = np.nonzero(~np.isnan(squad))
    told = {**named(at, channel), "tail": squad[at, channel]}
    if "share" in columns:
        told["share"] = squad_shares(squad)[at, channel]
    return family(rows, pl.DataFrame(told)).filter(pl.col("q_value") <= rate)
