"""The tables that pages show, as sheets to take away: the same rows, with every digit and what each column means."""

from __future__ import annotations

import json

import polars as pl

from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import EFFORT, MARK, NOTICE, WEEKLY_FIGURE
from keelmark.contracts.records import IMPORT, IMPORT_ROW
from keelmark.contracts.schema import Column, FrameSchema
from keelmark.health import weeks_said
from keelmark.health.episodes import WEEK_SAID
from keelmark.report import Sheet
from keelmark_dash.audit_sheet import audit_sheet
from keelmark_dash.page import Visit
from keelmark_dash.parts.catalogue_grid import catalogue_rows
from keelmark_dash.readings import athlete_weeks, coverage, people, weeks_up_to
from keelmark_dash.week_sheets import mechanics_sheet, ratios_sheet

__all__ = ["athlete_sheet", "check_ins_sheet", "log_sheet", "methods_sheet", "settings_sheet", "squad_sheet"]


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
_ROWS = FrameSchema(
    "Rows behind a week",
    "rows of work that made one weekly figure, and what each adds to it",
    (
        *_columns(EFFORT, "athlete_id", "date", "session_id", "movement", "version", "sets", "reps", "load_kg",
                  "distance_m", "duration_s", "calories"),
        Column("contribution", pl.Float64, "of the kind of work", "what the row adds", optional=True),
        Column("contribution_low", pl.Float64, "of the kind of work", "least it can add", optional=True),
        Column("contribution_high", pl.Float64, "of the kind of work", "most it can add; empty is open", optional=True),
        Column("file", pl.String, "", "where it stands", optional=True),
        Column("source_row", pl.Int64, "", "row of the file", optional=True),
        Column("text", pl.String, "", "as it stands there", optional=True),
    ),
)  # fmt: skip
_CATALOGUE = FrameSchema(
    "Catalogue",
    "each number that the catalogue holds of a movement, with its range, evidence and source",
    tuple(
        Column(name, pl.String, "", meaning)
        for name, meaning in (
            ("movement", "movement"), ("field", "what the number says"), ("value", "the number"),
            ("range", "least and most"), ("evidence", "what it rests on"), ("source", "where it comes from"),
        )
    ),
)  # fmt: skip
_KINDS = FrameSchema(
    "Kinds of work",
    "the kinds of work that are kept apart",
    tuple(
        Column(name, pl.String, "", meaning)
        for name, meaning in (
            ("key", "key"), ("label", "name"), ("unit", "unit"), ("group", "part of the body or session"),
            ("meaning", "what is counted"), ("gather", "how a week is made of its days"),
        )
    ),
)  # fmt: skip
_CHANGES = FrameSchema(
    "Changes of settings",
    "who chose what, newest first",
    (
        Column("created_at", pl.String, "UTC", "when"),
        Column("who", pl.String, "", "who; empty is somebody at this machine", optional=True),
        Column("key", pl.String, "", "setting"),
        Column("before", pl.String, "JSON", "value before; empty is as it came", optional=True),
        Column("after", pl.String, "JSON", "value after"),
    ),
)


def log_sheet(here: Visit, key: str) -> Sheet:
    """`rows` of the import that is open, else the list of imports."""
    if key == "rows":
        rows = here.squad.import_rows(here.address.show)
        return Sheet(f"rows-of-import-{here.address.show}", IMPORT_ROW, rows, ("row",))
    return Sheet("imports", IMPORT, here.squad.imports(), ("import_id",))


def squad_sheet(here: Visit, key: str) -> Sheet:
    """`coverage` or `notices` of the chosen week, else the season strip with its weeks, group and kind of work."""
    address, season = here.address, here.season
    if key == "notices":
        notices = season.notices.filter(pl.col("week") == address.week).sort("rank")
        return Sheet(f"notices-{address.week}", NOTICE, notices.select(NOTICE.names), ("notice_id",))
    if key == "coverage":
        found = coverage(season, address.week, address.group).with_columns(week=pl.lit(address.week))
        frame = found.with_columns(pl.col("known_days").cast(pl.Int64)).select(_COVERAGE.names)
        return Sheet(f"coverage-{address.week}", _COVERAGE, frame, ("athlete_id",))
    weeks = weeks_up_to(season, address)
    shown = people(season, address.group).select("athlete_id", "name")
    frame = season.figures(address.channel).filter(pl.col("week").is_in(weeks)).join(shown, on="athlete_id")
    return _weeks(f"season-{address.channel}", frame)


def athlete_sheet(here: Visit, key: str) -> Sheet:
    """`rows`, `ratios` or `mechanics` behind the chosen week, else all weeks of the athlete and kind of work."""
    address = here.address
    if key == "ratios":
        return ratios_sheet(here)
    if key == "mechanics":
        return mechanics_sheet(here)
    if key == "rows":
        rows = here.season.rows_behind(address.athlete, address.week, address.channel)
        told = rows.select(pl.col(column.name).cast(column.dtype) for column in _ROWS.columns)
        return Sheet(f"{address.athlete}-{address.week}-{address.channel}-rows", _ROWS, told)
    shown = people(here.season).select("athlete_id", "name")
    frame = athlete_weeks(here.season, address.athlete, address.channel).join(shown, on="athlete_id")
    return _weeks(f"{address.athlete}-{address.channel}", frame)


def check_ins_sheet(here: Visit, _key: str) -> Sheet:
    """What the chosen athlete said, week by week."""
    said = weeks_said(here.squad.check_ins(here.address.athlete))
    return Sheet(f"{here.address.athlete}-check-ins", WEEK_SAID, said)


def methods_sheet(here: Visit, key: str) -> Sheet:
    """`catalogue` of movements, the last `audit`, else the kinds of work."""
    if key == "audit":
        return audit_sheet(here)
    if key == "catalogue":
        frame = pl.DataFrame(catalogue_rows(here.squad.catalogue), schema=_CATALOGUE.polars)
        return Sheet("catalogue", _CATALOGUE, frame)
    kinds = [{name: str(getattr(channel, name)) for name in _KINDS.names} for channel in CHANNELS]
    return Sheet("kinds-of-work", _KINDS, pl.DataFrame(kinds, schema=_KINDS.polars), ("key",))


def settings_sheet(here: Visit, _key: str) -> Sheet:
    """Every change of a setting, newest first."""
    rows = [
        {
            "created_at": one.created_at.isoformat(),
            "who": one.who,
            "key": one.key,
            "before": None if one.old is None else json.dumps(one.old),
            "after": json.dumps(one.new),
        }
        for one in here.squad.setting_changes()
    ]
    return Sheet("changes-of-settings", _CHANGES, pl.DataFrame(rows, schema=_CHANGES.polars))


def _weeks(name: str, frame: pl.DataFrame) -> Sheet:
    told = frame.select(_FIGURES.names).sort("name", "athlete_id", "monday")
    return Sheet(name, _FIGURES, told, ("athlete_id", "week", "channel"))
