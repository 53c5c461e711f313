"""The tables of load data.

Everything comes in by an *import*: a file, a whiteboard text or an edit by hand. Rows belong to the import that
brought them and are never changed; what holds now is what the imports that still stand say together.
"""

from __future__ import annotations

import sqlalchemy as sa

from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.contracts.records import CALENDAR_LABEL, DECISION, IMPORT_ROW, PLANNED_RAMP, PLANNED_WEEK
from keelmark.store.columns import Instant, frame_columns

__all__ = [
    "METADATA", "athlete", "calendar_label", "day_state", "decision", "effort", "import_row", "imports", "original",
    "person", "planned_amount", "planned_ramp", "planned_week", "rep_maximum", "session", "setting", "setting_change",
    "store_mark", "taken_back",
]  # fmt: skip

METADATA = sa.MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)


def _brought_by() -> sa.Column[int]:
    return sa.Column("import_id", sa.Integer, sa.ForeignKey("import.import_id"), nullable=False)


def _of_person() -> sa.Column[str]:
    return sa.Column("athlete_id", sa.Text, sa.ForeignKey("person.athlete_id"), nullable=False)


store_mark = sa.Table(
    "store_mark",
    METADATA,
    sa.Column("program", sa.Text, primary_key=True),
    sa.Column("revision", sa.BigInteger, nullable=False),
)

person = sa.Table("person", METADATA, sa.Column("athlete_id", sa.Text, primary_key=True))

original = sa.Table(
    "original",
    METADATA,
    sa.Column("sha256", sa.Text, primary_key=True),
    sa.Column("size", sa.BigInteger, nullable=False),
    sa.Column("packed", sa.LargeBinary, nullable=False),
)

imports = sa.Table(
    "import",
    METADATA,
    sa.Column("import_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("file", sa.Text, nullable=False),
    sa.Column("sha256", sa.Text, sa.ForeignKey("original.sha256")),
    sa.Column("content_key", sa.Text),
    sa.Column("counts", sa.Text, nullable=False),
    sa.Column("created_at", Instant, nullable=False),
    sa.Column("undone_at", Instant),
)
sa.Index(
    "ux_import_standing_content",
    imports.c.content_key,
    unique=True,
    sqlite_where=imports.c.undone_at.is_(None),
    postgresql_where=imports.c.undone_at.is_(None),
)

import_row = sa.Table(
    "import_row",
    METADATA,
    _brought_by(),
    *frame_columns(IMPORT_ROW),
    sa.PrimaryKeyConstraint("import_id", "row"),
)

athlete = sa.Table(
    "athlete",
    METADATA,
    _brought_by(),
    _of_person(),
    sa.Column("complete", sa.Boolean, nullable=False),
    *frame_columns(ATHLETE, leave_out=("athlete_id",)),
    sa.PrimaryKeyConstraint("import_id", "athlete_id"),
)

rep_maximum = sa.Table(
    "rep_maximum",
    METADATA,
    _brought_by(),
    _of_person(),
    *frame_columns(REP_MAXIMUM, leave_out=("athlete_id",)),
    sa.PrimaryKeyConstraint("import_id", "athlete_id", "movement", "date"),
)

day_state = sa.Table(
    "day_state",
    METADATA,
    _brought_by(),
    _of_person(),
    *frame_columns(DAY_STATE, leave_out=("athlete_id",)),
    sa.PrimaryKeyConstraint("import_id", "athlete_id", "date"),
)

calendar_label = sa.Table(
    "calendar_label",
    METADATA,
    sa.Column("label_id", sa.Integer, primary_key=True, autoincrement=False),
    _brought_by(),
    *frame_columns(CALENDAR_LABEL, leave_out=("label_id",)),
)

taken_back = sa.Table(
    "taken_back",
    METADATA,
    _brought_by(),
    sa.Column("place", sa.Integer, nullable=False),
    sa.Column("of_table", sa.Text, nullable=False),
    sa.Column("athlete_id", sa.Text),
    sa.Column("said", sa.Text, nullable=False),
    sa.PrimaryKeyConstraint("import_id", "place"),
    sa.Index("ix_taken_back_athlete_id", "athlete_id"),
)
"""Rows of edits by hand that were taken back, as JSON: no file holds them, so that they can be put back from here."""

session = sa.Table(
    "session",
    METADATA,
    _brought_by(),
    _of_person(),
    *frame_columns(SESSION, leave_out=("athlete_id", "import_id")),
    sa.PrimaryKeyConstraint("import_id", "session_id"),
)

effort = sa.Table(
    "effort",
    METADATA,
    _brought_by(),
    sa.Column("place", sa.BigInteger, nullable=False),
    _of_person(),
    *frame_columns(EFFORT, leave_out=("athlete_id", "import_id")),
    sa.Column("fingerprint", sa.LargeBinary, nullable=False),
    sa.Column("copy", sa.Integer, nullable=False),
    sa.Column("current", sa.Boolean, nullable=False),
    sa.PrimaryKeyConstraint("import_id", "place"),
)
sa.Index("ix_effort_work", effort.c.fingerprint, effort.c.copy, effort.c.import_id)
sa.Index("ix_effort_athlete_date", effort.c.athlete_id, effort.c.date)
sa.Index(
    "ix_effort_repeats",
    effort.c.import_id,
    sqlite_where=sa.text("NOT current"),
    postgresql_where=sa.text("NOT current"),
)

setting = sa.Table(
    "setting",
    METADATA,
    sa.Column("key", sa.Text, primary_key=True),
    sa.Column("value", sa.Text, nullable=False),
)

setting_change = sa.Table(
    "setting_change",
    METADATA,
    sa.Column("change_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("key", sa.Text, nullable=False),
    sa.Column("old", sa.Text),
    sa.Column("new", sa.Text, nullable=False),
    sa.Column("who", sa.Text),
    sa.Column("created_at", Instant, nullable=False),
    sa.Index("ix_setting_change_key", "key"),
)

decision = sa.Table(
    "decision",
    METADATA,
    sa.Column("decision_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(DECISION, leave_out=("decision_id",)),
)

planned_ramp = sa.Table(
    "planned_ramp",
    METADATA,
    sa.Column("ramp_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(PLANNED_RAMP, leave_out=("ramp_id",)),
)

planned_week = sa.Table(
    "planned_week",
    METADATA,
    sa.Column("week_id", sa.Integer, primary_key=True, autoincrement=False),
    *frame_columns(PLANNED_WEEK, leave_out=("week_id",)),
)

planned_amount = sa.Table(
    "planned_amount",
    METADATA,
    sa.Column("week_id", sa.Integer, sa.ForeignKey("planned_week.week_id"), primary_key=True, autoincrement=False),
    sa.Column("athlete_id", sa.Text, primary_key=True),
    sa.Column("channel", sa.Text, primary_key=True),
    sa.Column("amount", sa.Double, nullable=False),
)
