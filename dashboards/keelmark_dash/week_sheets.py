"""What stands behind one athlete's figures, as sheets to take away: ratios week by week, and a week's mechanics."""

from __future__ import annotations

import polars as pl

from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.contracts.schema import Column, FrameSchema
from keelmark.dose.lumbar import LUMBAR_CHANNELS
from keelmark.report import Sheet
from keelmark_dash.page import Visit
from keelmark_dash.readings import athlete_weeks

__all__ = ["mechanics_sheet", "ratios_sheet"]

_WITHOUT = frozenset({"value", "on_record", "at_most", "low", "high", "assumed_rest_days", "value_gate"})
_RATIOS = FrameSchema(
    "Ratios and changes",
    "how each week of one kind of work compares with the days and the week before; descriptions, no verdicts",
    tuple(column for column in WEEKLY_FIGURE.columns if column.name not in _WITHOUT),
)
_WHOSE = (Column("athlete_id", pl.String, "", "who"), Column("week", pl.String, "", "ISO week"))


def _bounded(name: str, unit: str, meaning: str) -> tuple[Column, ...]:
    return (
        Column(name, pl.Float64, unit, meaning, optional=True),
        Column(f"{name}_low", pl.Float64, unit, "lower bound", optional=True),
        Column(f"{name}_high", pl.Float64, unit, "upper bound; empty is open", optional=True),
    )


_BETWEEN = (
    Column("low", pl.Float64, "", "lower bound", optional=True),
    Column("high", pl.Float64, "", "upper bound; empty is open", optional=True),
)
_LEVELS = FrameSchema(
    "Reps by compression",
    "reps of a week whose compression of the lowest lumbar joint lies above a level; a way of counting, not a limit",
    (
        *_WHOSE,
        Column("level", pl.Float64, "body weights", "compression above"),
        Column("reps", pl.Float64, "rep", "reps above the level"),
        *_BETWEEN,
        Column("unknown", pl.Int64, "effort", "efforts that are not known and not counted"),
    ),
)
_SETS = FrameSchema(
    "Hinge lifts",
    "hinge lifts of a week, and how much of one full set each was",
    (
        *_WHOSE,
        Column("date", pl.Date, "", "day"),
        Column("movement", pl.String, "", "movement"),
        Column("sets", pl.Int64, "set", "sets", optional=True),
        Column("reps", pl.Float64, "rep", "reps of a set", optional=True),
        Column("load_kg", pl.Float64, "kg", "load", optional=True),
        *_bounded("maximum_kg", "kg", "largest load for one rep"),
        Column("state", pl.String, "", "what the maximum rests on", optional=True),
        *_bounded("reps_possible", "rep", "reps that one set could hold at this load"),
        Column("extrapolated", pl.Boolean, "", "whether the formula is used beyond 12 reps", optional=True),
        Column("above_maximum", pl.Boolean, "", "whether the load is above the maximum on record", optional=True),
        *_bounded("capacities", "capacity", "full sets that the work comes to"),
        Column("reps_per_minute", pl.Float64, "rep/min", "over the whole clock of the part", optional=True),
    ),
)
_LANDINGS = FrameSchema(
    "Landings by class",
    "landings of a week by how high they come from",
    (
        *_WHOSE,
        Column("kind", pl.String, "", "class of landing"),
        Column("contacts", pl.Float64, "contact", "landings", optional=True),
        *_BETWEEN,
        Column("force_low", pl.Float64, "body weights", "least of the largest forces under both feet", optional=True),
        Column("force_high", pl.Float64, "body weights", "most of them", optional=True),
    ),
)


def ratios_sheet(here: Visit) -> Sheet:
    """All weeks of the chosen athlete and kind of work, with ratios, changes and why one is withheld."""
    address = here.address
    frame = athlete_weeks(here.season, address.athlete, address.channel).select(_RATIOS.names)
    return Sheet(f"{address.athlete}-{address.channel}-ratios", _RATIOS, frame, ("athlete_id", "week", "channel"))


def mechanics_sheet(here: Visit) -> Sheet:
    """The table behind the chosen week: reps by compression, hinge lifts, or landings."""
    athlete, week, channel = here.address.athlete, here.address.week, here.address.channel
    mechanics = here.season.season.mechanics
    if channel in LUMBAR_CHANNELS:
        schema, frame = _LEVELS, mechanics.back(athlete, week).levels
    elif channel == "high_rep":
        schema, frame = _SETS, mechanics.high_rep(athlete, week)
    else:
        schema, frame = _LANDINGS, mechanics.landings(athlete, week)
    owned = frame.with_columns(athlete_id=pl.lit(athlete), week=pl.lit(week))
    told = owned.select(pl.col(column.name).cast(column.dtype) for column in schema.columns)
    return Sheet(f"{athlete}-{week}-{channel}-mechanics", schema, told)
