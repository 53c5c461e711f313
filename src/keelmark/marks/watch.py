"""What the rules say of drawn weeks: the same code that speaks to the coach, and a plain ratio rule beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.frames import PLACES
from keelmark.load.calendar import iso_week
from keelmark.load.gates import LEAST_TRAINED_A_WEEK
from keelmark.load.windows import rolling_sum
from keelmark.marks.discoveries import adjusted_shares
from keelmark.marks.grid import whole_grid
from keelmark.marks.selection import NOTICE_WEEKS, selected
from keelmark.marks.settings import RATE, MarkSettings
from keelmark.marks.slow_rise import slow_rise_grid
from keelmark.marks.unchanged import DrawnWeeks, Pairs
from keelmark.marks.usual_range import MarkGrid, mark_grid

__all__ = ["RATIO_LINE", "Watched", "ratio_on_any_day", "watch"]

Flags = NDArray[np.bool_]
RATIO_LINE = 1.5
"""The line of the ratio rule that is measured for comparison; keelmark itself draws no line through a ratio."""
_MONDAY = date(2024, 1, 1)
_ABOVE, _WELL_ABOVE = PLACES.index("above"), PLACES.index("well_above")


@dataclass(frozen=True, slots=True)
class Watched:
    """What was said of each drawn week; flags of shape (week, pair).

    `judged` and `ratio_judged` say where the marks, and the ratio, speak at all. `weeks` and `slow` are the candidates
    of the two notice rules at the usual rate or a lower one, as `selected` takes them.
    """

    pairs: Pairs
    judged: Flags
    above: Flags
    well_above: Flags
    ratio_judged: Flags
    ratio: Flags
    weeks: pl.DataFrame
    slow: pl.DataFrame

    def told(self, settings: MarkSettings) -> pl.DataFrame:
        """Notices at some rates: athlete_id, number of the week, channel, with_it, slow, rank, within_budget."""
        found = selected(self.weeks, self.slow, settings)
        number = (pl.col("monday") - pl.lit(_MONDAY)).dt.total_days() // 7
        return found.with_columns(number=number)


def watch(drawn: DrawnWeeks, settings: MarkSettings, value: NDArray[np.float64] | None = None) -> Watched:
    """Let the rules look at drawn weeks.

    Parameters
    ----------
    drawn : DrawnWeeks
        Weeks in which nothing changes.
    settings : MarkSettings
        Share of weeks above the mark.
    value : array, shape (week, pair), optional
        Amounts of the weeks after something was added to them; those drawn if not given.
    """
    amounts = drawn.value if value is None else value
    grid = whole_grid(amounts, drawn.pairs.channel)
    marks = mark_grid(grid, settings.share)
    judged = ~np.isnan(marks.tail) & (marks.weeks >= NOTICE_WEEKS)
    ratio_judged, ratio = _ratio(amounts, drawn.worked)
    far = marks.place == _WELL_ABOVE
    return Watched(
        pairs=drawn.pairs,
        judged=judged,
        above=judged & (far | (marks.place == _ABOVE)),
        well_above=judged & far,
        ratio_judged=ratio_judged,
        ratio=ratio,
        weeks=_candidates(drawn.pairs, judged, _columns(marks, amounts)),
        slow=_slow(drawn.pairs, slow_rise_grid(grid, settings.share)),
    )


def _ratio(amounts: NDArray[np.float64], worked: NDArray[np.int64]) -> tuple[Flags, Flags]:
    """Where a coupled 7:28 ratio may be given on the weeks' last day, and where it lies above the line."""
    month, days = rolling_sum(amounts, 4), rolling_sum(worked.astype(np.float64), 4)
    judged = days >= 4 * LEAST_TRAINED_A_WEEK
    judged[:NOTICE_WEEKS] = False
    return judged, judged & (4.0 * amounts > RATIO_LINE * month)


def ratio_on_any_day(drawn: DrawnWeeks) -> Flags:
    """Weeks with a coupled 7:28 ratio above the line on any of their days, however seldom the work is done."""
    days = drawn.days.reshape(-1, drawn.days.shape[2])
    above = 4.0 * rolling_sum(days, 7) > RATIO_LINE * rolling_sum(days, 28) * (1.0 + 1e-12)
    return np.asarray(above.reshape(drawn.days.shape).any(axis=1))


def _columns(marks: MarkGrid, amounts: NDArray[np.float64]) -> dict[str, NDArray[np.generic]]:
    return {"tail": marks.tail, "expected": marks.expected, "value": amounts, "place": marks.place}


def _slow(pairs: Pairs, found: dict[str, NDArray[np.float64]]) -> pl.DataFrame:
    known = ~np.isnan(found["tail"])
    columns = {name: found[name] for name in ("tail", "expected", "value")}
    return _candidates(pairs, known, {**columns, "place": np.full(known.shape, _ABOVE)})


def _candidates(pairs: Pairs, which: Flags, columns: dict[str, NDArray[np.generic]]) -> pl.DataFrame:
    week, pair = np.nonzero(which)
    mondays = [_MONDAY + timedelta(days=7 * number) for number in range(len(which))]
    frame = pl.DataFrame(
        {
            "athlete_id": pl.Series(pairs.athletes, dtype=pl.String).gather(pairs.athlete[pair]),
            "week": pl.Series([iso_week(day) for day in mondays], dtype=pl.String).gather(week),
            "monday": pl.Series(mondays, dtype=pl.Date).gather(week),
            "channel": pl.Series(pairs.channels, dtype=pl.String).gather(pairs.channel[pair]),
            **{name: values[week, pair] for name, values in columns.items()},
        }
    ).with_columns(place=pl.Series(PLACES, dtype=pl.String).gather(columns["place"][week, pair].astype(np.uint32)))
    return adjusted_shares(frame).filter(pl.col("q_value") <= RATE)
