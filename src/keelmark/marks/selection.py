"""Which weeks of a squad are told: two rules, each held to its own rate, then one ranked list for each week."""

from __future__ import annotations

import polars as pl

from keelmark.marks.discoveries import said_lately, standing_out
from keelmark.marks.settings import MarkSettings

__all__ = ["NOTICE_WEEKS", "SLOW_SILENCE", "selected"]

NOTICE_WEEKS = 8
"""Known weeks of an athlete's own before a week may give a notice; until then the far tail is mostly the squad's."""
SLOW_SILENCE = 8
"""Weeks for which a slow rise, once told, is not told again."""


def selected(weeks: pl.DataFrame, slow: pl.DataFrame, settings: MarkSettings) -> pl.DataFrame:
    """Athlete-weeks to tell, most unusual first within each week.

    Parameters
    ----------
    weeks, slow : DataFrame
        Candidates of the two rules as `family` gives them, in the order of the channels; rows without an athlete are
        of the squad as a whole.
    settings : MarkSettings
        Rates of the rules and the budget.

    Returns
    -------
    DataFrame
        Rows of `standing_out` with `slow`, `rank` within the week, and `within_budget`.
    """
    single = _of_one_cause(weeks, settings.week_rate).with_columns(slow=pl.lit(False))
    steps = _of_one_cause(slow, settings.slow_rate).with_columns(slow=pl.lit(True))
    steps = steps.filter(~said_lately(steps, SLOW_SILENCE))
    ordered = pl.concat([single, steps], how="diagonal").sort("week", "q_value", "tail", "athlete_id")
    ranked = ordered.with_columns(rank=pl.int_range(1, pl.len() + 1).over("week").cast(pl.Int64))
    return ranked.with_columns(within_budget=pl.col("rank") <= settings.budget)


def _of_one_cause(rows: pl.DataFrame, rate: float) -> pl.DataFrame:
    """What stands out, where the squad's week of a channel speaks for its athletes in that channel."""
    squad = standing_out(rows.filter(pl.col("athlete_id").is_null()), rate)
    said = pl.concat([squad.select("week", "channel"), squad.select("week", channel="with_it").explode("channel")])
    own = rows.filter(pl.col("athlete_id").is_not_null())
    own = own.join(said.unique(), on=["week", "channel"], how="anti", maintain_order="left")
    return pl.concat([squad, standing_out(own, rate)], how="diagonal")
