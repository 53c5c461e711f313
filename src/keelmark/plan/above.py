"""How many of a squad a week would bring above their own marks, surely or perhaps, beside what is usual.

Somebody lies above something in most weeks: many kinds of work are watched, and each lets one week in twenty past its
mark. So a count over the squad says little by itself, and is told beside the counts of the weeks before.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from statistics import median

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY, WATCHED_CHANNELS

__all__ = ["AboveMarks", "KindAbove", "above_marks", "marked_weeks"]

WEEKS_BEFORE = 12
"""Weeks on record that stand for what is usual (judgement)."""
LEAST_KNOWN = 0.5
"""Share of the people with marks in the planned week that a week before needs to be compared with (judgement)."""


@dataclass(frozen=True, slots=True)
class KindAbove:
    """One kind of work: names of those surely above their marks, of those who may be, and usual counts, or None."""

    channel: str
    sure: tuple[str, ...]
    perhaps: tuple[str, ...]
    usual: tuple[int, int] | None

    @property
    def label(self) -> str:
        """The kind of work in words."""
        return CHANNEL_BY_KEY[self.channel].label


@dataclass(frozen=True, slots=True)
class AboveMarks:
    """A squad's week against its marks.

    Parameters
    ----------
    people : int
        Athletes who have a mark for the week.
    sure, perhaps : tuple of str
        Names of those who would surely be above at least one mark, and of the others who may be.
    usual : tuple of (least, middle, most), optional
        How many were above at least one in the weeks before, by the figures as logged; None where too few are known.
    weeks : int
        How many weeks that rests on.
    kinds : tuple of KindAbove
        Kinds of work with anybody above, those with most people first.
    """

    people: int
    sure: tuple[str, ...]
    perhaps: tuple[str, ...]
    usual: tuple[int, int, int] | None
    weeks: int
    kinds: tuple[KindAbove, ...]

    @property
    def words(self) -> str:
        """The counts in one or two sentences."""
        if not self.people:
            return "Nobody has marks for this week yet."
        some = (
            f"{len(self.sure)} of {self.people} would surely be above one of their own marks or more"
            + (f", {len(self.perhaps)} more may be." if self.perhaps else ".")
            if self.sure
            else f"Nobody would surely be above an own mark; {len(self.perhaps)} of {self.people} may be."
            if self.perhaps
            else "Nobody would be above an own mark."
        )
        if self.usual is None:
            return some
        least, middle, most = self.usual
        span = f"{least} to {most}, mostly about {middle}" if least < most else f"{most}"
        both = ", both counted" if self.perhaps else ""
        return f"{some} In the last {self.weeks} weeks on record it was {span}{both}."


def above_marks(projection: pl.DataFrame, before: pl.DataFrame) -> AboveMarks:
    """Count a projection's people above their marks, beside the weeks before.

    Parameters
    ----------
    projection : DataFrame
        Columns of `PROJECTION`.
    before : DataFrame
        As `marked_weeks` gives it for the planned week.

    Notes
    -----
    Surely: even the low bound of the figure lies above the mark. Perhaps: the figure does, its low bound does not. Both
    together are what the weeks before are counted by. Only kinds of work that are watched count.
    """
    held = projection.filter(pl.col("channel").is_in(list(WATCHED_CHANNELS)) & pl.col("upper").is_not_null())
    sure = held.filter(pl.col("past") == "surely")
    perhaps = held.filter(pl.col("past") == "perhaps")
    people = held["athlete_id"].n_unique()
    sure_names = _names(sure)
    others = perhaps.filter(~pl.col("athlete_id").is_in(sure["athlete_id"].unique().to_list()))
    by_week = _weeks_enough(before, people)
    counts = by_week.group_by("monday").agg(above=pl.col("athlete_id").filter(pl.col("above")).n_unique())["above"]
    usual = (int(counts.min()), round(median(counts)), int(counts.max())) if len(counts) else None  # type: ignore[arg-type]
    kinds = []
    for channel in dict.fromkeys([*sure["channel"], *perhaps["channel"]]):
        of_kind = by_week.filter(pl.col("channel") == channel).group_by("monday").agg(pl.col("above").sum())["above"]
        span = (int(of_kind.min()), int(of_kind.max())) if len(of_kind) else None  # type: ignore[arg-type]
        one, other = (_names(frame.filter(pl.col("channel") == channel)) for frame in (sure, perhaps))
        kinds.append(KindAbove(channel, one, other, span))
    kinds.sort(key=lambda kind: (-len(kind.sure), -len(kind.perhaps), WATCHED_CHANNELS.index(kind.channel)))
    return AboveMarks(people, sure_names, _names(others), usual, len(counts), tuple(kinds))


def _names(rows: pl.DataFrame) -> tuple[str, ...]:
    return tuple(rows.unique("athlete_id", maintain_order=True)["name"].to_list())


def marked_weeks(weekly: pl.DataFrame, marks: pl.DataFrame, monday: dt.date) -> pl.DataFrame:
    """Figures of watched kinds of work with a mark, and whether they lay above it.

    Parameters
    ----------
    weekly, marks : DataFrame
        `WEEKLY_FIGURE` and `MARK` tables of the season.
    monday : date
        First day of the planned week; only weeks before it count.

    Returns
    -------
    DataFrame
        Columns monday, athlete_id, channel, above.
    """
    own = marks.select("athlete_id", "week", "channel", "upper")
    return (
        weekly.filter((pl.col("monday") < monday) & pl.col("channel").is_in(list(WATCHED_CHANNELS)))
        .join(own, on=["athlete_id", "week", "channel"])
        .filter(pl.col("upper").is_not_null() & pl.col("value").is_not_null())
        .select("monday", "athlete_id", "channel", above=pl.col("value") > pl.col("upper"))
    )


def _weeks_enough(rows: pl.DataFrame, people: int) -> pl.DataFrame:
    """Those of the last weeks on record in which enough people had marks."""
    known = rows.group_by("monday").agg(people=pl.col("athlete_id").n_unique())
    enough = known.filter(pl.col("people") >= LEAST_KNOWN * people).sort("monday").tail(WEEKS_BEFORE)
    return rows.join(enough.select("monday"), on="monday", how="semi")
