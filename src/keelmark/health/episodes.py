"""Complaints over time: what stands for each week, and which complaints are new, still there, or over."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import polars as pl

from keelmark.contracts.records import CHECK_IN
from keelmark.contracts.schema import Column, FrameSchema
from keelmark.health.answers import is_substantial, read_answers
from keelmark.load.calendar import monday_of_week

__all__ = ["EPISODE", "MOST_SILENT_WEEKS", "STATES", "WEEK_SAID", "complaint_episodes", "weeks_said"]

MOST_SILENT_WEEKS = 3
"""Unanswered weeks in a row that a complaint is taken to bridge when it is named on both sides; a judgement."""

STATES = ("new", "persisting", "resolved", "no_answer")

WEEK_SAID = FrameSchema(
    "Week said",
    "what stands of an athlete's week: one row per complaint, or one row without an area when all was well",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("week", pl.String, "", "ISO week"),
        Column("monday", pl.Date, "", "first day of the week"),
        Column("area", pl.String, "", "part of the body; empty when all was well", optional=True),
        Column("severity", pl.Float64, "0 to 100", "of the scale", optional=True),
        Column(
            "substantial",
            pl.Boolean,
            "",
            "training or performance clearly less, or the week missed; empty when the scale is not this one",
            optional=True,
        ),
    ),
)

EPISODE = FrameSchema(
    "Complaint episode",
    "weeks in a row in which an athlete named the same part of the body",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("area", pl.String, "", "part of the body"),
        Column("number", pl.Int64, "", "1 the first time this area is named, 2 when it comes back, and so on"),
        Column("first", pl.Date, "", "Monday of the first week that names it"),
        Column("last", pl.Date, "", "Monday of the last week that names it"),
        Column("weeks", pl.Int64, "week", "weeks that name it"),
        Column("silent_weeks", pl.Int64, "week", "weeks between them without an answer"),
        Column("worst", pl.Float64, "0 to 100", "largest severity", optional=True),
        Column(
            "substantial",
            pl.Boolean,
            "",
            "any week with clearly less training or performance, or missed; empty when that is not known",
            optional=True,
        ),
        Column("state", pl.Enum(STATES), "", "as of the week looked at"),
        Column("over", pl.Date, "", "Monday of the first answered week without it", optional=True),
    ),
)


def weeks_said(check_ins: pl.DataFrame) -> pl.DataFrame:
    """What stands of each week: the last word on each area, and `all well` takes back what was said before it.

    Parameters
    ----------
    check_ins : DataFrame
        CHECK_IN table in the order in which it was said.

    Returns
    -------
    DataFrame
        WEEK_SAID table, by athlete and week.
    """
    said: dict[tuple[str, str], dict[str | None, dict[str, object]]] = {}
    for row in CHECK_IN.check(check_ins, where="check-ins").iter_rows(named=True):
        answers = read_answers(row["scale_id"], row["answers"])
        stands = said.setdefault((row["athlete_id"], row["week"]), {})
        if row["area"] is None:
            stands.clear()
        else:
            stands.pop(None, None)
        stands[row["area"]] = {
            "athlete_id": row["athlete_id"], "week": row["week"], "monday": monday_of_week(row["week"]),
            "area": row["area"], "severity": row["severity"],
            "substantial": None if answers is None else is_substantial(answers),
        }  # fmt: skip
    rows = [row for stands in said.values() for row in stands.values()]
    return WEEK_SAID.build(rows).sort("athlete_id", "monday", "area")


def complaint_episodes(said: pl.DataFrame, as_of: date) -> pl.DataFrame:
    """Complaints of every athlete and area as known in a week.

    A complaint lasts from the first week that names the area to the last, over at most `MOST_SILENT_WEEKS` weeks
    without an answer. It is resolved by an answered week that does not name it, never by silence.

    Parameters
    ----------
    said : DataFrame
        WEEK_SAID table; weeks after `as_of` are left out.
    as_of : date
        Monday of the week looked at.

    Returns
    -------
    DataFrame
        EPISODE table, by athlete, first week and area.
    """
    known = WEEK_SAID.check(said, where="complaint episodes").filter(pl.col("monday") <= as_of)
    rows: list[dict[str, object]] = []
    for (athlete,), own in known.group_by("athlete_id", maintain_order=True):
        answered = sorted(set(own["monday"].to_list()))
        for (area,), named in own.filter(pl.col("area").is_not_null()).group_by("area", maintain_order=True):
            mondays = set(named["monday"].to_list())
            for number, weeks in enumerate(_runs(named.sort("monday"), answered), start=1):
                told = _episode(weeks, mondays, answered, as_of)
                rows.append({"athlete_id": athlete, "area": area, "number": number, **told})
    return EPISODE.build(rows).sort("athlete_id", "first", "area")


def _runs(named: pl.DataFrame, answered: list[date]) -> Iterator[pl.DataFrame]:
    """The weeks that name an area, cut where it was answered without it or silence lasted too long."""
    mondays: list[date] = named["monday"].to_list()
    start = 0
    for place in range(1, len(mondays) + 1):
        if place == len(mondays) or not _goes_on(mondays[place - 1], mondays[place], answered):
            yield named.slice(start, place - start)
            start = place


def _goes_on(before: date, after: date, answered: list[date]) -> bool:
    between = any(before < monday < after for monday in answered)
    return not between and (after - before).days // 7 - 1 <= MOST_SILENT_WEEKS


def _episode(weeks: pl.DataFrame, named: set[date], answered: list[date], as_of: date) -> dict[str, object]:
    mondays: list[date] = weeks["monday"].to_list()
    first, last = mondays[0], mondays[-1]
    after = next((monday for monday in answered if monday > last), None)
    over = None if after in named else after
    if last == as_of:
        state = "new" if first == as_of else "persisting"
    else:
        state = "no_answer" if over is None else "resolved"
    return {
        "first": first, "last": last, "weeks": len(mondays),
        "silent_weeks": (last - first).days // 7 + 1 - len(mondays),
        "worst": weeks["severity"].max(), "substantial": weeks["substantial"].any(ignore_nulls=False),
        "state": state, "over": over,
    }  # fmt: skip
