"""Counting what rules say of drawn weeks, by how often the work is done."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.load.cube import peak_channels
from keelmark.marks.selection import NOTICE_WEEKS
from keelmark.marks.settings import MarkSettings
from keelmark.marks.unchanged import DrawnWeeks
from keelmark.marks.watch import Plant, Watched, ratio_on_any_day

__all__ = [
    "FREQUENCIES", "WARM_UP", "frequency", "notice_tally", "plain_pairs", "planted_tally", "plants", "quiet_tally",
    "ramp_tally", "ramped", "relative_scatter",
]  # fmt: skip

Array = NDArray[np.float64]

FREQUENCIES = ("less than once a week", "once a week", "twice a week", "three times a week", "four times or more")
_EDGES = (0.75, 1.5, 2.5, 3.5)
WARM_UP = 12
"""Weeks before the first change is planted."""
RAMP_FROM = 28
"""Week in which ramps begin; there are two dozen usual weeks to look back on by then."""
RAMP_A_WEEK = 0.08
ONE_IN = 6
"""One athlete in this many has a ramp."""


def frequency(drawn: DrawnWeeks) -> NDArray[np.int64]:
    """How often each pair's work is done, as a place in `FREQUENCIES`."""
    return np.asarray(np.searchsorted(_EDGES, drawn.worked.mean(axis=0), side="right"))


def plain_pairs(drawn: DrawnWeeks) -> NDArray[np.bool_]:
    """Pairs whose days add up to a week; a largest value does not."""
    return np.asarray(~peak_channels(drawn.pairs.channels)[drawn.pairs.channel], dtype=bool)


def quiet_tally(drawn: DrawnWeeks, watched: Watched) -> pl.DataFrame:
    """How often each rule spoke of athlete-channel-weeks in which nothing had changed."""
    kind, peak = frequency(drawn), peak_channels(drawn.pairs.channels)[drawn.pairs.channel]
    any_day = ratio_on_any_day(drawn)
    done = np.zeros(any_day.shape, dtype=bool)
    done[NOTICE_WEEKS:] = ~peak
    counted = {
        "judged": watched.judged,
        "above": watched.above,
        "well_above": watched.well_above,
        "ratio_judged": watched.ratio_judged & ~peak,
        "ratio": watched.ratio & ~peak,
        "any_day_judged": done,
        "any_day": any_day & done,
    }
    sums = {name: np.bincount(kind, flags.sum(axis=0), len(FREQUENCIES)) for name, flags in counted.items()}
    scatter = relative_scatter(drawn)
    typical = [float(np.nanmedian(scatter[kind == at])) if (kind == at).any() else math.nan for at in range(5)]
    return pl.DataFrame(
        {
            "frequency": FREQUENCIES,
            "pairs": np.bincount(kind, minlength=len(FREQUENCIES)),
            "scatter": typical,
            **{name: values.astype(np.int64) for name, values in sums.items()},
        }
    )


def relative_scatter(drawn: DrawnWeeks) -> Array:
    """Standard deviation of each pair's weeks over their mean, NaN where there is no work."""
    value = drawn.value
    mean = value.mean(axis=0)
    return np.asarray(np.divide(value.std(axis=0, ddof=1), mean, out=np.full(len(mean), np.nan), where=mean > 0))


def notice_tally(drawn: DrawnWeeks, watched: Watched, settings: MarkSettings) -> dict[str, int]:
    """Notices of each rule and of the ratio rule in weeks in which nothing had changed.

    Keys: `weeks` looked at; for `week`, `slow`, `both`, `first` (within the budget), `ratio`, `cusum`: how many told,
    and under `<key>_any` the weeks with any.
    """
    told = watched.told(settings)
    peak = peak_channels(drawn.pairs.channels)[drawn.pairs.channel]
    parts = {
        "week": told.filter(~pl.col("slow")),
        "slow": told.filter("slow"),
        "both": told,
        "first": told.filter("within_budget"),
    }
    tally = {"weeks": len(drawn.days) - NOTICE_WEEKS}
    for key, rows in parts.items():
        tally |= {key: rows.height, f"{key}_any": rows["number"].n_unique()}
    week, pair = np.nonzero(watched.ratio & ~peak)
    tally |= {"ratio": len(set(zip(week.tolist(), drawn.pairs.athlete[pair].tolist(), strict=True)))}
    tally |= {"ratio_any": len(set(week.tolist()))}
    begun = watched.cusum & ~peak
    begun[1:] &= ~watched.cusum[:-1]
    week, pair = np.nonzero(begun)
    tally |= {"cusum": len(set(zip(week.tolist(), drawn.pairs.athlete[pair].tolist(), strict=True)))}
    return tally | {"cusum_any": len(set(week.tolist()))}


def plants(drawn: DrawnWeeks, whole: bool, random: np.random.Generator) -> list[Plant]:
    """Where single heavy weeks are put: one athlete a week.

    Parameters
    ----------
    drawn : DrawnWeeks
        Weeks in which nothing changes.
    whole : bool
        Whether all that the athlete does grows, or one kind of work, each frequency being as likely as the others.
    random : Generator
        The source of chance.
    """
    found = []
    people = len(drawn.pairs.athletes)
    order = random.permutation(people)
    for turn, week in enumerate(range(WARM_UP, len(drawn.days))):
        athlete = int(order[turn % people])
        one = _some_pair(drawn, athlete, 1, random)
        pairs = np.flatnonzero(drawn.pairs.athlete == athlete).tolist() if whole else [one] if one is not None else []
        found += [Plant(week, pair) for pair in pairs]
    return found


def ramped(drawn: DrawnWeeks, random: np.random.Generator) -> tuple[Array, list[Plant]]:
    """Let work that is done at least twice a week grow by 8 % a week from one week on, for some athletes."""
    value, found = drawn.value.copy(), []
    people = len(drawn.pairs.athletes)
    for athlete in random.permutation(people)[: max(1, people // ONE_IN)]:
        pair = _some_pair(drawn, int(athlete), 2, random)
        if pair is not None:
            steps = np.maximum(np.arange(len(value)) - RAMP_FROM + 1, 0)
            value[:, pair] *= (1.0 + RAMP_A_WEEK) ** steps
            found.append(Plant(RAMP_FROM, pair))
    return value, found


def _some_pair(drawn: DrawnWeeks, athlete: int, least: int, random: np.random.Generator) -> int | None:
    """A pair of an athlete, each frequency from `least` on being as likely as the others."""
    kind, peak = frequency(drawn), peak_channels(drawn.pairs.channels)[drawn.pairs.channel]
    own = np.flatnonzero((drawn.pairs.athlete == athlete) & (kind >= least) & ~peak)
    if not len(own):
        return None
    return int(random.choice(own[kind[own] == random.choice(np.unique(kind[own]))]))


def planted_tally(
    drawn: DrawnWeeks,
    watched: Watched,
    settings: MarkSettings,
    put: Sequence[Plant],
    whole: bool,
    kinds: Sequence[str] | None = None,
) -> pl.DataFrame:
    """Which planted weeks were found in the same week: by the mark, by a notice, by the ratio rule.

    A notice that names the athlete finds a whole heavy week; one kind of work must be named itself. What stands in
    the column `frequency` may be given for each plant.
    """
    named = _named(watched, settings)
    if whole:
        told = {(week, int(drawn.pairs.athlete[pair])) for week, pair in named}
        named = {(p.week, p.pair) for p in put if (p.week, int(drawn.pairs.athlete[p.pair])) in told}
    if kinds is None:
        often = frequency(drawn)
        kinds = [FREQUENCIES[often[plant.pair]] for plant in put]
    rows = [
        {
            "frequency": kind,
            "planted": 1,
            "judged": int(watched.judged[plant.week, plant.pair]),
            "mark": int(watched.above[plant.week, plant.pair]),
            "notice": int((plant.week, plant.pair) in named),
            "ratio_judged": int(watched.ratio_judged[plant.week, plant.pair]),
            "ratio": int(watched.ratio[plant.week, plant.pair]),
        }
        for plant, kind in zip(put, kinds, strict=True)
    ]
    counts = ("planted", "judged", "mark", "notice", "ratio_judged", "ratio")
    return pl.DataFrame(rows, schema={"frequency": pl.String, **dict.fromkeys(counts, pl.Int64)})


def ramp_tally(drawn: DrawnWeeks, watched: Watched, settings: MarkSettings, put: Sequence[Plant]) -> pl.DataFrame:
    """Weeks after which each ramp was first told by a notice, the ratio rule and the cumulative sum; empty if never."""
    named = _named(watched, settings)
    rows = []
    for plant in put:
        weeks = range(plant.week, len(drawn.days))
        by_notice = next((week for week in weeks if (week, plant.pair) in named), None)
        by_ratio = next((week for week in weeks if watched.ratio[week, plant.pair]), None)
        by_sum = next((week for week in weeks if watched.cusum[week, plant.pair]), None)
        after = [None if week is None else week - plant.week + 1 for week in (by_notice, by_ratio, by_sum)]
        rows.append(dict(zip(("notice", "ratio", "cusum"), after, strict=True)))
    return pl.DataFrame(rows, schema=dict.fromkeys(("notice", "ratio", "cusum"), pl.Int64))


def _named(watched: Watched, settings: MarkSettings) -> set[tuple[int, int]]:
    """Weeks and pairs that an athlete's own notice leads with or names."""
    told = watched.told(settings).filter(pl.col("athlete_id").is_not_null())
    pairs = watched.pairs
    places = {
        (pairs.athletes[athlete], pairs.channels[channel]): place
        for place, (athlete, channel) in enumerate(zip(pairs.athlete, pairs.channel, strict=True))
    }
    return {
        (row["number"], places[row["athlete_id"], channel])
        for row in told.iter_rows(named=True)
        for channel in (row["channel"], *row["with_it"])
    }
