"""Notices: the weeks that stand out, ranked, with everything a coach needs to look at them."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNELS, WATCHED_CHANNELS
from keelmark.contracts.frames import ATHLETE, MARK, NOTICE, WEEKLY_FIGURE
from keelmark.contracts.words import SCOPE_LINE
from keelmark.dose import contributions_to
from keelmark.marks.discoveries import adjusted_shares
from keelmark.marks.labels import labelled_weeks
from keelmark.marks.notice_words import contributor_words, headline, how_often, not_known, options, usual
from keelmark.marks.selection import NOTICE_WEEKS, selected
from keelmark.marks.settings import MarkSettings
from keelmark.marks.slow_rise import slow_rises

__all__ = ["notices"]

_KEY = ["athlete_id", "week", "channel"]
_FACTS = ["monday", "low", "high", "known_days", "assumed_rest_days"]


def notices(
    weekly: pl.DataFrame,
    marked: pl.DataFrame,
    efforts: pl.DataFrame,
    sessions: pl.DataFrame,
    athletes: pl.DataFrame,
    rep_maxima: pl.DataFrame,
    catalogue: Catalogue,
    settings: MarkSettings | None = None,
    labels: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Weeks that stand out in a squad, in words.

    At most one notice for an athlete and week, and one of a slow rise: it is led by the most unusual channel and names
    the others. Notices of a week are held to a false discovery rate over all athletes and channels, then ranked; those
    beyond the budget are kept and marked. A week with a calendar label, and the week after it, give no notice.

    Parameters
    ----------
    weekly, marked : DataFrame
        `WEEKLY_FIGURE` table and its `MARK` table.
    efforts, sessions, athletes, rep_maxima, catalogue
        As for `daily_dose`; for the way back to the rows.
    settings : MarkSettings, optional
        Choices of the squad.
    labels : DataFrame, optional
        `CALENDAR_LABEL` table.

    Returns
    -------
    DataFrame
        `NOTICE` table, by week and rank.
    """
    settings, where = settings or MarkSettings(), "notices"
    weekly, marked = WEEKLY_FIGURE.check(weekly, where=where), MARK.check(marked, where=where)
    athletes = ATHLETE.check(athletes, where=where)
    weekly, marked = (frame.filter(pl.col("channel").is_in(WATCHED_CHANNELS)) for frame in (weekly, marked))
    if weekly.is_empty():
        return NOTICE.empty()
    planned = labelled_weeks(labels, athletes, weekly)
    grown = marked.filter(pl.col("weeks") >= NOTICE_WEEKS)
    slow = slow_rises(weekly, planned.filter(~pl.col("after")), settings.share).with_columns(
        place=pl.lit("above", dtype=MARK.polars["place"]), weeks=pl.lit(0, dtype=pl.Int64)
    )
    facts = weekly.select(*_KEY, *_FACTS, "value")
    single, steps = _free(grown, planned, facts), _free(slow, planned, facts.drop("value"))
    found = selected(adjusted_shares(single), adjusted_shares(steps), settings)
    if found.is_empty():
        return NOTICE.empty()
    behind = contributions_to(found.select(_KEY), efforts, sessions, athletes, rep_maxima, catalogue)
    rows_of = dict(iter(behind.group_by(_KEY, maintain_order=True)))
    names = dict(athletes.select("athlete_id", "name").iter_rows())
    built: list[dict[str, object]] = []
    for row in found.iter_rows(named=True):
        rows = rows_of.get((row["athlete_id"], row["week"], row["channel"]), behind.clear())
        built.append(
            {
                "notice_id": ":".join([*(row[name] for name in _KEY), *(["slow"] if row["slow"] else [])]),
                **{name: row[name] for name in (*_KEY, "rank", "value", "lower", "upper", "place", "q_value")},
                "within_budget": row["within_budget"],
                "headline": headline(names.get(row["athlete_id"], row["athlete_id"]), row),
                "usual": usual(row),
                "contributors": contributor_words(rows, catalogue),
                "not_known": not_known(row),
                "options": options(row, rows, catalogue),
                "how_often": how_often(settings, row["slow"]),
                "scope": SCOPE_LINE,
            }
        )
    return NOTICE.build(built)


def _free(marked: pl.DataFrame, planned: pl.DataFrame, facts: pl.DataFrame) -> pl.DataFrame:
    """Rows of weeks that were not planned otherwise, with their facts, in the order of the channels."""
    free = marked.join(planned, on=["athlete_id", "week"], how="anti", maintain_order="left")
    order = {channel.key: place for place, channel in enumerate(CHANNELS)}
    place = pl.col("channel").replace_strict(order, return_dtype=pl.Int64)
    return free.join(facts, on=_KEY, how="left", maintain_order="left").sort("athlete_id", "week", place)
