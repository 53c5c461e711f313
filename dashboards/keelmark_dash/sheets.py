"""The tables that pages show, as sheets to take away: the same rows, with every digit and what each column means."""

from __future__ import annotations

import polars as pl

from keelmark.contracts.frames import MARK, WEEKLY_FIGURE
from keelmark.contracts.records import IMPORT, IMPORT_ROW
from keelmark.contracts.schema import Column, FrameSchema
from keelmark.health import weeks_said
from keelmark.health.episodes import WEEK_SAID
from keelmark.report import Sheet
from keelmark_dash.page import Visit
from keelmark_dash.readings import athlete_weeks, coverage, people, weeks_up_to

__all__ = ["athlete_sheet", "check_ins_sheet", "log_sheet", "squad_sheet"]


def _columns(schema: FrameSchema, *names: str) -> tuple[Column, ...]:
    found = {column.name: column for column in schema.columns}
    return tuple(found[name] for name in names)


_NAME = Column("name", pl.String, "", "first name")
_FIGURES = FrameSchema(
    "Weeks with marks",
    "weekly figures of one kind of work with each athlete's own marks, as the page shows them",
    (
        *_columns(WEEKLY_FIGURE, "athlete_id"),
        _NAME,
        *_columns(WEEKLY_FIGURE, "week", "monday", "channel", "value", "low", "high", "known_days", "trained_days"),
        *_columns(MARK, "expected", "lower", "upper"),
        Column("place", pl.String, "", "where the week lies against the marks"),
    ),
)
_COVERAGE = FrameSchema(
    "Coverage",
    "days of the chosen week on record, fewest first",
    (
        *_columns(WEEKLY_FIGURE, "athlete_id"),
        _NAME,
        Column("week", pl.String, "", "ISO week"),
        Column("known_days", pl.Int64, "0 to 7", "days on record"),
    ),
)


def log_sheet(here: Visit, key: str) -> Sheet:
    """`rows` of the import that is open, else the list of imports."""
    if key == "rows":
        rows = here.squad.import_rows(here.address.show)
        return Sheet(f"rows-of-import-{here.address.show}", IMPORT_ROW, rows, ("row",))
    return Sheet("imports", IMPORT, here.squad.imports(), ("import_id",))


def squad_sheet(here: Visit, key: str) -> Sheet:
    """`coverage` of the chosen week, else the season strip with its weeks, group and kind of work."""
    address, season = here.address, here.season
    if key == "coverage":
        found = coverage(season, address.week, address.group).with_columns(week=pl.lit(address.week))
        frame = found.with_columns(pl.col("known_days").cast(pl.Int64)).select(_COVERAGE.names)
        return Sheet(f"coverage-{address.week}", _COVERAGE, frame, ("athlete_id",))
    weeks = weeks_up_to(season, address)
    shown = people(season, address.group).select("athlete_id", "name")
    frame = season.figures(address.channel).filter(pl.col("week").is_in(weeks)).join(shown, on="athlete_id")
    return _weeks(f"season-{address.channel}", frame)


def athlete_sheet(here: Visit, _key: str) -> Sheet:
    """All weeks of the chosen athlete and kind of work."""
    address = here.address
    shown = people(here.season).select("athlete_id", "name")
    frame = athlete_weeks(here.season, address.athlete, address.channel).join(shown, on="athlete_id")
    return _weeks(f"{address.athlete}-{address.channel}", frame)


def check_ins_sheet(here: Visit, _key: str) -> Sheet:
    """What the chosen athlete said, week by week."""
    said = weeks_said(here.squad.check_ins(here.address.athlete))
    return Sheet(f"{here.address.athlete}-check-ins", WEEK_SAID, said)


def _weeks(name: str, frame: pl.DataFrame) -> Sheet:
    told = frame.select(_FIGURES.names).sort("name", "athlete_id", "monday")
    return Sheet(name, _FIGURES, told, ("athlete_id", "week", "channel"))
