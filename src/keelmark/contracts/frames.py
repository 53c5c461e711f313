"""The tables that stages hand to one another, each defined once.

Amounts of an effort (`reps`, `distance_m`, `duration_s`, `calories`) are *per set*; `sets` says how often it was done.
Where a score leaves the amount open, `share_low` and `share_high` times the amount give its bounds.
"""

from __future__ import annotations

import polars as pl

from keelmark.contracts.schema import Column, FrameSchema

__all__ = [
    "ATHLETE", "DAILY_DOSE", "DAY_STATE", "DAY_STATES", "EFFORT", "FRAMES", "LOAD_BASES", "MARK", "NOTICE", "PLACES",
    "REP_MAXIMUM", "SESSION", "VERSIONS", "WEEKLY_FIGURE",
]  # fmt: skip

VERSIONS = ("as_written", "scaled", "swapped")
LOAD_BASES = ("external", "none", "unknown")
DAY_STATES = ("trained", "partly", "rest", "unlogged", "ill", "travel", "away", "restricted")
PLACES = ("below", "within", "above", "well_above", "not_known")

_KG, _CM = "kg", "cm"

ATHLETE = FrameSchema(
    "Athlete",
    "one row per person of the squad",
    (
        Column("athlete_id", pl.String, "", "stable key; the folded first name unless the roster gives one"),
        Column("name", pl.String, "", "first name as shown"),
        Column("group", pl.String, "", "training group", optional=True),
        Column("sex", pl.Enum(["female", "male"]), "", "for body segment tables only", optional=True),
        Column("body_mass_kg", pl.Float64, _KG, "body mass", optional=True),
        Column("stature_cm", pl.Float64, _CM, "standing height", optional=True),
        Column(
            "standard",
            pl.Enum(["heavier", "lighter"]),
            "",
            "which of two written loads is used",
            optional=True,
        ),
        Column("joined", pl.Date, "", "first day in the squad", optional=True),
        Column("left", pl.Date, "", "last day in the squad", optional=True),
    ),
)

EFFORT = FrameSchema(
    "Effort",
    "one row per movement done, the contract of the whole house",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("date", pl.Date, "", "calendar day where the athlete trained"),
        Column("session_id", pl.String, "", "the session it belongs to"),
        Column("block", pl.String, "", "part of the session", optional=True),
        Column("order", pl.Int32, "", "place inside the session, from 0"),
        Column("movement", pl.String, "", "canonical name in the catalogue"),
        Column("version", pl.Enum(VERSIONS), "", "as written, scaled option, or swapped movement"),
        Column("sets", pl.Int32, "set", "how often the amounts of this row were done"),
        Column("reps", pl.Float64, "rep", "per set", optional=True),
        Column("load_kg", pl.Float64, _KG, "total external load per rep", optional=True),
        Column("load_basis", pl.Enum(LOAD_BASES), "", "external load known, none carried, or not known"),
        Column("height_cm", pl.Float64, _CM, "box, target, drop, deficit or rope height", optional=True),
        Column("start_height_cm", pl.Float64, _CM, "height of the bar's centre at the start", optional=True),
        Column("distance_m", pl.Float64, "m", "per set", optional=True),
        Column("duration_s", pl.Float64, "s", "per set", optional=True),
        Column("calories", pl.Float64, "kcal", "per set, as the machine counts them", optional=True),
        Column("share_low", pl.Float64, "", "lower bound as a share of the amounts; 1 where exact"),
        Column("share_high", pl.Float64, "", "upper bound as a share of the amounts; 1 where exact"),
        Column("side", pl.Enum(["both", "left", "right", "alternating"]), "", "side worked", optional=True),
        Column("rpe", pl.Float64, "0 to 10", "rating of this effort", optional=True),
        Column("effort_s", pl.Float64, "s", "clock of the part of the session it is in, where known", optional=True),
        Column("source", pl.Enum(["score", "log"]), "", "read from whiteboard and score, or from a log"),
        Column("import_id", pl.String, "", "the import that brought it"),
        Column("source_row", pl.Int64, "", "data row in the file", optional=True),
        Column("source_line", pl.Int64, "", "physical line in the file", optional=True),
        Column("text_start", pl.Int64, "", "first character in the whiteboard text", optional=True),
        Column("text_end", pl.Int64, "", "character after the last in the whiteboard text", optional=True),
        Column("text", pl.String, "", "the words or cells it came from", optional=True),
    ),
)

SESSION = FrameSchema(
    "Session",
    "one row per athlete and session",
    (
        Column("session_id", pl.String, "", "key, unique per athlete and session"),
        Column("athlete_id", pl.String, "", "who"),
        Column("date", pl.Date, "", "calendar day"),
        Column("label", pl.String, "", "what the club calls it: unit, slot, title", optional=True),
        Column("session_rpe", pl.Float64, "0 to 10", "rating of the whole session", optional=True),
        Column("duration_min", pl.Float64, "min", "length of the whole session", optional=True),
        Column("whiteboard", pl.String, "", "text as written", optional=True),
        Column("result", pl.String, "", "score as written", optional=True),
        Column("note", pl.String, "", "remark as written", optional=True),
        Column("import_id", pl.String, "", "the import that brought it"),
    ),
)

REP_MAXIMUM = FrameSchema(
    "Rep maximum",
    "the most an athlete can lift once, as known on a day",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("movement", pl.String, "", "canonical name in the catalogue"),
        Column("date", pl.Date, "", "day of the test or estimate"),
        Column("load_kg", pl.Float64, _KG, "one-repetition maximum"),
        Column(
            "state",
            pl.Enum(["tested", "stated", "estimated"]),
            "",
            "tested on the day, stated by the athlete, estimated",
        ),
    ),
)

DAY_STATE = FrameSchema(
    "Day state",
    "what is known of a day beside its efforts; `partly` says that more was done than they tell",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("date", pl.Date, "", "calendar day"),
        Column("state", pl.Enum(DAY_STATES), "", "only `rest` counts as zero; no row is `unlogged`"),
        Column("note", pl.String, "", "remark", optional=True),
    ),
)

DAILY_DOSE = FrameSchema(
    "Daily dose",
    "amount of one kind of work that one athlete did on one day with efforts",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("date", pl.Date, "", "calendar day"),
        Column("channel", pl.String, "", "key of the channel"),
        Column(
            "value",
            pl.Float64,
            "of the channel",
            "best single figure; empty when nothing of it is known",
            optional=True,
        ),
        Column("low", pl.Float64, "of the channel", "lower bound"),
        Column("high", pl.Float64, "of the channel", "upper bound; empty when there is none", optional=True),
        Column("efforts", pl.Int64, "effort", "efforts that fed it"),
        Column("unknown", pl.Int64, "effort", "efforts that should have fed it but lack a load, time or amount"),
    ),
)


def _ranges(*figures: str, unit: str) -> list[Column]:
    """Lower and upper end of each figure over what the missing days may have held."""
    ends = (("low", "lower"), ("high", "upper"))
    return [
        Column(
            f"{name}_{end}", pl.Float64, unit, f"{word} end of `{name}`; empty when no day was missing", optional=True
        )
        for name in figures
        for end, word in ends
    ]


WEEKLY_FIGURE = FrameSchema(
    "Weekly figure",
    "one athlete, ISO week and channel, with the ratios on the week's fixed weekday",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("week", pl.String, "", "ISO week, 2026-W10"),
        Column("monday", pl.Date, "", "first day of the week"),
        Column("channel", pl.String, "", "key of the channel"),
        Column(
            "value",
            pl.Float64,
            "of the channel",
            "amount of the week, missing days at what they may have held; empty when fewer than three quarters of the "
            "days, or no trained day, are known",
            optional=True,
        ),
        Column("on_record", pl.Float64, "of the channel", "amount of the known days alone", optional=True),
        Column(
            "at_most",
            pl.Float64,
            "of the channel",
            "amount with much done on the missing days; empty when that is not known",
            optional=True,
        ),
        Column("low", pl.Float64, "of the channel", "lower bound of what is on record", optional=True),
        Column(
            "high",
            pl.Float64,
            "of the channel",
            "upper bound with the missing days; empty when unknown days, or a law that ends before the work did, "
            "leave it open",
            optional=True,
        ),
        Column("known_days", pl.Int64, "day", "days of the week whose amount of this channel is fully known"),
        Column("assumed_rest_days", pl.Int64, "day", "known days without a record that the squad counts as rest"),
        Column("trained_days", pl.Int64, "day", "days with this channel in it"),
        Column("acute", pl.Float64, "of the channel", "mean day of the last 7 days", optional=True),
        Column("chronic", pl.Float64, "of the channel", "mean day of the last 28 days", optional=True),
        Column("ratio_coupled", pl.Float64, "", "7 days over 28 days that contain them", optional=True),
        Column("ratio_uncoupled", pl.Float64, "", "7 days over the 21 days before them", optional=True),
        Column("ratio_ewma", pl.Float64, "", "weighted means with spans 7 and 28", optional=True),
        Column("change", pl.Float64, "", "this week over the week before, minus 1", optional=True),
        Column("monotony", pl.Float64, "", "mean day over sample standard deviation of the week", optional=True),
        Column("strain", pl.Float64, "of the channel", "week's sum times monotony", optional=True),
        Column("gate", pl.String, "", "why ratios are withheld; empty when they stand", optional=True),
        Column(
            "monotony_gate",
            pl.String,
            "",
            "why monotony and strain are withheld; empty when they stand",
            optional=True,
        ),
        Column("value_gate", pl.String, "", "why the amount is withheld; empty when it stands", optional=True),
        *_ranges("acute", "chronic", "strain", unit="of the channel"),
        *_ranges("ratio_coupled", "ratio_uncoupled", "ratio_ewma", "change", "monotony", unit=""),
    ),
)

MARK = FrameSchema(
    "Mark",
    "the edges of an athlete's own usual range for one channel and week",
    (
        Column("athlete_id", pl.String, "", "who"),
        Column("week", pl.String, "", "ISO week"),
        Column("channel", pl.String, "", "key of the channel"),
        Column(
            "expected",
            pl.Float64,
            "of the channel",
            "what the athlete's past weeks lead one to expect",
            optional=True,
        ),
        Column("lower", pl.Float64, "of the channel", "lower mark", optional=True),
        Column("upper", pl.Float64, "of the channel", "upper mark", optional=True),
        Column("place", pl.Enum(PLACES), "", "where the week lies against the marks"),
        Column("tail", pl.Float64, "", "share of usual weeks at least this high", optional=True),
        Column(
            "plain_tail",
            pl.Float64,
            "",
            "the same if the calendar did not name the week or the one before; empty where it does not",
            optional=True,
        ),
        Column("weeks", pl.Int64, "week", "past weeks the marks rest on"),
        Column("reason", pl.String, "", "why the place is not known", optional=True),
    ),
)

NOTICE = FrameSchema(
    "Notice",
    "a week that stands out for one athlete, in words a coach can act on",
    (
        Column("notice_id", pl.String, "", "athlete or squad, week and channel in one key"),
        Column("athlete_id", pl.String, "", "who; empty for the squad as a whole", optional=True),
        Column("week", pl.String, "", "ISO week"),
        Column("channel", pl.String, "", "key of the channel"),
        Column("rank", pl.Int64, "", "place in the week's list, from 1"),
        Column("within_budget", pl.Boolean, "", "shown first; the rest is one step away"),
        Column("value", pl.Float64, "of the channel", "what was done"),
        Column("lower", pl.Float64, "of the channel", "lower mark"),
        Column("upper", pl.Float64, "of the channel", "upper mark"),
        Column("place", pl.Enum(PLACES), "", "above or well above"),
        Column("q_value", pl.Float64, "", "tail share adjusted for the number of comparisons in the squad"),
        Column("headline", pl.String, "", "one sentence: what was done"),
        Column("usual", pl.String, "", "one sentence: the usual range"),
        Column("contributors", pl.List(pl.String), "", "the three largest contributors, or sessions, in words"),
        Column("not_known", pl.String, "", "what the figure cannot know"),
        Column("options", pl.List(pl.String), "", "what could be done"),
        Column("how_often", pl.String, "", "how often such a notice would appear if nothing had changed"),
        Column("scope", pl.String, "", "what the figure does not say, and who decides about health"),
    ),
)

FRAMES: tuple[FrameSchema, ...] = (
    ATHLETE,
    REP_MAXIMUM,
    EFFORT,
    SESSION,
    DAY_STATE,
    DAILY_DOSE,
    WEEKLY_FIGURE,
    MARK,
    NOTICE,
)
