"""Notices: the weeks that stand out, ranked, with everything a coach needs to look at them."""

from __future__ import annotations

from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNELS, WATCHED_CHANNELS
from keelmark.contracts.frames import ATHLETE, MARK, NOTICE, WEEKLY_FIGURE
from keelmark.contracts.words import SCOPE_LINE
from keelmark.dose import contributions_to
from keelmark.load.first_times import first_times
from keelmark.marks.family import alone_and_squad, family
from keelmark.marks.labels import labelled_weeks
from keelmark.marks.notice_words import (
    SHOWN,
    contributor_words,
    first_words,
    headline,
    how_often,
    not_known,
    options,
    usual,
)
from keelmark.marks.selection import NOTICE_WEEKS, selected
from keelmark.marks.settings import MarkSettings
from keelmark.marks.slow_rise import slow_rises
from keelmark.marks.squad_words import session_words, squad_headline, squad_not_known, squad_options, squad_usual

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
    the others. Where most of those who did the work lay above, one notice of the squad stands for them. Notices of a
    week are held to a false discovery rate over all athletes and channels, then ranked; those
    beyond the budget are kept and marked. A week that the calendar names, and the week after it, give a notice only
    where they lie beyond both what such a week holds and what a week without a name would hold.

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
    grown = marked.filter(pl.col("weeks") >= NOTICE_WEEKS, pl.col("tail").is_not_null())
    slow = slow_rises(weekly, planned, settings.share)
    above = pl.when(pl.col("tail") <= settings.share).then(pl.lit("above")).otherwise(pl.lit("within"))
    slow = slow.with_columns(place=above.cast(MARK.polars["place"]), weeks=pl.lit(0, dtype=pl.Int64))
    facts = weekly.select(*_KEY, *_FACTS, "value")
    either = pl.max_horizontal("tail", "plain_tail")
    single = family(*alone_and_squad(_with_facts(grown.with_columns(tail=either), facts)))
    plain = slow.join(planned, on=["athlete_id", "week"], how="anti", maintain_order="left")
    rises = _with_facts(plain, facts.drop("value"))
    steps = family(rises, alone_and_squad(rises)[1])
    found = selected(single, steps, settings)
    if found.is_empty():
        return NOTICE.empty()
    names = planned.select("athlete_id", "week", "label", "after")
    found = found.join(names, on=["athlete_id", "week"], how="left", maintain_order="left")
    tell = _Teller(found, single, steps, efforts, sessions, athletes, rep_maxima, catalogue, settings)
    return NOTICE.build([tell.notice(row) for row in found.iter_rows(named=True)])


class _Teller:
    """Puts rows that stand out into words, with the efforts behind them."""

    def __init__(
        self,
        found: pl.DataFrame,
        single: pl.DataFrame,
        steps: pl.DataFrame,
        efforts: pl.DataFrame,
        sessions: pl.DataFrame,
        athletes: pl.DataFrame,
        rep_maxima: pl.DataFrame,
        catalogue: Catalogue,
        settings: MarkSettings,
    ) -> None:
        self._rules = {False: single, True: steps}
        self._efforts, self._catalogue, self._settings = efforts, catalogue, settings
        self._names = dict(athletes.select("athlete_id", "name").iter_rows())
        everybody = found.filter(pl.col("athlete_id").is_null()).select("week", "channel")
        keys = [
            found.filter(pl.col("athlete_id").is_not_null()).select(_KEY),
            everybody.join(athletes.select("athlete_id"), how="cross").select(_KEY),
        ]
        behind = contributions_to(pl.concat(keys), efforts, sessions, athletes, rep_maxima, catalogue)
        labels = sessions.select("athlete_id", "session_id", "label")
        self._behind = behind.join(labels, on=["athlete_id", "session_id"], how="left", maintain_order="left")

    def notice(self, row: dict[str, Any]) -> dict[str, object]:
        """One row of the `NOTICE` table."""
        who = row["athlete_id"]
        own = pl.col("athlete_id") == who if who else pl.lit(True)
        rows = self._behind.filter(own, pl.col("week") == row["week"], pl.col("channel") == row["channel"])
        key = [who or "squad", row["week"], row["channel"], *(["slow"] if row["slow"] else [])]
        return {
            "notice_id": ":".join(key),
            **{name: row[name] for name in (*_KEY, "rank", "value", "lower", "upper", "place", "q_value")},
            "within_budget": row["within_budget"],
            "how_often": how_often(self._settings, row["slow"]),
            "scope": SCOPE_LINE,
            **(self._of_athlete(row, rows) if who else self._of_squad(row, rows)),
        }

    def _of_athlete(self, row: dict[str, Any], rows: pl.DataFrame) -> dict[str, object]:
        new = [] if row["slow"] else first_times(self._efforts, row["athlete_id"], row["monday"])
        adding = set(rows["movement"])
        said = [first_words(one, self._catalogue) for one in new if one.movement in adding]
        return {
            "headline": headline(self._names.get(row["athlete_id"], row["athlete_id"]), row),
            "usual": " ".join([usual(row), *said[:SHOWN]]),
            "contributors": contributor_words(rows, self._catalogue),
            "not_known": not_known(row),
            "options": options(row, rows, self._catalogue),
        }

    def _of_squad(self, row: dict[str, Any], rows: pl.DataFrame) -> dict[str, object]:
        in_week = (pl.col("week") == row["week"]) & (pl.col("channel") == row["channel"])
        each = self._rules[row["slow"]].filter(in_week, pl.col("athlete_id").is_not_null())
        each = each.filter(pl.col("place").is_in(["above", "well_above"]))
        each = each.sort(pl.col("value") / pl.col("expected"), descending=True, maintain_order=True)
        sessions = session_words(rows)
        return {
            "headline": squad_headline(row),
            "usual": squad_usual(row, [self._names.get(who, who) for who in each["athlete_id"]]),
            "contributors": sessions,
            "not_known": squad_not_known(row),
            "options": squad_options(sessions),
        }


def _with_facts(marked: pl.DataFrame, facts: pl.DataFrame) -> pl.DataFrame:
    """Rows with their facts, in the order of the channels."""
    order = {channel.key: place for place, channel in enumerate(CHANNELS)}
    place = pl.col("channel").replace_strict(order, return_dtype=pl.Int64)
    return marked.join(facts, on=_KEY, how="left", maintain_order="left").sort("athlete_id", "week", place)
