"""What the rules say of weeks that a coach planned otherwise, with and without a name for them in the calendar."""

from __future__ import annotations

import numpy as np
import polars as pl

from keelmark.load.cube import peak_channels
from keelmark.marks.named_weeks import WeekNames
from keelmark.marks.settings import MarkSettings
from keelmark.marks.unchanged import DrawnWeeks
from keelmark.marks.watch import watch
from keelmark.marks.week_names import START_SPREAD, name_meaning

__all__ = ["PLANNED", "named_tally"]

PLANNED = {"taper": 0.5, "overload": 1.5}
"""Part of the usual amounts that the whole squad does in a planned week of each name."""
FROM, EVERY = 16, 6
"""Week of the first planned week, and weeks from one to the next."""
JITTER = 0.1
"""How far planned weeks lie from their plan, on the log scale."""


def named_tally(drawn: DrawnWeeks, settings: MarkSettings, random: np.random.Generator) -> pl.DataFrame:
    """Put planned weeks into a season in which nothing else changes, by turns, and let the rules look.

    Parameters
    ----------
    drawn : DrawnWeeks
        Weeks in which nothing changes.
    settings : MarkSettings
        Choices of the squad.
    random : Generator
        The source of chance.

    Returns
    -------
    DataFrame
        By `name` and whether the calendar `said` so: planned weeks, weeks with any notice in them and after them;
        athlete-channel-weeks `judged` in the planned ones, and `above` their mark.
    """
    weeks = np.arange(FROM, len(drawn.days) - 1, EVERY)
    turn = np.arange(len(weeks)) % len(PLANNED)
    part = np.array(list(PLANNED.values()))[turn] * random.lognormal(0.0, JITTER, len(weeks))
    days = drawn.days.copy()
    days[weeks] *= part[:, None, None]
    planned = DrawnWeeks(drawn.pairs, days)
    rows = []
    for said in (False, True):
        seen = watch(planned, settings, names=_names(planned, weeks, turn) if said else None)
        told = set(seen.told(settings)["number"].to_list())
        for number, name in enumerate(PLANNED):
            own = weeks[turn == number]
            rows.append(
                {
                    "name": name,
                    "said": said,
                    "weeks": len(own),
                    "with_any": len(told & set(own.tolist())),
                    "after_any": len(told & set((own + 1).tolist())),
                    "judged": int(seen.judged[own].sum()),
                    "above": int(seen.above[own].sum()),
                }
            )
    return pl.DataFrame(rows)


def _names(drawn: DrawnWeeks, weeks: np.ndarray, turn: np.ndarray) -> WeekNames:
    """The names of whole weeks, and those of the weeks after them."""
    kind = np.zeros(drawn.value.shape, dtype=np.int64)
    kind[weeks] = 1 + turn[:, None]
    kind[weeks + 1] = 1 + len(PLANNED) + turn[:, None]
    meant = [name_meaning(name) for name in PLANNED]
    return WeekNames(
        kind=kind,
        share=(kind > 0).astype(np.float64),
        start=np.array([1.0, *(np.sqrt(one.amount) for one in meant), *[1.0] * len(PLANNED)]),
        spread=np.array([0.0, *(one.spread for one in meant), *[START_SPREAD] * len(PLANNED)]),
        follows=np.array([False, *[False] * len(PLANNED), *[True] * len(PLANNED)]),
        peak=peak_channels(drawn.pairs.channels)[drawn.pairs.channel],
    )
