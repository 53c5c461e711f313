"""What a page reads from a season: small tables picked out of the large ones."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import polars as pl

from keelmark.service.coverage import week_coverage
from keelmark_dash.address import ROWS_PER_PAGE, Address
from keelmark_dash.desk import SeasonView
from keelmark_dash.words import week_monday

__all__ = [
    "AthleteRow",
    "Gauge",
    "PersonDays",
    "athlete_weeks",
    "coverage",
    "last_decisions",
    "own_gauge",
    "people",
    "shown_people",
    "strip_rows",
    "week_days",
    "week_labels",
    "week_row",
    "weeks_around",
    "weeks_up_to",
]

HALF_A_YEAR = 26
_TOLD = ("athlete_id", "week", "value", "on_record", "low", "high", "lower", "upper", "place", "known_days")


@dataclass(frozen=True, slots=True)
class Gauge:
    """What one gauge shows; amounts in the unit of the channel, `rim` the amount at which it is full.

    `low` and `high` are the bounds of the value; without them it is told as exact.
    """

    value: float | None
    lower: float | None
    upper: float | None
    place: str
    rim: float
    known_days: int = 7
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class AthleteRow:
    """One athlete's line of the season strip: a gauge per week, `None` where there is nothing of this kind of work.

    `there` holds the weeks in which the athlete has figures of any kind; before and after it was not in the squad.
    """

    athlete_id: str
    name: str
    gauges: list[Gauge | None]
    there: frozenset[str]


@dataclass(frozen=True, slots=True)
class PersonDays:
    """One athlete's week: the state of each day, Monday first, as keys of `DAY_STATE_WORDS`."""

    athlete_id: str
    name: str
    states: list[str]


def people(season: SeasonView, group: str = "") -> pl.DataFrame:
    """Athletes of a group (all when empty), by name."""
    return season.athletes.filter(pl.col("group") == group) if group else season.athletes


def shown_people(season: SeasonView, address: Address) -> pl.DataFrame:
    """Athletes of the chosen group and page of rows."""
    chosen = people(season, address.group)
    start = (int(address.rows) - 1) * ROWS_PER_PAGE
    return chosen.slice(start if start < chosen.height else 0, ROWS_PER_PAGE)


def weeks_up_to(season: SeasonView, address: Address) -> list[str]:
    """The weeks a strip shows: the whole choice where there is room, always with the chosen week in it."""
    weeks = season.weeks
    wanted = int(address.weeks)
    last = len(weeks)
    chosen = weeks.index(address.week) if address.week in weeks else last - 1
    first = min(max(0, last - wanted), chosen)
    return weeks[first : first + wanted]


def strip_rows(season: SeasonView, address: Address, weeks: list[str]) -> list[AthleteRow]:
    """Athletes of the chosen page of rows with their gauges."""
    shown = shown_people(season, address)
    whose = shown["athlete_id"].to_list()
    wanted = pl.col("athlete_id").is_in(whose) & pl.col("week").is_in(weeks)
    cells: dict[str, dict[str, dict[str, Any]]] = {}
    figures = season.figures(address.channel, whose).filter(pl.col("week").is_in(weeks)).select(_TOLD)
    for row in figures.iter_rows(named=True):
        cells.setdefault(row["athlete_id"], {})[row["week"]] = row
    there: dict[str, set[str]] = {}
    for athlete_id, week in season.known_days.filter(wanted).select("athlete_id", "week").iter_rows():
        there.setdefault(athlete_id, set()).add(week)
    rows = []
    for athlete_id, name in shown.select("athlete_id", "name").iter_rows():
        own = cells.get(athlete_id, {})
        rim = max((max(_told(row) or 0, row["upper"] or 0) for row in own.values()), default=0.0)
        gauges = [_gauge(own[week], rim) if week in own else None for week in weeks]
        rows.append(AthleteRow(athlete_id, name, gauges, frozenset(there.get(athlete_id, ()))))
    return rows


def _gauge(row: dict[str, Any], rim: float) -> Gauge:
    return Gauge(_told(row), row["lower"], row["upper"], row["place"], rim, row["known_days"], row["low"], row["high"])


def _told(row: dict[str, Any]) -> float | None:
    """The amount, or what is on record of it where too few days are known for a figure."""
    told: float | None = row["on_record"] if row["value"] is None else row["value"]
    return told


def own_gauge(row: dict[str, Any], weeks: pl.DataFrame) -> Gauge:
    """The gauge of one week, as deep as the fullest of the given weeks."""
    return _gauge(row, float(weeks.select(pl.max_horizontal(pl.col("value", "on_record", "upper").max())).item() or 0))


def last_decisions(squad: Any) -> dict[str, dict[str, Any]]:
    """What stands for each notice: for every field the last thing that was said."""
    told: dict[str, dict[str, Any]] = {}
    for row in squad.decisions().iter_rows(named=True):
        said = {key: value for key, value in row.items() if value is not None}
        told.setdefault(row["notice_id"], {}).update(said)
    return told


def athlete_weeks(season: SeasonView, athlete_id: str, channel: str) -> pl.DataFrame:
    """All weeks of one athlete and channel with their marks, in order."""
    return season.figures(channel, [athlete_id]).sort("monday")


def weeks_around(weeks: pl.DataFrame, chosen: str) -> pl.DataFrame:
    """Half a year of an athlete's weeks with the chosen one in it, in the middle where there are weeks after it."""
    order = weeks["week"].to_list()
    place = order.index(chosen) if chosen in order else len(order) - 1
    first = min(max(0, len(order) - HALF_A_YEAR), max(0, place - HALF_A_YEAR // 2))
    return weeks.slice(first, HALF_A_YEAR)


def week_row(weeks: pl.DataFrame, week: str) -> dict[str, Any] | None:
    """One week of such a table, or `None`."""
    found = weeks.filter(pl.col("week") == week)
    return found.row(0, named=True) if found.height else None


def coverage(season: SeasonView, week: str, group: str = "") -> pl.DataFrame:
    """How many days of a week are known, per athlete: columns athlete_id, name, known_days; fewest first."""
    return week_coverage(people(season, group), season.known_days, week)


def week_days(season: SeasonView, address: Address) -> list[PersonDays]:
    """What is known of each day of the chosen week, for the chosen page of athletes."""
    monday = week_monday(address.week)
    days = [monday + timedelta(days=place) for place in range(7)]
    told = season.day_states.filter(pl.col("date").is_in(days))
    states = {(who, day): state for who, day, state in told.select("athlete_id", "date", "state").iter_rows()}
    for key in season.trained(days).iter_rows():
        states[key] = "partly" if states.get(key) == "partly" else "trained"
    shown = shown_people(season, address)
    return [
        PersonDays(who, name, [states.get((who, day), "unlogged") for day in days])
        for who, name in shown.select("athlete_id", "name").iter_rows()
    ]


def week_labels(season: SeasonView, weeks: list[str], group: str = "") -> list[str]:
    """What the calendar calls each week: names of the stretches of days that touch it, empty where there are none.

    A name given to one training group only says so, unless that group is the one looked at.
    """
    named = season.labels
    if group:
        named = named.filter(pl.col("group").is_null() | (pl.col("group") == group))
    stretches = named.sort("date_from").iter_rows(named=True)
    told: list[list[str]] = [[] for _ in weeks]
    mondays = [week_monday(week) for week in weeks]
    for row in stretches:
        whose = f" ({row['group']})" if row["group"] and not group else ""
        for place, monday in enumerate(mondays):
            if monday <= row["date_to"] and monday + timedelta(days=6) >= row["date_from"]:
                told[place].append(row["label"] + whose)
    return [", ".join(names) for names in told]
