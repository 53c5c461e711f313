"""The papers of a week, filled from a squad's season: one for the coach and one for each athlete."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.load.calendar import monday_of_week
from keelmark.marks.notice_words import contributor_words
from keelmark.report import AthleteWeek, Paper, SquadWeek, athlete_brief, coach_brief
from keelmark.report.figures import in_full
from keelmark.report.twelve_weeks import PATTERNS
from keelmark.service.coverage import week_coverage
from keelmark.service.season import Season

__all__ = ["athlete_paper", "coach_paper"]

_ABOVE = ("above", "well_above")
_DUE_BEFORE = timedelta(weeks=4)


def coach_paper(season: Season, decisions: pl.DataFrame, week: str, *, made_on: date) -> Paper:
    """The coach's paper of a week.

    Parameters
    ----------
    season : Season
        All figures as of the last write.
    decisions : DataFrame
        DECISION table; what was decided about complaints has no place here.
    week : str
        ISO week with figures.
    made_on : date
        The day it is made.
    """
    monday = monday_of_week(week)
    covered = week_coverage(season.athletes, season.known_days, week)
    notices = season.notices.filter(pl.col("week") == week).sort("rank")
    return coach_brief(
        SquadWeek(
            monday,
            covered.select("name", "known_days").rows(),
            notices.filter("within_budget").rows(named=True),
            _above(season, week),
            _due(season, decisions, monday),
            _named(season, monday, None),
        ),
        made_on=made_on,
    )


def athlete_paper(season: Season, catalogue: Catalogue, athlete_id: str, week: str, *, made_on: date) -> Paper:
    """One athlete's paper of a week; nothing in it is about anybody else."""
    monday = monday_of_week(week)
    person = season.athletes.row(by_predicate=pl.col("athlete_id") == athlete_id, named=True)
    keys = ["athlete_id", "week", "channel"]
    mine, of_week = season.of(athlete_id), pl.col("week") == week
    own = mine.weekly.filter(of_week).join(mine.marks.filter(of_week), on=keys, how="left")
    figures = {row["channel"]: row for row in own.iter_rows(named=True)}
    known = max((row["known_days"] for row in figures.values()), default=0)
    return athlete_brief(
        AthleteWeek(
            person["name"], monday, known, figures, _made(season, catalogue, athlete_id, week, figures),
            _named(season, monday, person["group"]),
        ),
        made_on=made_on,
    )  # fmt: skip


def _made(
    season: Season, catalogue: Catalogue, athlete_id: str, week: str, figures: dict[str, dict[str, Any]]
) -> tuple[str, list[str]]:
    """What added most to the kind of work that lies highest against its usual range, else to the session load."""
    held = [
        (row["value"] / row["upper"], channel)
        for channel, row in figures.items()
        if channel in PATTERNS and row["value"] and row["upper"]
    ]
    highest = [max(held)[1]] if held else []
    for channel in (*highest, "session_load", "tonnage"):
        rows = season.rows_behind(athlete_id, week, channel)
        known = rows.filter(pl.col("contribution").is_not_null() & (pl.col("contribution") > 0))
        if known.height:
            return channel, contributor_words(known, catalogue)
    return "session_load", []


def _above(season: Season, week: str) -> dict[str, list[str]]:
    names = season.athletes.select("athlete_id", "name")
    found = (
        season.marks.filter(
            pl.col("week") == week,
            pl.col("channel").is_in(list(PATTERNS)),
            pl.col("place").cast(pl.String).is_in(_ABOVE),
        )
        .join(names, on="athlete_id")
        .sort("name")
    )
    told = {channel: found.filter(pl.col("channel") == channel)["name"].to_list() for channel in PATTERNS}
    return {channel: people for channel, people in told.items() if people}


def _due(season: Season, decisions: pl.DataFrame, monday: date) -> list[str]:
    """Decisions whose day of looking again falls up to the end of the next week, the last word on each notice."""
    names = dict(season.athletes.select("athlete_id", "name").iter_rows())
    until = monday + timedelta(days=13)
    last: dict[str, dict[str, Any]] = {}
    for row in decisions.iter_rows(named=True):
        last.setdefault(row["notice_id"], {}).update({key: value for key, value in row.items() if value is not None})
    due = [row for row in last.values() if "review_date" in row and monday - _DUE_BEFORE <= row["review_date"] <= until]
    told = []
    for row in sorted(due, key=lambda one: one["review_date"]):
        athlete_id, _, channel = row["notice_id"].split(":")[:3]
        label = CHANNEL_BY_KEY[channel].label if channel in CHANNEL_BY_KEY else channel
        option = f": {row['option']}" if "option" in row else ""
        told.append(f"{in_full(row['review_date'])}, {names.get(athlete_id, athlete_id)}, {label.lower()}{option}")
    return told


def _named(season: Season, monday: date, group: str | None) -> list[str]:
    """What the calendar calls the week; for one group its own names and those of all."""
    labels = season.kept.labels.filter(pl.col("date_from") <= monday + timedelta(days=6), pl.col("date_to") >= monday)
    if group is not None:
        labels = labels.filter(pl.col("group").is_null() | (pl.col("group") == group))
    return [
        f"{label} ({whose})" if whose and group is None else label
        for label, whose in labels.select("label", "group").iter_rows()
    ]
