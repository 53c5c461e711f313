"""How often a doubled week is found, by how much the work scatters from week to week, and how often it could be.

The bound is that of a rule that knows what each athlete's weeks are like, to the last digit, looks at the amount of the
week, and spends all the false notices a squad may get on work of one steadiness. Neyman and Pearson: of all rules with
the same rate of false notices, none finds more than the one that speaks where the amount is least likely without the
change and most likely with it, which for one amount on one side is a line through it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.marks.settings import MarkSettings
from keelmark.marks.tallies import FREQUENCIES, WARM_UP, frequency, plain_pairs, planted_tally, relative_scatter
from keelmark.marks.unchanged import DrawnWeeks
from keelmark.marks.watch import Plant, Watched

__all__ = ["OFTEN", "SCATTERS", "classes", "most_found", "steadiness_plants", "steadiness_tally"]

Array = NDArray[np.float64]

OFTEN = FREQUENCIES.index("three times a week")
"""Work done this often or more is looked at."""
SCATTERS = (0.0, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5)
"""Where the classes of relative scatter of weeks begin; the last is open."""


def classes(seasons: Sequence[DrawnWeeks]) -> NDArray[np.int64]:
    """Class of scatter of each pair over seasons of one squad, -1 where work is done too seldom or does not add up."""
    whole = DrawnWeeks(seasons[0].pairs, np.concatenate([drawn.days for drawn in seasons]))
    scatter = np.nan_to_num(relative_scatter(whole), nan=np.inf)
    kind = np.searchsorted(SCATTERS, scatter, side="right") - 1
    return np.where((frequency(whole) >= OFTEN) & plain_pairs(whole), kind, -1)


def steadiness_plants(kind: NDArray[np.int64], weeks: int, random: np.random.Generator) -> list[Plant]:
    """One heavy week of one kind of work in each week, every class that the squad has being as likely as the others.

    Parameters
    ----------
    kind : int array, shape (pair,)
        From `classes`.
    weeks : int
        Weeks of the season.
    random : Generator
        The source of chance.
    """
    there = np.unique(kind[kind >= 0])
    return [
        Plant(week, int(random.choice(np.flatnonzero(kind == random.choice(there)))))
        for week in (range(WARM_UP, weeks) if len(there) else ())
    ]


def steadiness_tally(
    drawn: DrawnWeeks, watched: Watched, settings: MarkSettings, put: Sequence[Plant], kind: NDArray[np.int64]
) -> pl.DataFrame:
    """As `planted_tally`, by class of scatter: columns scatter, planted, judged, mark, notice, ratio."""
    tally = planted_tally(drawn, watched, settings, put, False, [str(kind[plant.pair]) for plant in put])
    return tally.select(
        pl.col("frequency").cast(pl.Int64).alias("scatter"), "planted", "judged", "mark", "notice", "ratio"
    ).with_columns(pl.col("scatter").replace_strict(dict(enumerate(SCATTERS)), return_dtype=pl.Float64))


def most_found(seasons: Sequence[DrawnWeeks], kind: NDArray[np.int64], size: float, a_week: float) -> pl.DataFrame:
    """Largest share of heavy weeks that a rule on the week's amount finds, by class of scatter.

    Parameters
    ----------
    seasons : sequence of DrawnWeeks
        Weeks of the same squad in which nothing changes.
    kind : int array, shape (pair,)
        From `classes`.
    size : float
        What is added, as a part of a usual week.
    a_week : float
        Athlete-weeks that the rule may falsely speak of in a week, all of them in one class.

    Returns
    -------
    DataFrame
        Of each class that occurs: `scatter`, its lower end; `pairs`; `most`, the share found.
    """
    values, athlete = np.concatenate([drawn.value for drawn in seasons]), seasons[0].pairs.athlete
    rows = []
    for place in np.unique(kind[kind >= 0]).tolist():
        own = np.flatnonzero(kind == place)
        rows.append((SCATTERS[place], len(own), _most(values[:, own], athlete[own], size, a_week)))
    return pl.DataFrame(rows, schema={"scatter": pl.Float64, "pairs": pl.Int64, "most": pl.Float64}, orient="row")


def _most(values: Array, athlete: NDArray[np.int64], size: float, a_week: float) -> float:
    """Lines alike in every pair's own ranks, or in its own spread: the better, as low as leaves no more above."""
    roots, allowed = np.sqrt(values), int(a_week * len(values))
    heavier = np.sqrt(values + size * values.mean(axis=0))
    mean, spread = roots.mean(axis=0), np.maximum(roots.std(axis=0), 1e-12)
    found = []
    for score, changed in (
        ((roots - mean) / spread, (heavier - mean) / spread),
        (_ranks(roots, roots), _ranks(heavier, roots)),
    ):
        highest = np.stack([score[:, athlete == who].max(axis=1) for who in np.unique(athlete)])
        line = np.sort(highest, axis=None)[::-1][min(allowed, highest.size - 1)]
        found.append(float((changed > line).mean()))
    return max(found)


def _ranks(values: Array, among: Array) -> Array:
    """Place of each value among the weeks of its own pair: how many of them are smaller."""
    ordered = np.sort(among, axis=0)
    ranks = np.empty_like(values)
    for pair, column in enumerate(ordered.T):
        ranks[:, pair] = np.searchsorted(column, values[:, pair], side="left")
    return ranks
