"""The tables of what came into the store, and of what people decided and said about it.

They stand apart from `keelmark.contracts.frames`: no figure is computed from them.
"""

from __future__ import annotations

import polars as pl

from keelmark.contracts.schema import Column, FrameSchema

__all__ = [
    "AGREED_LIMIT", "CALENDAR_LABEL", "CHECK_IN", "COMPLAINT_DECISION", "CONSENT", "DECISION", "HEALTH_LIMIT",
    "IMPORT", "IMPORT_KINDS", "IMPORT_ROW", "PLANNED_AMOUNT", "PLANNED_RAMP", "PLANNED_WEEK", "RECORDS", "RETURN_PLAN",
    "VERDICTS",
]  # fmt: skip

IMPORT_KINDS = ("log", "roster", "days", "labels", "whiteboard", "hand")
VERDICTS = ("accepted", "duplicate", "blank", "other", "quarantined")

_INSTANT = pl.Datetime("us", "UTC")

IMPORT = FrameSchema(
    "Import",
    "one row per file, text or edit by hand that came into the store, in the order of arrival",
    (
        Column("import_id", pl.String, "", "key"),
        Column("kind", pl.Enum(IMPORT_KINDS), "", "what was brought"),
        Column("file", pl.String, "", "name of the file, or what the edit was"),
        Column("sha256", pl.String, "", "hash of the original bytes", optional=True),
        Column("counts", pl.String, "", "rows by verdict and what was stored, as JSON"),
        Column("created_at", _INSTANT, "UTC", "when it was stored"),
        Column("undone_at", _INSTANT, "UTC", "when it was taken back; empty while it stands", optional=True),
    ),
)

IMPORT_ROW = FrameSchema(
    "Import row",
    "the verdict on each row read from a file",
    (
        Column("row", pl.Int64, "", "data row in the file, from 1"),
        Column("line", pl.Int64, "", "physical line in the file", optional=True),
        Column("verdict", pl.Enum(VERDICTS), "", "what became of the row"),
        Column("of_row", pl.Int64, "", "the row that a duplicate repeats", optional=True),
        Column(
            "duplicate_kind",
            pl.Enum(["exact", "normalised"]),
            "",
            "repeated sign by sign, or the same once read",
            optional=True,
        ),
        Column("reasons", pl.List(pl.String), "", "why it was not accepted, as keys", optional=True),
        Column("columns", pl.List(pl.String), "", "the column of each reason", optional=True),
        Column("messages", pl.List(pl.String), "", "the reasons in words", optional=True),
        Column("remedy", pl.String, "", "what to do about it", optional=True),
        Column("repairable", pl.Boolean, "", "whether keelmark could mend it if asked to", optional=True),
        Column("notes", pl.List(pl.String), "", "what was read into an accepted row", optional=True),
        Column("cells", pl.String, "", "the cells as they stood", optional=True),
    ),
)

CALENDAR_LABEL = FrameSchema(
    "Calendar label",
    "a stretch of days with a name: holidays, a storm, a competition, a planned overload",
    (
        Column("label_id", pl.String, "", "key"),
        Column("date_from", pl.Date, "", "first day"),
        Column("date_to", pl.Date, "", "last day"),
        Column("label", pl.String, "", "what it is called"),
        Column("group", pl.String, "", "training group; empty for all", optional=True),
    ),
)

DECISION = FrameSchema(
    "Decision",
    "what a coach thought of a notice and did about it; the last row of a notice stands",
    (
        Column("decision_id", pl.String, "", "key"),
        Column("notice_id", pl.String, "", "the notice"),
        Column("useful", pl.Boolean, "", "whether the notice was of use", optional=True),
        Column("option", pl.String, "", "what was chosen", optional=True),
        Column("reason", pl.String, "", "why", optional=True),
        Column("owner", pl.String, "", "who sees to it", optional=True),
        Column("athlete_view", pl.String, "", "what the athlete thinks of it", optional=True),
        Column("review_date", pl.Date, "", "when to look again", optional=True),
        Column("figures", pl.String, "", "the figures as they stood, as JSON"),
        Column("rule_version", pl.String, "", "the rules that made the notice"),
        Column("created_at", _INSTANT, "UTC", "when it was recorded"),
    ),
)

CHECK_IN = FrameSchema(
    "Check-in",
    "what an athlete said about a week; kept apart from load data",
    (
        Column("check_in_id", pl.String, "", "key"),
        Column("athlete_id", pl.String, "", "who"),
        Column("week", pl.String, "", "ISO week"),
        Column("scale_id", pl.String, "", "which set of questions, with its edition"),
        Column("area", pl.String, "", "part of the body; empty when all is well", optional=True),
        Column("severity", pl.Float64, "0 to 100", "of the scale; empty when it was not asked", optional=True),
        Column("answers", pl.String, "", "the answers as given, as JSON"),
        Column("created_at", _INSTANT, "UTC", "when it was said"),
        Column("withdrawn_at", _INSTANT, "UTC", "when it was taken back; empty while it stands", optional=True),
    ),
)

HEALTH_LIMIT = FrameSchema(
    "Health limit",
    "what an athlete is not to do for a while, as told by the athlete or a clinician; kept apart from load data",
    (
        Column("limit_id", pl.String, "", "key"),
        Column("athlete_id", pl.String, "", "who"),
        Column("date_from", pl.Date, "", "first day"),
        Column("date_to", pl.Date, "", "last day; empty while it is open", optional=True),
        Column("area", pl.String, "", "part of the body", optional=True),
        Column("limit", pl.String, "", "what is left out or held back"),
        Column("created_at", _INSTANT, "UTC", "when it was recorded"),
    ),
)

RETURN_PLAN = FrameSchema(
    "Return plan",
    "steps after a gap as somebody has settled them; the last row of an athlete stands; kept apart from load data",
    (
        Column("plan_id", pl.String, "", "key"),
        Column("athlete_id", pl.String, "", "who"),
        Column("gap_first", pl.Date, "", "first day of the gap"),
        Column("gap_last", pl.Date, "", "last day of the gap"),
        Column("steps", pl.String, "", "weeks with their shares and amounts, and what was usual before, as JSON"),
        Column("source", pl.String, "", "where the proposed shares come from"),
        Column("owner", pl.String, "", "who sees to it", optional=True),
        Column("review_date", pl.Date, "", "when to look again", optional=True),
        Column("note", pl.String, "", "remark", optional=True),
        Column("created_at", _INSTANT, "UTC", "when it was settled"),
    ),
)

COMPLAINT_DECISION = FrameSchema(
    "Complaint decision",
    "what was decided about a complaint; the last row of a complaint stands; kept apart from load data",
    (
        Column("decision_id", pl.String, "", "key"),
        Column("athlete_id", pl.String, "", "who"),
        Column("area", pl.String, "", "part of the body"),
        Column("first", pl.Date, "", "Monday of the first week that names it"),
        Column("option", pl.String, "", "what was chosen"),
        Column("reason", pl.String, "", "why", optional=True),
        Column("owner", pl.String, "", "who sees to it", optional=True),
        Column("athlete_view", pl.String, "", "what the athlete thinks of it", optional=True),
        Column("review_date", pl.Date, "", "when to look again", optional=True),
        Column("figures", pl.String, "", "the complaint and the weeks of work as they stood, as JSON"),
        Column("rule_version", pl.String, "", "the rules that made the figures"),
        Column("created_at", _INSTANT, "UTC", "when it was recorded"),
    ),
)

AGREED_LIMIT = FrameSchema(
    "Agreed limit",
    "an amount that a planned week may not pass for an athlete, as agreed with somebody; kept apart from load data",
    (
        Column("limit_id", pl.String, "", "key"),
        Column("athlete_id", pl.String, "", "who"),
        Column("channel", pl.String, "", "kind of work"),
        Column("most", pl.Float64, "of the kind of work, a week", "amount that is not passed"),
        Column("date_from", pl.Date, "", "first day"),
        Column("date_to", pl.Date, "", "last day; empty while it is open", optional=True),
        Column("agreed_with", pl.String, "", "with whom it was agreed"),
        Column("created_at", _INSTANT, "UTC", "when it was recorded"),
        Column("withdrawn_at", _INSTANT, "UTC", "when it was taken back; empty while it stands", optional=True),
    ),
)

PLANNED_RAMP = FrameSchema(
    "Planned ramp",
    "amounts of one kind of work that are meant for the squad's weeks ahead; of two for the same week the later counts",
    (
        Column("ramp_id", pl.String, "", "key"),
        Column("channel", pl.String, "", "kind of work"),
        Column("monday", pl.Date, "", "first day of the first week"),
        Column("weeks", pl.Int64, "weeks", "how many weeks"),
        Column("start", pl.Float64, "of the kind of work, a week", "amount of the first week"),
        Column("change", pl.Float64, "share", "change from week to week, such as 0.05"),
        Column("lighter_every", pl.Int64, "weeks", "from one lighter week to the next; empty for none", optional=True),
        Column("lighter_share", pl.Float64, "share", "amount of a lighter week as a share of what it would have been"),
        Column("created_at", _INSTANT, "UTC", "when it was recorded"),
        Column("withdrawn_at", _INSTANT, "UTC", "when it was taken back; empty while it stands", optional=True),
    ),
)

PLANNED_WEEK = FrameSchema(
    "Kept week",
    "the text of a whole week as it is meant for the squad; the last one of a week stands",
    (
        Column("week_id", pl.String, "", "key"),
        Column("monday", pl.Date, "", "first day of the week"),
        Column("text", pl.String, "", "the programme as it was written"),
        Column("created_at", _INSTANT, "UTC", "when it was kept"),
        Column("withdrawn_at", _INSTANT, "UTC", "when it was taken back; empty while it stands", optional=True),
    ),
)

PLANNED_AMOUNT = FrameSchema(
    "Kept amount",
    "what one athlete would do of a kept week on the usual days, as it was worked out when the week was kept",
    (
        Column("week_id", pl.String, "", "the kept week"),
        Column("athlete_id", pl.String, "", "who"),
        Column("channel", pl.String, "", "kind of work"),
        Column("amount", pl.Float64, "of the kind of work, a week", "amount of the week"),
    ),
)

CONSENT = FrameSchema(
    "Consent",
    "what an athlete, or a guardian, agreed to: for what, for whom, which fields; it stands until it is withdrawn",
    (
        Column("consent_id", pl.String, "", "key"),
        Column("athlete_id", pl.String, "", "whose data"),
        Column("purpose", pl.String, "", "what it is for"),
        Column("given_by", pl.String, "", "who said yes: the athlete, or the guardian by name"),
        Column("given_to", pl.String, "", "who may see it", optional=True),
        Column("fields", pl.List(pl.String), "", "what may be shown"),
        Column("given_on", pl.Date, "", "when it was said"),
        Column("created_at", _INSTANT, "UTC", "when it was recorded"),
        Column("withdrawn_at", _INSTANT, "UTC", "when it was taken back; empty while it stands", optional=True),
    ),
)

RECORDS: tuple[FrameSchema, ...] = (
    IMPORT,
    IMPORT_ROW,
    CALENDAR_LABEL,
    DECISION,
    CHECK_IN,
    HEALTH_LIMIT,
    RETURN_PLAN,
    COMPLAINT_DECISION,
    AGREED_LIMIT,
    PLANNED_RAMP,
    PLANNED_WEEK,
    PLANNED_AMOUNT,
)
